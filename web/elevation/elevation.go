// Package elevation draws an interior opening as people see it standing in front of it: a small SVG in its true
// proportions that completes itself as the work proceeds.
//
//	rough opening     dotted outline, the parts to come dotted inside
//	measured          thin lines
//	material on site  and a tick in the lower left corner
//	framed            frame, mullions and rails drawn solid
//	glazed            and the fixed panes tinted
//	hung              and the leaves with their handles, and which way they swing or slide
//	punched           and a check in the upper right corner
//
// A hold is a hatched band across the drawing, with its word where there is room. Every drawing carries a title that says
// the same in words, so nothing is told by looks alone.
//
// Swing is drawn as on architects' elevations: dashed lines that meet at the hinge side (common practice). A slide is
// drawn as an arrow on the leaf.
//
// The drawing carries classes and no colours; the style sheet gives both, light and dark. It holds no identifiers, so
// that two thousand of them may stand on one page.
//
// What this package does not do: it knows nothing of stored openings, and it draws no sections, plans or hardware.
package elevation

import (
	"fmt"
	"strings"

	"jambwright/scheduler/length"
)

// Type is the make of an opening.
type Type string

// The types that are drawn in their own way. Any other type is drawn as a fixed light.
const (
	SlidingFront Type = "sliding_front"
	HingedFront  Type = "hinged_front"
	FixedLight   Type = "fixed_light"
	DoorFrame    Type = "door_frame"
	Pair         Type = "pair"
	Storefront   Type = "storefront"
)

// Name is the type in words.
func (t Type) Name() string {
	switch t {
	case SlidingFront:
		return "sliding front"
	case HingedFront:
		return "hinged front"
	case FixedLight:
		return "fixed light"
	case DoorFrame:
		return "door and frame"
	case Pair:
		return "pair"
	case Storefront:
		return "storefront run"
	}
	return strings.ReplaceAll(string(t), "_", " ")
}

// HasLeaf reports whether the type has a door by nature. A storefront run has one only when Leaves says so.
func (t Type) HasLeaf() bool {
	return t == SlidingFront || t == HingedFront || t == DoorFrame || t == Pair
}

// Progress is the last thing that has happened to an opening.
type Progress int

// The steps of progress, in order.
const (
	RoughOpening Progress = iota
	Measured
	OnSite
	Framed
	Glazed
	Hung
	Punched
)

// Word is the progress as people say it.
func (p Progress) Word() string {
	switch p {
	case RoughOpening:
		return "rough opening"
	case Measured:
		return "measured"
	case OnSite:
		return "material on site"
	case Framed:
		return "framed"
	case Glazed:
		return "glazed"
	case Hung:
		return "hung"
	case Punched:
		return "punched"
	}
	return fmt.Sprintf("progress %d", int(p))
}

// Side is left or right, seen from the room side.
type Side string

// The two sides.
const (
	Left  Side = "left"
	Right Side = "right"
)

// Sidelight is a fixed pane beside the door. A zero width takes a share of what the door leaves; no side reads as right.
type Sidelight struct {
	Side  Side
	Width length.Length
}

// Opening is what a drawing needs to know. Width and height are of the whole frame; of a door and frame or a pair they
// are of the door, and sidelights and transom come on top. Missing measures are filled with usual ones, so that a half-known opening is
// drawn rather than refused.
type Opening struct {
	Mark        string
	Type        Type
	Width       length.Length
	Height      length.Length
	Leaves      int             // 0: by type, two for a pair, none for a fixed light or a storefront run, else one
	LeafWidth   length.Length   // of each leaf; 0: the usual 3'-0", or what a narrow front leaves
	Sidelights  []Sidelight     // from left to right; a front wider than its leaf that lists none has one on the right
	Transom     length.Length   // height of the panes above the door; 0: none
	ButtJoints  bool            // panes meet at a sealed joint without a mullion
	Lights      int             // lights side by side of a fixed light or storefront run; 0: one
	LightWidths []length.Length // of each of the lights; empty: equal ones
	DoorLight   int             // storefront run with leaves: the light that holds them, from 1 at the left; 0: the first
	Handing     Side            // hinge side, or the side a slide opens to; empty reads as left
	GlassLeaf   bool            // door and frame, pair: the leaves are glass
	SolidLeaf   bool            // front, storefront: the leaves are not
	Progress    Progress
	Hold        string // its word: "wall", "glass", "answer"; empty when nothing holds it
}

// Text says in words what the drawing shows.
func (o Opening) Text() string {
	var b strings.Builder
	if o.Mark != "" {
		b.WriteString(o.Mark + ", ")
	}
	b.WriteString(o.Type.Name())
	if n := len(o.Sidelights); n == 1 {
		b.WriteString(" with sidelight on the " + string(o.Sidelights[0].side()))
	} else if n > 1 {
		fmt.Fprintf(&b, " with %d sidelights", n)
	}
	b.WriteString(": " + o.Progress.Word())
	if o.Hold != "" {
		b.WriteString(", held: " + o.Hold)
	}
	return b.String()
}

func (s Sidelight) side() Side {
	if s.Side == Left {
		return Left
	}
	return Right
}
