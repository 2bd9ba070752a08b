package rcpsp

import (
	"math"
	"slices"
)

// pick returns the shorter of two random members.
func (p *population) pick() *member {
	a := &p.members[p.chance.below(int64(len(p.members)))]
	b := &p.members[p.chance.below(int64(len(p.members)))]
	if b.makespan < a.makespan {
		return b
	}
	return a
}

// cross fills the keys of a child: the first parent's, but the second's for the jobs that the second starts within a
// window.
func (p *population) cross(first, second *member, way direction) {
	from, to := p.window(first, second, way)
	for job := range p.key {
		a, b := first.start[job], second.start[job]
		if way == backward {
			a = first.makespan - a - p.in.Duration[job]
			b = second.makespan - b - p.in.Duration[job]
		}
		p.key[job] = a
		if from <= b && b < to {
			p.key[job] = b
		}
	}
}

// window draws windows of the second parent, in the time of the child's direction, and returns the one where that
// parent holds most work more per period than the first.
func (p *population) window(first, second *member, way direction) (from, to int32) {
	p.measure(first)
	p.measure(second)
	most := math.Inf(-1)
	makespan := second.makespan
	for range windowDraws {
		// The conversion keeps machines that can fuse a product and a sum from rounding otherwise than the rest.
		share := windowLeast + float64((windowMost-windowLeast)*p.chance.fraction())
		length := int32(float64(makespan) * share)
		at := int32(p.chance.below(int64(makespan-length) + 1))
		gain := second.workWithin(at, at+length, way) - first.workWithin(at, at+length, way)
		if each := float64(gain) / float64(max(1, length)); each > most {
			most, from, to = each, at, at+length
		}
	}
	return from, to
}

// workWithin returns the work held within a window, given in the time of a direction. measure must have been called.
func (m *member) workWithin(from, to int32, way direction) int64 {
	if way == backward {
		from, to = m.makespan-to, m.makespan-from
	}
	return m.work[min(max(0, to), m.makespan)] - m.work[min(max(0, from), m.makespan)]
}

// measure fills the work of a member if that has not been done since it was built.
func (p *population) measure(m *member) {
	if len(m.work) > 0 {
		return
	}
	m.work = slices.Grow(m.work, int(m.makespan)+2)[:m.makespan+2]
	clear(m.work)
	for job, load := range p.load {
		m.work[m.start[job]+1] += load
		m.work[m.start[job]+p.in.Duration[job]+1] -= load
	}
	for range 2 { // first from changes to the work of a period, then to the work before it
		for t := 1; t < len(m.work); t++ {
			m.work[t] += m.work[t-1]
		}
	}
	m.work = m.work[:m.makespan+1]
}

// mutate moves the keys of a few jobs.
func (p *population) mutate() {
	share := mutatedJobs / float64(len(p.key))
	for job := range p.key {
		p.key[job] += int32(p.reach)
		if p.chance.fraction() < share {
			p.key[job] += int32(p.chance.below(2*p.reach+1) - p.reach)
		}
	}
}

// keysOf fills the keys with a member's starts, in the time of a direction.
func (p *population) keysOf(m *member, way direction) {
	copy(p.key, m.start)
	if way == backward {
		for job, d := range p.in.Duration {
			p.key[job] = m.makespan - m.start[job] - d
		}
	}
}

// sort fills order with the jobs by key, the lower number first among equals. O(jobs + largest key).
func (p *population) sort(order []int32) {
	last := slices.Max(p.key)
	count := p.count[:last+2]
	clear(count)
	for _, k := range p.key {
		count[k+1]++
	}
	for k := int32(1); k <= last; k++ {
		count[k] += count[k-1]
	}
	for job, k := range p.key {
		order[count[k]] = int32(job)
		count[k]++
	}
}
