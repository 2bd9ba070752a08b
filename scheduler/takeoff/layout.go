package takeoff

import (
	"errors"
	"fmt"

	"jambwright/scheduler/length"
)

// Rect is a place in the elevation. X counts from the left edge of the frame, Y from its bottom edge.
type Rect struct {
	X, Y, Width, Height length.Length
}

// Layout is the elevation of an opening: the frame from outside to outside, the bays side by side, and the members
// between them. It is what a drawing to scale needs and what every quantity is counted from.
//
//	+--+----------------- head ---------------+--+  Height
//	|  |   transom   |  |  transom            |  |
//	|  +---- bar ----+  +-------- bar --------+  |
//	|j |             |m |                     |j |  Lower
//	|a |   leaf      |u |    fixed light      |a |
//	|m |             |l |                     |m |
//	|b |             |l |                     |b |
//	|  |             |. +------- base --------+  |
//	+--+             +--+                     +--+  0
//	0  |<-- bay 0 -->|  |<------ bay 1 ------>|     Width
//
// The jambs run through from bottom to top, mullions from the bottom to the head. Bars, base and channel are cut between the
// uprights. Two fixed bays at a butt joint touch, and their base and bar run through below and above the joint.
type Layout struct {
	Width, Height length.Length // of the frame
	Profile       Profile
	Bays          []Bay           // from left to right
	Transom       length.Length   // daylight height above the transom bar, 0 for none
	Lower         length.Length   // from the bottom of the frame to the transom bar, or to the head
	Mullions      []length.Length // X of the left edge of each mullion
	// Assumed says that widths were missing or did not add up, and were settled by rule: verify them at the survey.
	Assumed bool
}

// Bay is one light or the leaves' place. Its X and Width are of the daylight between the vertical members; at a butt joint
// two bays touch.
type Bay struct {
	Leaves    int // 0 for fixed glass
	X, Width  length.Length
	ButtLeft  bool // meets its left neighbour without a mullion
	ButtRight bool
}

// share says how wide a bay wants to be; a zero width shares what is left over.
type share struct {
	leaves int
	width  length.Length
}

// tolerance is how far given widths may miss the frame's: the sixteenth to which a tape is read.
const tolerance = length.Sixteenth

// Lay works out the elevation. Given widths that miss the frame by no more than a tape's sixteenth are taken as meant; what
// misses by more is settled by rule and marked Assumed, because a schedule is read long before a wall is measured, and the
// survey corrects it. The error joins every fault found: sizes that no rule makes sense of. Cost is linear in the lights.
func Lay(o Opening, rules Rules) (Layout, error) {
	rules = rules.WithDefaults()
	if err := checkSizes(o); err != nil {
		return Layout{}, err
	}
	l := Layout{Profile: rules.Profile(o.Type), Transom: o.Transom}
	shares := l.bayShares(o, rules)
	l.place(o, shares)
	if err := l.divide(o, shares); err != nil {
		return Layout{}, err
	}
	return l, l.checkDaylight()
}

// leavesOf is the number of leaves after the type's own default.
func leavesOf(o Opening) int {
	switch {
	case o.Leaves > 0:
		return o.Leaves
	case o.Type == Pair:
		return 2
	case o.Type == FixedLight || o.Type == Storefront:
		return 0
	}
	return 1
}

// IsDoorSized reports whether the type's width and height are of the door opening rather than of the frame.
func (t Type) IsDoorSized() bool { return t == DoorFrame || t == Pair }

// checkSizes finds the faults that can be told from the fields alone. Everything behind it may divide by counts and
// multiply lengths without fear of zero or overflow.
func checkSizes(o Opening) error {
	var faults []error
	fault := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }
	if o.Width <= 0 || o.Height <= 0 {
		fault("%v x %v: width and height must be above zero", o.Width, o.Height)
	}
	if o.Width > longest || o.Height > longest {
		fault("%v x %v: no opening is larger than %v", o.Width, o.Height, longest)
	}
	if o.Leaves < 0 || o.Lights < 0 || o.HardwarePoints < 0 || o.Transom < 0 || o.LeafWidth < 0 || o.SillHeight < 0 {
		fault("leaves %d, lights %d, hardware points %d, transom %v, leaf width %v, sill %v: none may be negative",
			o.Leaves, o.Lights, o.HardwarePoints, o.Transom, o.LeafWidth, o.SillHeight)
	}
	if max(o.Lights, o.Leaves, len(o.LightWidths), len(o.Sidelights)) > mostBays {
		fault("%d lights, %d leaves, %d sidelights: no opening has more than %d", max(o.Lights, len(o.LightWidths)), o.Leaves, len(o.Sidelights), mostBays)
	}
	switch o.Type {
	case FixedLight, Storefront:
		faults = append(faults, checkLights(o)...)
	case SlidingFront, HingedFront, DoorFrame, Pair:
		faults = append(faults, checkSidelights(o)...)
	default:
		fault("type %q is not one of %v", o.Type, Types())
	}
	return errors.Join(faults...)
}

