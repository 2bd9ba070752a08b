package pattern

import (
	"slices"

	"jambwright/scheduler/takeoff"
)

// Ring finds steps that wait for one another in a ring, whatever the types of their links, at some opening that the pattern can be of:
// the kinds in the order in which they wait, the first one again at the end. Nil when there is none.
//
//	glaze -> hang -> punch, and a link punch -> glaze:   glaze, hang, punch, glaze
func (p *Pattern) Ring() []takeoff.Kind {
	cases := []When{WithPanes, WithLeaves, WithButtJoints, WhenPowered}
	for chosen := range 1 << len(cases) {
		holds := func(w When) bool {
			at := slices.Index(cases, w)
			return at < 0 || chosen&(1<<at) != 0
		}
		if ring := p.ringWhere(holds); ring != nil {
			return ring
		}
	}
	return nil
}

// ringWhere finds a ring at openings of which the cases hold.
func (p *Pattern) ringWhere(holds func(When) bool) []takeoff.Kind {
	var steps []takeoff.Kind
	for _, s := range p.Steps {
		if holds(s.When) {
			steps = append(steps, s.Kind)
		}
	}
	next := map[takeoff.Kind][]takeoff.Kind{}
	for i := 1; i < len(steps); i++ {
		next[steps[i-1]] = append(next[steps[i-1]], steps[i])
	}
	for _, l := range p.Links {
		if holds(l.When) && slices.Contains(steps, l.From) && slices.Contains(steps, l.To) {
			next[l.From] = append(next[l.From], l.To)
		}
	}
	for _, from := range steps {
		if path := pathTo(next, []takeoff.Kind{from}, from); path != nil {
			return path
		}
	}
	return nil
}

// pathTo goes on along a path until it comes to a kind, each kind once on the way; nil when it cannot.
func pathTo(next map[takeoff.Kind][]takeoff.Kind, path []takeoff.Kind, to takeoff.Kind) []takeoff.Kind {
	for _, kind := range next[path[len(path)-1]] {
		if kind == to {
			return append(slices.Clone(path), kind)
		}
		if slices.Contains(path, kind) {
			continue
		}
		if whole := pathTo(next, append(slices.Clone(path), kind), to); whole != nil {
			return whole
		}
	}
	return nil
}
