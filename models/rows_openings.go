package models

import (
	"time"

	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

// Release is material ordered together.
type Release struct {
	ID         int64
	ProjectID  int64
	Code       string // unique in the project, stable; part of task keys
	Name       string // what people call it; "" reads as the code
	SupplierID int64
	Basis      pattern.OrderBasis `gorm:"default:drawings"`
	LeastDays  *int               // lead time where it differs from the supplier's: all three or none
	LikelyDays *int
	MostDays   *int
	OrderedAt  *time.Time
	Note       string
	Versioned
	Supplier Supplier
	Drops    []ReleaseDrop
}

// ReleaseDrop is one delivery of a release.
type ReleaseDrop struct {
	ID         int64
	ReleaseID  int64
	Number     int  // from 1
	RestOf     *int // the drop of which it brings what did not come with it
	Promised   *Date
	ShippedAt  *time.Time
	ReceivedAt *time.Time
}

// Sidelight is a fixed light beside the leaves, by its daylight width; 0 shares the width left over.
type Sidelight struct {
	Side  takeoff.Side  `json:"side"`
	Width length.Length `json:"width"`
}

// Opening is one place to be filled. The geometry is that of takeoff.Opening; 0 means not given.
type Opening struct {
	ID              int64
	ProjectID       int64
	AreaID          int64
	Mark            string // unique in the project; part of task keys
	Room            string
	WalkOrder       int
	OpeningType     takeoff.Type
	TypeMark        string // the schedule's own name of the type
	Width           length.Length
	Height          length.Length
	Leaves          int
	LeafWidth       length.Length
	LeafHeight      length.Length
	LeafThickness   length.Length
	Sidelights      List[Sidelight]
	Lights          int
	LightWidths     List[length.Length]
	DoorLight       int
	Transom         length.Length
	ButtJoints      bool
	GlassLeaf       bool
	SolidLeaf       bool
	GlassText       string // as the schedule has it
	GlassKind       takeoff.GlassKind
	GlassThickness  length.Length
	GlassLites      int
	GlassInterlayer length.Length
	GlassAirSpace   length.Length
	GlassSafety     bool
	HardwarePoints  int
	Finish          string
	FireMinutes     int
	FireRating      string // as the schedule has it
	HardwareSet     string
	Handing         string
	Powered         bool
	Head            takeoff.Substrate
	Jambs           takeoff.Substrate
	Floor           takeoff.Substrate
	SillHeight      length.Length
	Conditions      List[takeoff.Condition]
	MeasuredAt      *time.Time
	MeasuredWidth   length.Length
	MeasuredHeight  length.Length
	ReleaseName     string // as the schedule has it
	SupplierName    string
	Note            string
	Versioned
	Area  Area
	Items []MaterialItem

	Sizes  []pattern.FieldSize `gorm:"-"` // measured, oldest first; read by ReadSizes
	orders []pattern.ItemOrder // of its items; read by ReadSizes
}

// MaterialState is how far an item has come.
type MaterialState string

// The states.
const (
	ToOrder      MaterialState = "to_order"
	Ordered      MaterialState = "ordered"
	Acknowledged MaterialState = "acknowledged" // with a promised date
	Shipped      MaterialState = "shipped"
	Received     MaterialState = "received"
	Damaged      MaterialState = "damaged" // a remake is on its way
	Remade       MaterialState = "remade"  // replaced by a remake that was received
)

// MaterialItem is a part of an opening's material. An item of the first order comes with a drop of a release, or is on
// site already. A remake has the item that it replaces as parent and is an order of its own.
type MaterialItem struct {
	ID         int64
	OpeningID  int64
	Kind       pattern.Item
	State      MaterialState `gorm:"default:to_order"`
	ReleaseID  *int64
	DropNumber int `gorm:"default:1"`
	OnSite     bool
	ParentID   *int64
	Code       string // remakes: unique in the project, stable; part of task keys
	SupplierID *int64
	Cause      string
	ReportedAt *time.Time
	LeastDays  *int
	LikelyDays *int
	MostDays   *int
	OrderedAt  *time.Time
	Promised   *Date
	ShippedAt  *time.Time
	ReceivedAt *time.Time
	Versioned
	Supplier *Supplier
	Release  *Release
	Opening  *Opening
}

// MaterialField names what changed of a release, a drop or a remake.
type MaterialField string

// The fields: dates, then what a drop holds and how a release is ordered, in words.
const (
	MaterialOrdered  MaterialField = "ordered"
	MaterialPromised MaterialField = "promised"
	MaterialShipped  MaterialField = "shipped"
	MaterialReceived MaterialField = "received"
	MaterialContents MaterialField = "contents"
	MaterialBasis    MaterialField = "basis"
	MaterialSupplier MaterialField = "supplier"
	MaterialLead     MaterialField = "lead"
)

// MaterialChange is one line of the append-only history of a release (with DropNumber: of its drop) or of a remake. The
// values are dates, instants in RFC 3339, or words; "" is unknown.
type MaterialChange struct {
	ID         int64
	ReleaseID  *int64
	DropNumber *int
	ItemID     *int64
	At         time.Time
	UserID     *int64
	Field      MaterialField
	OldValue   string
	NewValue   string
	Cause      string
	Source     string
	Release    *Release
	Item       *MaterialItem
}