// longest and mostBays bound an opening so that a slip in a sheet is refused and areas stay far from overflow.
const (
	longest  = 100 * length.Metre
	mostBays = 200
)

func checkLights(o Opening) (faults []error) {
	if n := len(o.LightWidths); n > 0 && o.Lights > 0 && n != o.Lights {
		faults = append(faults, fmt.Errorf("%d light widths are given for %d lights", n, o.Lights))
	}
	for i, w := range o.LightWidths {
		if w <= 0 {
			faults = append(faults, fmt.Errorf("light %d has the width %v; it must be above zero", i+1, w))
		}
	}
	if o.Type == FixedLight && o.Leaves > 0 {
		faults = append(faults, fmt.Errorf("a fixed light has no leaves, not %d\n  an opening with a door is a front, a door and frame or a storefront", o.Leaves))
	}
	if len(o.Sidelights) > 0 {
		faults = append(faults, fmt.Errorf("a %s has lights, not sidelights; %d are given", o.Type, len(o.Sidelights)))
	}
	if lights := lightsOf(o); o.Leaves > 0 && (o.DoorLight < 0 || o.DoorLight > lights) {
		faults = append(faults, fmt.Errorf("the leaves are in light %d of %d", o.DoorLight, lights))
	}
	return faults
}

func checkSidelights(o Opening) (faults []error) {
	if o.Lights > 0 || len(o.LightWidths) > 0 {
		faults = append(faults, fmt.Errorf("a %s has sidelights, not lights; %d lights are given", o.Type, max(o.Lights, len(o.LightWidths))))
	}
	for i, s := range o.Sidelights {
		if s.Width < 0 {
			faults = append(faults, fmt.Errorf("sidelight %d has the width %v", i+1, s.Width))
		}
		if s.Side != Left && s.Side != Right && s.Side != "" {
			faults = append(faults, fmt.Errorf("sidelight %d stands on side %q; write left or right", i+1, s.Side))
		}
	}
	return faults
}

// lightsOf is the number of lights of a fixed light or storefront.
func lightsOf(o Opening) int { return max(1, o.Lights, len(o.LightWidths)) }

// bayShares lists the bays from left to right with the widths they ask for.
func (l *Layout) bayShares(o Opening, rules Rules) []share {
	if o.Type == FixedLight || o.Type == Storefront {
		return lightShares(o, rules)
	}
	leaves := share{leaves: leavesOf(o)}
	var sidelights []Sidelight
	if o.Type.IsDoorSized() {
		leaves.width, sidelights = l.doorWidths(o, rules)
	} else {
		leaves.width, sidelights = frontWidths(o, rules, l.Profile)
	}
	var left, right []share
	for _, s := range sidelights {
		if s.Side == Left {
			left = append(left, share{width: s.Width})
		} else {
			right = append(right, share{width: s.Width})
		}
	}
	return append(append(left, leaves), right...)
}

// NarrowestLight is the least daylight that is worth a pane; a front with less beside its leaf has no sidelight.
const NarrowestLight = 4 * length.Inch

func lightShares(o Opening, rules Rules) []share {
	shares := make([]share, lightsOf(o))
	for i := range shares {
		if len(o.LightWidths) > 0 {
			shares[i].width = o.LightWidths[i]
		}
	}
	if n := leavesOf(o); n > 0 {
		door := &shares[max(o.DoorLight, 1)-1]
		door.leaves = n
		if len(o.LightWidths) == 0 && len(shares) > 1 {
			door.width = length.Length(n) * firstSet(o.LeafWidth, rules.LeafWidth)
		}
	}
	return shares
}

