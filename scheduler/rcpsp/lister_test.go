package rcpsp

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The parallel method leaves no units idle that a job whose relations are satisfied could hold: counted here over the
// jobs that run at the moment, not over those drawn before. The serial generation of the list must give that schedule.
func TestSampleBusy_StartsJobsWhileUnitsAreIdle(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := drawInstance(t, 30)
		l, g := newLister(in), newGenerator(in)
		chance := newRandom(rapid.Uint64().Draw(t, "seed"))
		list, start := make([]int32, in.Jobs()), make([]int32, in.Jobs())
		for _, way := range []direction{forward, backward} {
			l.sampleBusy(list, in.urgency(LatestFinish), way, chance)
			makespan := g.build(list, way, start)
			for job, at := range start {
				require.Equal(t, l.finish[job]-in.Duration[job], at, "job %d", job)
				requireNotIdle(t, in, start, int32(job), way)
			}
			if way == backward {
				g.turn(start, makespan)
			}
			require.Empty(t, violations(in, start, makespan))
		}
	})
}

// requireNotIdle fails when a job's relations are satisfied and its units idle at a moment before it starts. Only the
// finishes of other jobs make units idle, so those moments are enough.
func requireNotIdle(t *rapid.T, in *Instance, start []int32, job int32, way direction) {
	before := in.predecessors.of(job)
	if way == backward {
		before = in.successors.of(job)
	}
	ready := int32(0)
	for _, other := range before {
		ready = max(ready, start[other]+in.Duration[other])
	}
	moments := []int32{ready}
	for other, at := range start {
		moments = append(moments, at+in.Duration[other])
	}
	for _, moment := range moments {
		if moment >= ready && moment < start[job] {
			require.True(t, isShort(in, start, job, moment), "job %d could start at %d, not %d", job, moment, start[job])
		}
	}
}

// isShort reports whether the jobs that run at a moment leave a job too few units.
func isShort(in *Instance, start []int32, job, moment int32) bool {
	if in.Duration[job] == 0 {
		return false
	}
	for k, need := range in.units(job) {
		held := int32(0)
		for other, at := range start {
			if at <= moment && moment < at+in.Duration[other] {
				held += in.units(int32(other))[k]
			}
		}
		if held+need > in.Capacity[k] {
			return true
		}
	}
	return false
}
