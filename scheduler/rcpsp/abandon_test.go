package rcpsp

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// An abandoned schedule is one that would have been longer than allowed, however the units are packed; it counts for the
// part that was built and leaves the table empty.
func TestGenerator_AbandonsExactlyWhatIsLongerThanAllowed(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := drawInstance(t, 12)
		for range rapid.IntRange(0, 8).Draw(t, "more resources") { // beyond eight lanes a word is not enough
			in = withAnotherResource(in)
		}
		g, l := newGenerator(in), newLister(in)
		chance := newRandom(rapid.Uint64().Draw(t, "seed"))
		list, start := make([]int32, in.Jobs()), make([]int32, in.Jobs())
		for _, way := range []direction{forward, backward} {
			l.sample(list, in.urgency(LatestFinish), way, chance)
			g.allowed = unlimited
			makespan := g.build(list, way, start)
			for allowed := max(0, makespan-3); allowed < makespan+2; allowed++ {
				before := g.assigned
				g.allowed = allowed
				got := g.build(list, way, start)
				if allowed >= makespan {
					require.Equal(t, makespan, got)
					require.Equal(t, int64(in.Jobs()), g.assigned-before)
				} else {
					require.Equal(t, int32(unlimited), got)
					require.LessOrEqual(t, g.assigned-before, int64(in.Jobs()))
				}
				for p, free := range g.free {
					require.Equal(t, g.full[p%g.lanes.words], free, "the table must be left empty")
				}
			}
		}
	})
}

// withAnotherResource repeats the first resource, which changes no schedule.
func withAnotherResource(in *Instance) *Instance {
	if len(in.Capacity) == 0 {
		return in
	}
	wide := *in
	wide.Capacity, wide.Request = append([]int32{in.Capacity[0]}, in.Capacity...), nil
	for job := range in.Jobs() {
		units := in.units(int32(job))
		wide.Request = append(append(wide.Request, units[0]), units...)
	}
	return &wide
}
