package takeoff

import (
	"errors"
	"fmt"

	"jambwright/scheduler/length"
)

// Rules are the rules of thumb that turn a size into quantities. All are ours to edit; a zero field reads as its
// default, so that the zero value is DefaultRules.
type Rules struct {
	ScrewSpacing   length.Length // channel and jambs, on centre, each end included
	HeadSpacing    length.Length // head, in HeadRows rows
	HeadRows       int
	MullionSpacing length.Length
	BarScrews      int // screws in each end of a transom bar
	Bite           length.Length
	BlocksPerPane  int
	LeafWidth      length.Length // of a front's leaf that gives none
	LadderOver     length.Length // a frame whose head stands higher above the floor is worked from a ladder
	Sidelight      length.Length // daylight width of a door's sidelight that nothing says anything about
	Glass          Glass         // of openings that state no thickness; where they state a make-up, only its thickness counts
	Lifting        Lifting
	Profiles       []Profile // own faces; a type without one has the one of DefaultProfile
}

// DefaultRules are common practice, except for LadderOver, BarScrews, Sidelight, Glass and Lifting, which are ours.
func DefaultRules() Rules {
	return Rules{
		ScrewSpacing:   18 * length.Inch,
		HeadSpacing:    12 * length.Inch,
		HeadRows:       2,
		MullionSpacing: 12 * length.Inch,
		BarScrews:      2,
		Bite:           5 * length.Sixteenth,
		BlocksPerPane:  2,
		LeafWidth:      36 * length.Inch,
		LadderOver:     8 * length.Foot,
		Sidelight:      18 * length.Inch,
		Glass:          Glass{Kind: Monolithic, Thickness: 10 * length.Millimetre},
		Lifting:        DefaultLifting(),
	}
}

// WithDefaults returns the rules with every zero field filled.
func (r Rules) WithDefaults() Rules {
	d := DefaultRules()
	fill(&r.ScrewSpacing, d.ScrewSpacing)
	fill(&r.HeadSpacing, d.HeadSpacing)
	fill(&r.HeadRows, d.HeadRows)
	fill(&r.MullionSpacing, d.MullionSpacing)
	fill(&r.BarScrews, d.BarScrews)
	fill(&r.Bite, d.Bite)
	fill(&r.BlocksPerPane, d.BlocksPerPane)
	fill(&r.LeafWidth, d.LeafWidth)
	fill(&r.LadderOver, d.LadderOver)
	fill(&r.Sidelight, d.Sidelight)
	fill(&r.Glass, d.Glass)
	r.Lifting = r.Lifting.WithDefaults()
	return r
}

// Check finds rules that no frame can follow: spacings and limits below zero. Zero is the default and always right.
func (r Rules) Check() error {
	var faults []error
	below := func(what string, value int64) {
		if value < 0 {
			faults = append(faults, fmt.Errorf("rule %s is %d; it must not be negative", what, value))
		}
	}
	below("screw spacing", int64(r.ScrewSpacing))
	below("head spacing", int64(r.HeadSpacing))
	below("head rows", int64(r.HeadRows))
	below("mullion spacing", int64(r.MullionSpacing))
	below("bar screws", int64(r.BarScrews))
	below("bite", int64(r.Bite))
	below("blocks a pane", int64(r.BlocksPerPane))
	below("leaf width", int64(r.LeafWidth))
	below("sidelight width", int64(r.Sidelight))
	below("reach", int64(r.LadderOver))
	below("lift limit", r.Lifting.LimitGrams)
	below("two hands over", int64(r.Lifting.TwoHandsOver))
	below("leaf hands", int64(r.Lifting.LeafHands))
	below("gear hands", int64(r.Lifting.GearHands))
	below("gear limit", r.Lifting.GearLimitGrams)
	for _, p := range r.Profiles {
		for _, face := range []length.Length{p.Jamb, p.Head, p.Mullion, p.Bar, p.Base, p.Stile, p.TopRail, p.BottomRail} {
			below("face of "+string(p.Type), int64(face))
		}
		below("trim of "+string(p.Type), int64(min(p.TrimFaces, p.CaulkFaces)))
	}
	return errors.Join(faults...)
}

// Profile holds the visible faces of a type's frame members, and the rails and stiles of its glass leaves.
type Profile struct {
	Type                       Type
	Jamb, Head, Mullion        length.Length
	Bar                        length.Length // transom bar
	Base                       length.Length // under fixed lights
	Stile, TopRail, BottomRail length.Length // of a glass leaf
	TrimFaces                  int           // faces of the wall that get trim around the frame: 0, 1 or 2
	CaulkFaces                 int           // faces that get a sealed joint around the frame: 0, 1 or 2
}

// DefaultProfile returns the faces that a type has when the rules say nothing: 1 3/4 in for framed fronts and lights, 2 in
// for storefronts and door frames (common practice). A bottom rail of 10 in keeps the push side smooth as 2010 ADA
// Standards 404.2.10 asks.
func DefaultProfile(t Type) Profile {
	face := 2 * length.Inch
	p := Profile{Type: t, Stile: 2 * length.Inch, TopRail: 2 * length.Inch, BottomRail: 10 * length.Inch}
	switch t {
	case SlidingFront, HingedFront, FixedLight:
		face = length.Inch + 12*length.Sixteenth
		p.TrimFaces = 2
	default:
		p.CaulkFaces = 2
	}
	p.Jamb, p.Head, p.Mullion, p.Bar, p.Base = face, face, face, face, face
	return p
}

// Profile returns the faces in force for a type.
func (r *Rules) Profile(t Type) Profile {
	for _, p := range r.Profiles {
		if p.Type == t {
			return p
		}
	}
	return DefaultProfile(t)
}

// fill replaces a zero value by its default.
func fill[T comparable](value *T, standard T) {
	var zero T
	if *value == zero {
		*value = standard
	}
}