func firstSet(a, b length.Length) length.Length {
	if a > 0 {
		return a
	}
	return b
}

// place sets the outside size and the heights. For types whose size is the door opening the frame is built up around it;
// for all others it is given and the inside is what is left.
func (l *Layout) place(o Opening, shares []share) {
	p := l.Profile
	bar := length.Length(0)
	if o.Transom > 0 {
		bar = p.Bar
	}
	if !o.Type.IsDoorSized() {
		l.Width, l.Height = o.Width, o.Height
		l.Lower = o.Height - p.Head - o.Transom - bar
		return
	}
	l.Lower = o.Height
	l.Height = o.Height + bar + o.Transom + p.Head
	l.Width = 2 * p.Jamb
	for i, s := range shares {
		l.Width += s.width
		if i > 0 && !meetsBare(o, shares, i) {
			l.Width += p.Mullion
		}
	}
}

// meetsBare reports whether bay i meets the one before it at a butt joint.
func meetsBare(o Opening, shares []share, i int) bool {
	return o.ButtJoints && shares[i-1].leaves == 0 && shares[i].leaves == 0
}

// divide gives every bay its width and place. What the given widths leave over is shared equally; a remainder of single
// units goes to the first ones, so that the widths always add up.
func (l *Layout) divide(o Opening, shares []share) error {
	left := l.Width - 2*l.Profile.Jamb
	open := 0
	for i, s := range shares {
		left -= s.width
		if s.width == 0 {
			open++
		}
		if i > 0 && !meetsBare(o, shares, i) {
			left -= l.Profile.Mullion
		}
	}
	if open == 0 && (left > tolerance || left < -tolerance) {
		l.Assumed = true
		takeUp(shares, left)
	}
	if open > 0 && left < length.Length(open)*NarrowestLight {
		return fmt.Errorf("%d lights share %v of a frame %v wide: each needs at least %v", open, left, l.Width, NarrowestLight)
	}
	x := l.Profile.Jamb
	for i, s := range shares {
		bay := Bay{Leaves: s.leaves, Width: s.width}
		if i > 0 {
			if bay.ButtLeft = meetsBare(o, shares, i); !bay.ButtLeft {
				l.Mullions = append(l.Mullions, x)
				x += l.Profile.Mullion
			}
		}
		bay.ButtRight = i+1 < len(shares) && meetsBare(o, shares, i+1)
		if s.width == 0 {
			bay.Width = (left + length.Length(open) - 1) / length.Length(open)
			left -= bay.Width
			open--
		}
		bay.X = x
		x += bay.Width
		l.Bays = append(l.Bays, bay)
	}
	// Given widths within the tolerance: the last bay takes the difference, so that the drawing closes.
	last := &l.Bays[len(l.Bays)-1]
	last.Width += l.Width - l.Profile.Jamb - x
	return nil
}

// takeUp gives the last fixed light, or the leaves where there is none, what given widths miss the frame by.
func takeUp(shares []share, left length.Length) {
	last := len(shares) - 1
	for i := range shares {
		if shares[i].leaves == 0 {
			last = i
		}
	}
	shares[last].width += left
}

// checkDaylight refuses a frame that leaves no room for a light.
func (l *Layout) checkDaylight() error {
	low := l.Lower
	for _, b := range l.Bays {
		if b.Leaves == 0 {
			low = l.Lower - l.Profile.Base
		}
		if b.Width < NarrowestLight {
			return fmt.Errorf("a light or leaf is left %v wide in a frame of %v: it needs at least %v", b.Width, l.Width, NarrowestLight)
		}
	}
	if low <= 0 {
		return fmt.Errorf("a frame %v high with a transom of %v leaves no daylight below it", l.Height, l.Transom)
	}
	return nil
}

// run is a stretch of bays between two vertical members: one bay, or several that meet at butt joints.
type run struct {
	x, width length.Length
	leaves   int
}

// runs joins the bays that no mullion parts: a channel or bar is one piece along them.
func (l *Layout) runs() []run {
	var out []run
	for _, b := range l.Bays {
		if b.ButtLeft {
			out[len(out)-1].width += b.Width
			continue
		}
		out = append(out, run{x: b.X, width: b.Width, leaves: b.Leaves})
	}
	return out
}
