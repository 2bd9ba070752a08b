package rcpsp

import (
	"errors"
	"fmt"
	"math"
)

// Limits of an instance. They keep the table of periods in memory and every sum within 32 bits.
const (
	// MaxJobs is the largest number of jobs, the two dummies included.
	MaxJobs = 20_000
	// MaxHorizon is the largest sum of all durations, in periods.
	MaxHorizon = 1 << 20
	// MaxResources is the largest number of resources.
	MaxResources = 64
	// MaxCapacity is the largest capacity of one resource, in units.
	MaxCapacity = 1 << 30
)

// Instance is one single-mode project. Jobs are numbered from 0 here and from 1 in files; job 0 is the dummy source and
// the last job the dummy sink. Every successor has a higher number than its job, so the numbering is a topological
// order. An Instance is not changed once made and may be shared by any number of searches.
type Instance struct {
	// Duration holds the periods each job runs. One entry per job.
	Duration []int32
	// Capacity holds the units of each resource. One entry per resource.
	Capacity []int32
	// Request holds the units a job holds while it runs: Request[job*len(Capacity)+resource].
	Request []int32

	successors   rows
	predecessors rows
}

// rows are lists of jobs stored one after another: the list of job j is item[first[j]:first[j+1]].
type rows struct {
	first []int32
	item  []int32
}

func (r *rows) of(job int32) []int32 { return r.item[r.first[job]:r.first[job+1]] }

// NewInstance builds an instance from one duration, one row of requests and one list of successors per job (numbered
// from 0). The arguments are copied. The error joins every fault found.
func NewInstance(duration, capacity []int32, request, successors [][]int32) (*Instance, error) {
	if err := checkParts(duration, capacity, request, successors); err != nil {
		return nil, err
	}
	in := &Instance{
		Duration: append([]int32(nil), duration...),
		Capacity: append([]int32(nil), capacity...),
	}
	for _, units := range request {
		in.Request = append(in.Request, units...)
	}
	in.link(successors)
	return in, nil
}

// Jobs returns the number of jobs, the two dummies included.
func (in *Instance) Jobs() int { return len(in.Duration) }

// Successors returns the jobs that may not start before the given one has finished. The slice belongs to the instance.
func (in *Instance) Successors(job int) []int32 { return in.successors.of(int32(job)) }

// Predecessors returns the jobs that must have finished before the given one starts. The slice belongs to the instance.
func (in *Instance) Predecessors(job int) []int32 { return in.predecessors.of(int32(job)) }

// units returns the request of one job, one entry per resource.
func (in *Instance) units(job int32) []int32 {
	k := len(in.Capacity)
	return in.Request[int(job)*k : int(job+1)*k]
}

func (in *Instance) link(successors [][]int32) {
	n := len(successors)
	incoming := make([][]int32, n)
	in.successors.first = make([]int32, 1, n+1)
	for job, list := range successors {
		in.successors.item = append(in.successors.item, list...)
		in.successors.first = append(in.successors.first, int32(len(in.successors.item)))
		for _, next := range list {
			incoming[next] = append(incoming[next], int32(job))
		}
	}
	in.predecessors.first = make([]int32, 1, n+1)
	for _, list := range incoming {
		in.predecessors.item = append(in.predecessors.item, list...)
		in.predecessors.first = append(in.predecessors.first, int32(len(in.predecessors.item)))
	}
}

func checkParts(duration, capacity []int32, request, successors [][]int32) error {
	n := len(duration)
	if n < 2 || n > MaxJobs {
		return fmt.Errorf("an instance needs 2 to %d jobs with the two dummies, got %d", MaxJobs, n)
	}
	if len(request) != n || len(successors) != n {
		return fmt.Errorf("%d durations, but %d rows of requests and %d of successors", n, len(request), len(successors))
	}
	if len(capacity) > MaxResources {
		return fmt.Errorf("%d resources, the limit is %d", len(capacity), MaxResources)
	}
	var faults []error
	fault := func(format string, values ...any) { faults = append(faults, fmt.Errorf(format, values...)) }
	for k, units := range capacity {
		if units < 0 || units > MaxCapacity {
			fault("resource %d: capacity %d is outside 0..%d", k+1, units, MaxCapacity)
		}
	}
	horizon := int64(0)
	for job := range n {
		horizon += max(0, int64(duration[job]))
		if duration[job] < 0 {
			fault("job %d: negative duration %d", job+1, duration[job])
		}
		checkRequest(job, request[job], capacity, fault)
	}
	if horizon > MaxHorizon {
		fault("durations add up to %d periods, the limit is %d", horizon, MaxHorizon)
	}
	if duration[0] != 0 || duration[n-1] != 0 {
		fault("jobs 1 and %d are the dummy source and sink and need duration 0, got %d and %d", n, duration[0], duration[n-1])
	}
	checkSuccessors(successors, fault)
	return errors.Join(faults...)
}

func checkRequest(job int, request, capacity []int32, fault func(string, ...any)) {
	if len(request) != len(capacity) {
		fault("job %d: %d requests for %d resources", job+1, len(request), len(capacity))
		return
	}
	for k, units := range request {
		if units < 0 {
			fault("job %d: negative request %d of resource %d", job+1, units, k+1)
		} else if units > capacity[k] {
			fault("job %d: asks for %d units of resource %d, which has %d", job+1, units, k+1, capacity[k])
		}
	}
}

// checkSuccessors requires that job numbers rise along every relation, and that the source comes before and the sink
// after every job. With rising numbers it is enough for the latter that each job has a predecessor and a successor.
func checkSuccessors(successors [][]int32, fault func(string, ...any)) {
	n := len(successors)
	hasPredecessor := make([]bool, n)
	seenBy := make([]int, n)
	total := 0
	for job, list := range successors {
		total += len(list)
		if len(list) == 0 && job != n-1 {
			fault("job %d: no successor; only the sink, job %d, may have none", job+1, n)
		}
		for _, next := range list {
			switch {
			case next < 0 || int(next) >= n:
				fault("job %d: successor %d does not exist, jobs run from 1 to %d", job+1, int64(next)+1, n)
				continue
			case int(next) <= job:
				fault("job %d: successor %d does not have a higher number", job+1, next+1)
			case seenBy[next] == job+1:
				fault("job %d: successor %d is listed twice", job+1, next+1)
			}
			seenBy[next] = job + 1
			hasPredecessor[next] = true
		}
	}
	for job := 1; job < n; job++ {
		if !hasPredecessor[job] {
			fault("job %d: no predecessor; only the source, job 1, may have none", job+1)
		}
	}
	if total > math.MaxInt32 {
		fault("%d relations are more than can be stored", total)
	}
}
