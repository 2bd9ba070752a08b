package rcpsp

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// plainGenerator is serial generation without packed words: one table of free units per resource, walked period by
// period. It is the second opinion on the packed one, and the measure of what packing buys.
type plainGenerator struct {
	in   *Instance
	free [][]int32
}

func newPlainGenerator(in *Instance) *plainGenerator {
	g := &plainGenerator{in: in}
	horizon := int32(0)
	for _, d := range in.Duration {
		horizon += d
	}
	for range in.Capacity {
		g.free = append(g.free, make([]int32, horizon))
	}
	return g
}

func (g *plainGenerator) build(list, start []int32) (makespan int32) {
	for k, capacity := range g.in.Capacity {
		for p := range g.free[k] {
			g.free[k][p] = capacity
		}
	}
	for _, job := range list {
		at, d := int32(0), g.in.Duration[job]
		for _, before := range g.in.Predecessors(int(job)) {
			at = max(at, start[before]+g.in.Duration[before])
		}
		for p := at; p < at+d; p++ {
			for k, units := range g.in.units(job) {
				if g.free[k][p] < units {
					at = p + 1
					break
				}
			}
		}
		for p := at; p < at+d; p++ {
			for k, units := range g.in.units(job) {
				g.free[k][p] -= units
			}
		}
		start[job] = at
		makespan = max(makespan, at+d)
	}
	return makespan
}

func TestGenerator_AgreesWithPlainTables(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := drawInstance(t, 30)
		list, want, got := make([]int32, in.Jobs()), make([]int32, in.Jobs()), make([]int32, in.Jobs())
		l := newLister(in)
		l.sample(list, make([]int32, in.Jobs()), forward, newRandom(rapid.Uint64().Draw(t, "seed")))
		wantMakespan := newPlainGenerator(in).build(list, want)
		require.Equal(t, wantMakespan, newGenerator(in).build(list, forward, got))
		require.Equal(t, want, got)
	})
}

// BenchmarkPlainBuild is BenchmarkBuild with one table per resource.
func BenchmarkPlainBuild(b *testing.B) {
	for _, set := range []string{"j30", "j60", "j120"} {
		b.Run(set, func(b *testing.B) {
			in := loadSet(b, set, reported[0])[0].in
			g, l := newPlainGenerator(in), newLister(in)
			list, start := make([]int32, in.Jobs()), make([]int32, in.Jobs())
			l.byUrgency(list, in.urgency(LatestFinish), forward)
			for b.Loop() {
				g.build(list, start)
			}
			b.ReportMetric(float64(in.Jobs())*float64(b.N)/b.Elapsed().Seconds(), "jobs/s")
		})
	}
}
