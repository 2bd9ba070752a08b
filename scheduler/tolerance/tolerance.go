// Package tolerance holds what is measured at an opening against what may be built to, and says in figures what lies
// beyond.
//
// Four things are looked at. The size against the drawings: width and height may be off by so much either way. Plumb: how
// far the worse jamb leans over its own height. Level: how far head or floor rises over the opening's width. Square: the
// difference of the two diagonals, which is 0 in a true rectangle.
//
//	measured 3'-4 1/4" x 7'-2", 5/16" out of plumb; allowed are 1/4" of size and 1/16" of plumb
//	-> one finding: plumb, 5/16" where 1/16" is allowed, 1/4" beyond
//
// Two families are told apart, since hollow metal is set closer than glazed fronts. The figures are defaults that a firm
// or a project replaces; the maker of the system governs, and so do the contract documents:
//
//   - Frames: 1/16 in each of plumb, square and level (alignment), from a public owner's specification for setting hollow
//     metal frames: State of Delaware, section 08 11 13, paragraph 3.02, a text that follows ANSI/SDI A250.11 and
//     ANSI/NAAMM HMMA 841.
//   - Fronts: 1/8 in of plumb (in 10 ft) and of level (in 20 ft), as specifications of section 08 41 13 usually say. This
//     is quoted from memory and stands here to be checked.
//   - Size: 1/4 in either way, common practice for rough openings. No single published figure holds for all systems.
//   - Square of fronts: 1/8 in, common practice.
//
// What this package does not do: it judges neither the structure nor whether shims or a remade frame can take a finding
// up. That is for people and the system's maker.
package tolerance

import (
	"jambwright/scheduler/length"
	"jambwright/scheduler/takeoff"
)

// Check is one of the things that are looked at.
type Check string

// The checks, in the order of Checks.
const (
	Width  Check = "width"
	Height Check = "height"
	Plumb  Check = "plumb"
	Level  Check = "level"
	Square Check = "square"
)

// Checks lists all checks in the order in which findings come.
func Checks() []Check { return []Check{Width, Height, Plumb, Level, Square} }

// Allowed is how far an opening may be off. Size is either way from the drawings. A zero field was not given.
type Allowed struct {
	Size   length.Length `json:"size,omitempty"`
	Plumb  length.Length `json:"plumb,omitempty"`
	Level  length.Length `json:"level,omitempty"`
	Square length.Length `json:"square,omitempty"`
}

// Or fills the fields that are not given from others.
func (a Allowed) Or(others Allowed) Allowed {
	return Allowed{
		Size: or(a.Size, others.Size), Plumb: or(a.Plumb, others.Plumb), Level: or(a.Level, others.Level), Square: or(a.Square, others.Square),
	}
}

func or(a, b length.Length) length.Length {
	if a == 0 {
		return b
	}
	return a
}

// Set is what is allowed for both families.
type Set struct {
	Frames Allowed `json:"frames,omitzero"` // doors and frames, pairs
	Fronts Allowed `json:"fronts,omitzero"` // glazed fronts, fixed lights, storefront runs
}

// Or fills what is not given from another set.
func (s Set) Or(others Set) Set {
	return Set{Frames: s.Frames.Or(others.Frames), Fronts: s.Fronts.Or(others.Fronts)}
}

// sixteenth is the unit of the usual figures.
const sixteenth = length.Inch / 16

// Usual are the figures of the package comment.
func Usual() Set {
	return Set{
		Frames: Allowed{Size: 4 * sixteenth, Plumb: sixteenth, Level: sixteenth, Square: sixteenth},
		Fronts: Allowed{Size: 4 * sixteenth, Plumb: 2 * sixteenth, Level: 2 * sixteenth, Square: 2 * sixteenth},
	}
}

// For is what is allowed for a type of opening.
func (s Set) For(t takeoff.Type) Allowed {
	switch t {
	case takeoff.DoorFrame, takeoff.Pair:
		return s.Frames
	}
	return s.Fronts
}

// Reading is what was measured at an opening. Nil was not measured, and is not judged.
type Reading struct {
	Width, Height        *length.Length
	Plumb, Level, Square *length.Length // how far off, 0 or more
}

// Finding is one thing beyond what is allowed. Off is how far it is off: of a size signed, positive is too large.
type Finding struct {
	Check   Check
	Off     length.Length
	Allowed length.Length
}

// Beyond is by how much a finding exceeds what is allowed, more than 0.
func (f Finding) Beyond() length.Length { return abs(f.Off) - f.Allowed }

// Find lists what of a reading lies beyond the allowed, in the order of Checks. width and height are those of the
// drawings; one of 0 is not known and not judged. What is off by exactly the allowed is within it.
func Find(r Reading, width, height length.Length, allowed Allowed) []Finding {
	var list []Finding
	add := func(c Check, off, allowed length.Length) {
		if abs(off) > allowed {
			list = append(list, Finding{Check: c, Off: off, Allowed: allowed})
		}
	}
	if r.Width != nil && width > 0 {
		add(Width, *r.Width-width, allowed.Size)
	}
	if r.Height != nil && height > 0 {
		add(Height, *r.Height-height, allowed.Size)
	}
	for _, c := range []struct {
		check   Check
		off     *length.Length
		allowed length.Length
	}{{Plumb, r.Plumb, allowed.Plumb}, {Level, r.Level, allowed.Level}, {Square, r.Square, allowed.Square}} {
		if c.off != nil {
			add(c.check, *c.off, c.allowed)
		}
	}
	return list
}

func abs(l length.Length) length.Length { return max(l, -l) }
