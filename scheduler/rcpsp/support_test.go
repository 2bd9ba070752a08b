package rcpsp

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// violations checks a schedule from the definition of the problem alone: it shares no code with the generator.
func violations(in *Instance, starts []int32, makespan int32) []string {
	var found []string
	if len(starts) != len(in.Duration) {
		return []string{fmt.Sprintf("%d starts for %d jobs", len(starts), len(in.Duration))}
	}
	last := int32(0)
	for job, start := range starts {
		if start < 0 {
			found = append(found, fmt.Sprintf("job %d starts at %d", job+1, start))
		}
		last = max(last, start+in.Duration[job])
		for _, next := range in.Successors(job) {
			if starts[next] < start+in.Duration[job] {
				found = append(found, fmt.Sprintf("job %d starts at %d, before job %d finishes at %d", next+1, starts[next], job+1, start+in.Duration[job]))
			}
		}
	}
	if last != makespan || starts[len(starts)-1] != makespan {
		found = append(found, fmt.Sprintf("makespan %d, but the last finish is %d and the sink starts at %d", makespan, last, starts[len(starts)-1]))
	}
	for period := range last {
		for k, capacity := range in.Capacity {
			held := int32(0)
			for job, start := range starts {
				if start <= period && period < start+in.Duration[job] {
					held += in.Request[job*len(in.Capacity)+k]
				}
			}
			if held > capacity {
				found = append(found, fmt.Sprintf("period %d: %d units of resource %d held, capacity %d", period, held, k+1, capacity))
			}
		}
	}
	return found
}

// drawInstance draws a small project: up to most real jobs, up to three resources.
func drawInstance(t *rapid.T, most int) *Instance {
	real := rapid.IntRange(1, most).Draw(t, "jobs")
	n := real + 2
	resources := rapid.IntRange(1, 3).Draw(t, "resources")
	capacity := make([]int32, resources)
	for k := range capacity {
		capacity[k] = rapid.Int32Range(1, 6).Draw(t, "capacity")
	}
	duration := make([]int32, n)
	request := make([][]int32, n)
	successors := make([][]int32, n)
	hasPredecessor := make([]bool, n)
	for job := range n {
		request[job] = make([]int32, resources)
		if job == 0 || job == n-1 {
			continue
		}
		duration[job] = rapid.Int32Range(0, 5).Draw(t, "duration")
		for k := range request[job] {
			request[job][k] = rapid.Int32Range(0, capacity[k]).Draw(t, "units")
		}
		for next := job + 1; next < n-1; next++ {
			if rapid.IntRange(0, 3).Draw(t, "linked") == 0 {
				successors[job] = append(successors[job], int32(next))
				hasPredecessor[next] = true
			}
		}
		if len(successors[job]) == 0 {
			successors[job] = []int32{int32(n - 1)}
		}
		if !hasPredecessor[job] {
			successors[0] = append(successors[0], int32(job))
		}
	}
	in, err := NewInstance(duration, capacity, request, successors)
	if err != nil {
		t.Fatal(err)
	}
	return in
}

// bruteForce returns the optimum by placing the jobs in every feasible order, each at its first feasible start. One of
// those schedules is optimal, because some optimal schedule is active (Sprecher, Kolisch and Drexl, "Semi-active,
// active, and non-delay schedules for the resource-constrained project scheduling problem", European Journal of
// Operational Research 80, 1995). Its placing walks plain periods and shares no code with the generator.
func bruteForce(in *Instance) int32 {
	n := in.Jobs()
	starts := make([]int32, n)
	placed := make([]bool, n)
	best := int32(1 << 30)
	var extend func(count int, makespan int32)
	extend = func(count int, makespan int32) {
		if makespan >= best {
			return
		}
		if count == n {
			best = makespan
			return
		}
		for job := range n {
			if placed[job] || !allPlaced(placed, in.Predecessors(job)) {
				continue
			}
			starts[job] = firstStart(in, job, starts, placed)
			placed[job] = true
			extend(count+1, max(makespan, starts[job]+in.Duration[job]))
			placed[job] = false
		}
	}
	extend(0, 0)
	return best
}

func allPlaced(placed []bool, jobs []int32) bool {
	for _, job := range jobs {
		if !placed[job] {
			return false
		}
	}
	return true
}

func firstStart(in *Instance, job int, starts []int32, placed []bool) int32 {
	at := int32(0)
	for _, before := range in.Predecessors(job) {
		at = max(at, starts[before]+in.Duration[before])
	}
	for ; ; at++ {
		if roomAt(in, job, at, starts, placed) {
			return at
		}
	}
}

func roomAt(in *Instance, job int, at int32, starts []int32, placed []bool) bool {
	for period := at; period < at+in.Duration[job]; period++ {
		for k, capacity := range in.Capacity {
			held := in.Request[job*len(in.Capacity)+k]
			for other, start := range starts {
				if placed[other] && start <= period && period < start+in.Duration[other] {
					held += in.Request[other*len(in.Capacity)+k]
				}
			}
			if held > capacity {
				return false
			}
		}
	}
	return true
}

// readTestInstance reads testdata/j301_1.sm: instance 1 of parameter setting 1 with 30 jobs, from Kolisch and Sprecher,
// "PSPLIB - a project scheduling problem library", European Journal of Operational Research 96 (1996).
func readTestInstance(t testing.TB) *Instance {
	t.Helper()
	return readInstance(t, filepath.Join("testdata", "j301_1.sm"))
}

func readInstance(t testing.TB, path string) *Instance {
	t.Helper()
	file, err := os.Open(path)
	require.NoError(t, err)
	defer file.Close()
	in, err := Read(file)
	require.NoError(t, err)
	return in
}
