package takeoff

import "jambwright/scheduler/length"

// Kind is a kind of task.
type Kind string

// The seven kinds of task every opening goes through.
const (
	Survey  Kind = "survey"
	Order   Kind = "order"
	Deliver Kind = "deliver"
	Frame   Kind = "frame"
	Glaze   Kind = "glaze"
	Hang    Kind = "hang"
	Punch   Kind = "punch"
)

// Kinds returns the seven kinds in the order in which an opening goes through them.
func Kinds() []Kind { return []Kind{Survey, Order, Deliver, Frame, Glaze, Hang, Punch} }

// IsShared reports whether several openings share a task of the kind: an area is surveyed in one go, a release is ordered and unloaded as
// one.
func (k Kind) IsShared() bool { return k == Survey || k == Order || k == Deliver }

// IsCrewWork reports whether a crew is planned to do the kind: orders are the buyer's, and unloading is planned by the dock.
func (k Kind) IsCrewWork() bool { return k != Order && k != Deliver }

// Type is what fills an opening.
type Type string

// The usual types.
const (
	SlidingFront Type = "sliding_front" // framed glass front with a leaf that slides along it, with sidelights
	HingedFront  Type = "hinged_front"  // the same with a leaf on hinges or pivots
	FixedLight   Type = "fixed_light"   // glass in a frame, no door: a borrowed light
	DoorFrame    Type = "door_frame"    // one leaf in a frame; sidelights and transom possible
	Pair         Type = "pair"          // two leaves in one frame; sidelights and transom possible
	Storefront   Type = "storefront"    // a run of n lights, with or without leaves in one of them
)

// Types returns all types in the order of their declaration.
func Types() []Type {
	return []Type{SlidingFront, HingedFront, FixedLight, DoorFrame, Pair, Storefront}
}

// Substrate is what the frame is fastened to.
type Substrate string

// The substrates.
const (
	Stud     Substrate = "stud"
	Wood     Substrate = "wood"
	Concrete Substrate = "concrete"
)

// Condition is a circumstance that makes the work on an opening slower; the rates hold its factor.
type Condition string

// The conditions that the default rates know. A company may add its own.
const (
	Ladder      Condition = "ladder"       // head out of reach from the floor; found from the sizes as well
	Lift        Condition = "lift"         // work from a platform lift or a scaffold; replaces Ladder
	Occupied    Condition = "occupied"     // people work next to it: protection, quiet hours, clean-up
	HardDrill   Condition = "hard_drill"   // reinforced or very hard substrate
	TightAccess Condition = "tight_access" // material must be carried far or around corners
	HeavyDuty   Condition = "heavy_duty"   // heavy frames, leaves or hardware
)

// Opening is the geometry and make-up of one opening as takeoff needs it.
//
// Width and Height are what a schedule states for the type: for fronts, fixed lights and storefronts the finished frame
// from outside to outside; for a door and frame or a pair the door opening between the rabbets (a schedule's 3070 is 3'-0" x
// 7'-0"), to which the faces of the frame, sidelights and transom come on top. Where a door has sidelights, a schedule's
// width may be the door's or the whole's; LeafWidth decides, else a width that no leaf has is the whole's.
//
// The lights stand side by side: left sidelights, leaves, right sidelights.
type Opening struct {
	Type   Type
	Width  length.Length
	Height length.Length

	Leaves     int           // door leaves; 0 reads as the type's own: 2 for a pair, 1 for other doors, none for lights and storefronts
	LeafWidth  length.Length // of each leaf; 0 reads as Rules.LeafWidth, or as what a narrow front or its stated sidelights leave
	Sidelights []Sidelight   // from left to right; a front wider than its leaf that lists none has one on the right
	Lights     int           // fixed lights and storefronts: lights side by side, the leaves' own light included; 0 reads as 1
	// LightWidths is the daylight width of each light of a fixed light or storefront, from left to right, the leaves' own
	// light included. Without it the lights are equal.
	LightWidths []length.Length
	DoorLight   int           // storefront with leaves: the position of their light, from 1; 0 reads as 1
	Transom     length.Length // daylight height of the glass above leaves and sidelights; 0 means none
	ButtJoints  bool          // neighbouring fixed panes meet at a sealed joint, without a mullion between them
	GlassLeaf   bool          // door and frame, pair: the leaves are glass in rails and stiles, as those of fronts always are; they arrive glazed
	SolidLeaf   bool          // front, storefront: the leaves are not of glass
	Glass       Glass

	HardwarePoints int       // hinges, lock, closer, stop, pull: pieces to fit on all leaves; 0 reads as the usual set of the type
	Head, Jambs    Substrate // "" reads as Stud
	Floor          Substrate // under the channel; "" reads as Concrete, or as Stud when SillHeight is above zero
	SillHeight     length.Length
	Conditions     []Condition
}

// HasLeaves reports whether the opening has leaves, given or by its type.
func (o *Opening) HasLeaves() bool { return leavesOf(*o) > 0 }

// HasGlassLeaves reports whether the leaves, if there are any, are of glass.
func (o *Opening) HasGlassLeaves() bool {
	return o.GlassLeaf || !o.Type.IsDoorSized() && !o.SolidLeaf
}

// SetGlassLeaves makes the leaves glass or solid, and says nothing of them where that is usual for the type.
func (o *Opening) SetGlassLeaves(glass bool) {
	o.GlassLeaf = glass && o.Type.IsDoorSized()
	o.SolidLeaf = !glass && !o.Type.IsDoorSized()
}

// Side says on which side of the leaves a sidelight stands.
type Side string

// The two sides, seen as the drawings show the opening.
const (
	Left  Side = "left"
	Right Side = "right"
)

// Sidelight is a fixed light beside the leaves. Width is its daylight width; 0 means that it shares what is left over
// with the others that give none.
type Sidelight struct {
	Side  Side // "" reads as Right
	Width length.Length
}

// GlassKind is the make-up of a pane.
type GlassKind string

// The make-ups.
const (
	Monolithic GlassKind = "monolithic"
	Laminated  GlassKind = "laminated"
	Insulating GlassKind = "insulating"
)

// Glass describes a pane. Without a thickness the rules' glass is assumed, and a hint says so.
type Glass struct {
	Kind GlassKind // "" reads as Monolithic
	// Thickness is nominal: of each lite when Lites is given, else of the whole pane as schedules state it. A laminated pane
	// has as much glass as its nominal thickness, its interlayer comes on top; an insulating unit has two equal lites
	// with the air space between them.
	Thickness  length.Length
	Lites      int
	Interlayer length.Length // laminated: thickness of all plastic together
	AirSpace   length.Length // insulating: of all air spaces; 0 reads as 1/2 in, or half of a thinner unit. It weighs nothing
	Safety     bool          // marked as safety glazing
}
