package importing

import (
	"fmt"
	"strconv"

	"jambwright/scheduler/length"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// Kind is a kind of sheet.
type Kind string

// The kinds of sheet.
const (
	Openings  Kind = "openings"
	Crews     Kind = "crews"
	Handovers Kind = "handovers"
	Suppliers Kind = "suppliers"
	GCDates   Kind = "gcdates"
	Rates     Kind = "rates"
)

// Kinds returns all kinds in the order in which a new firm fills them.
func Kinds() []Kind { return []Kind{Openings, Crews, Handovers, Suppliers, GCDates, Rates} }

// Place says where a row was read.
type Place struct {
	Sheet string // name of the worksheet, "" for CSV
	Row   int    // as the spreadsheet program numbers it, from 1; 0 for a row that was not read from a file
}

// OpeningRow is one opening. A sheet's row with a quantity or a range of marks makes one OpeningRow for each opening.
// A zero field was not given.
type OpeningRow struct {
	Place

	Mark  string // exactly as written: 1E2 and 001 are marks, not numbers
	Type  takeoff.Type
	Level string
	Area  string // zone or room group
	Room  string

	Width, Height length.Length // of the opening: for a pair both leaves together, with sidelights the total where known
	Thickness     length.Length // of the leaves
	Leaves        int
	LeafWidth     length.Length
	LeafHeight    length.Length
	Leaf          LeafMake
	Sidelights    []Sidelight
	Lights        int           // lights side by side of a storefront run
	Transom       length.Length // of the glass above the bar; 0 for none
	ButtJoints    bool          // fixed lights side by side meet without a mullion

	Handing        string // LH, RH, LHR, RHR, LHA, RHA for pairs, or words
	GlassKind      takeoff.GlassKind
	GlassThickness length.Length // nominal; of a whole insulating unit its overall thickness
	Glass          string        // as written
	FireRating     string        // as written
	FireMinutes    int           // 0: not rated, or no minutes could be read from FireRating
	HardwareSet    string
	Release        string
	Supplier       string
	Finish         string
	Notes          string

	Quantity int // 1 after expansion

	// Raw holds the row as it stands in the file, by the file's own headings, for the preview. Openings expanded from
	// one row share it; treat it as read-only.
	Raw map[string]string
}

// LeafMake is what leaves are made of where it is not what their type's usually are: fronts and storefronts have leaves of glass,
// doors and pairs solid ones.
type LeafMake string

// The makes.
const (
	UsualLeaf LeafMake = ""
	SolidLeaf LeafMake = "solid" // wood or hollow metal
	GlassLeaf LeafMake = "glass" // in rails and stiles
)

// Sidelight is a fixed light beside the leaves. Width 0 means that the sheet gives none; Side "" that it names none.
type Sidelight struct {
	Width length.Length
	Side  takeoff.Side
}

// CrewRow is one crew, gathered from all rows that name it (further rows add absences).
type CrewRow struct {
	Place

	Name         string
	Foreman      string
	Heads        int
	Skills       []takeoff.Kind // in the order of takeoff.Kinds
	HomeSite     string
	Sites        []string // sites it may work on; none means all
	Calendar     string   // name of a calendar
	Shift        Shift    // regular hours where the sheet gives them
	CostPerHour  *float64
	Productivity *float64 // 1 is the company's rate
	Away         []Away
	Notes        string

	Raw map[string]string
}

// Shift is a daily span in minutes after midnight. The zero value was not given.
type Shift struct{ Start, Finish int }

// Away is an absence, both dates included.
type Away struct{ From, To problem.Date }

// HandoverRow is one condition that another trade owes an area. Dates not given are nil.
type HandoverRow struct {
	Place

	Level, Area, Room string
	Condition         string // walls_boarded, ceiling_closed, floor_finished, power_live, or the sheet's own words
	Trade             string
	Promised          *problem.Date
	Forecast          *problem.Date
	Actual            *problem.Date
	Notes             string

	Raw map[string]string
}

// SupplierRow is one supplier, or one item of a supplier where the sheet has a row for each.
type SupplierRow struct {
	Place

	Name       string
	Items      []string // frame_kit, glass, leaf, hardware; none means everything
	Lead       LeadTime
	OrderBasis string // drawings, survey, after_framing
	Calendar   string
	Contact    string
	Notes      string

	Raw map[string]string
}

// LeadTime is the days from order to arrival. Weeks in a sheet count five working days or seven calendar days.
type LeadTime struct {
	Least, Likely, Most int
	CalendarDays        bool // false: working days
}

// GCDateRow is one date the general contractor holds.
type GCDateRow struct {
	Place

	Name          string
	Level, Area   string       // both empty: the whole project
	Work          takeoff.Kind // complete by the date; "" means all work
	Date          problem.Date
	DamagesPerDay *float64
	Notes         string

	Raw map[string]string
}

// Fault names a cell or row that cannot be read, or, among warnings, one that a person should look at. Column is the
// sheet's own heading where there is one, else the column's letter.
type Fault struct {
	File    string
	Place          // sheet and row
	Cell    string // C12, for a jump to the place; "" where a whole row or sheet is meant
	Column  string
	Value   string
	Message string // what is wrong
	Remedy  string // what to write instead
}

// String shows a lead time as 10-15-20 working days, or as 15 calendar days where the three are one.
func (l LeadTime) String() string {
	kind := " working days"
	if l.CalendarDays {
		kind = " calendar days"
	}
	if l.Least == l.Most {
		return strconv.Itoa(l.Likely) + kind
	}
	return fmt.Sprintf("%d-%d-%d", l.Least, l.Likely, l.Most) + kind
}
