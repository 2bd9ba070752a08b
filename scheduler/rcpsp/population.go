package rcpsp

import (
	"math"
	"slices"
)

// Settings of the population search. They were chosen on the instances with replication 1 to 3 of every parameter
// setting, and are the same for every instance; see the benchmark for the split between tuning and reporting.
const (
	// sizeFactor and sizePower give the number of members: factor x (schedules a real job)^power.
	sizeFactor = 2.6
	sizePower  = 0.7
	leastSize  = 8
	// choosySize is the size below which a first member is the better of two. Small populations gain by the better start
	// (0.1 points on 120 jobs at 1,000 schedules), large ones lose variety by it.
	choosySize = 40
	// plainJobs over the real jobs is the share of first lists drawn without a rule, at most mostPlain; of the others,
	// backwardShare is drawn backward and the rest forward, by the rule of latest finish. The best schedules of small projects often break the
	// rule: with no plain lists, the average on 30 jobs at 5,000 schedules was three times as far from the optimum.
	plainJobs     = 12
	mostPlain     = 0.375
	backwardShare = 0.4
	// The share of first lists drawn by the parallel method falls from mostBusy to none at busyJobs real jobs. With none,
	// the average on 30 jobs at 1,000 schedules was a third farther from the optimum; with a quarter on 120 jobs, that
	// average was 0.1 points higher.
	busyJobs = 120
	mostBusy = 0.75
	// windowLeast and windowMost bound the length of the exchanged window as shares of the makespan.
	windowLeast = 0.1
	windowMost  = 0.5
	// windowDraws is the number of windows compared before one is exchanged. One draw left the average on the large
	// instances at 5,000 schedules 0.4 points higher, forty draws 0.2.
	windowDraws = 15
	// secondLook is the relative excess over its parent up to which a child is justified once more, where that is more
	// than half a mean duration. Without the second look the same average was 0.2 points higher.
	secondLook = 0.02
	// mutations is the expected number of mutated children in as many steps as there are real jobs.
	mutations = 8
	// mutatedJobs is the expected number of jobs moved by a mutation.
	mutatedJobs = 5
	// listMemory is the number of lists remembered, a power of two; listTries the number of mutations of a list that has
	// been built before. Without them the average on 30 jobs at 1,000 schedules was a twentieth farther from the optimum.
	listMemory = 1 << 16
	listTries  = 5
	// mutationReach is the largest move of a job in its order, in mean durations.
	mutationReach = 2
	// idleRounds is the number of steps a member without any progress after which a population of equals starts anew.
	idleRounds = 20
	// memberMemory bounds the numbers held by all members together.
	memberMemory = 16 << 20
)

// A member is one schedule of the population.
type member struct {
	start    []int32 // forward time, also when it was built backward
	makespan int32
	way      direction // the direction it was built in
	// order holds the jobs by key for the next generation, which goes the other way.
	order []int32
	// work[t] is the work held before period t, in the weights of population.load; makespan+1 entries.
	work []int64
}

// population improves schedules by crossing them, one generation a child. It follows the bi-population genetic
// algorithm of Debels and Vanhoucke ("A decomposition-based genetic algorithm for the resource-constrained
// project-scheduling problem", Operations Research 55, 2007): the starts of a schedule are the keys of the next, and the
// next is built in the other direction, so every child is justified as it is made and costs one schedule, not three.
//
// It differs in four ways. There is one population of schedules of both directions, and a child replaces its own
// parent when it is not longer. The window taken over from the other parent is the best of several drawn: the one where
// the other parent holds most work more than the first, the turn on the peak crossover of Valls, Ballestin and
// Quintanilla ("A hybrid genetic algorithm for the resource-constrained project scheduling problem", European Journal of
// Operational Research 185, 2008). A child slightly longer than its parent is justified once more before it is judged.
// A child whose order is its parent's is mutated, since building it would only justify the parent, and so is one whose
// list has been built before. A child too long to be looked at twice is abandoned while it is built: on 30 and on 120 jobs
// at 1,000 schedules that buys a fortieth and a hundredth of the average distance.
type population struct {
	*search
	members []member
	child   member
	key     []int32
	list    []int32
	count   []int32
	// load is the work of a job in each of its periods: the sum of its shares of the capacities, in ten-thousandths.
	load []int64
	// rule holds the urgency by least float, by direction; plain holds none.
	rule       [2][]int32
	plain      []int32
	plainShare float64
	busyShare  float64
	mutation   float64 // chance
	reach      int64
	copies     float64  // share of the late children that copied a member; the more, the likelier a mutation
	built      []uint64 // hashes of lists built
	idle       int
}

func newPopulation(s *search) *population {
	n := s.in.Jobs()
	p := &population{
		search: s,
		key:    make([]int32, n),
		list:   make([]int32, n),
		plain:  make([]int32, n),
		load:   make([]int64, n),
		child:  newMember(n),
		built:  make([]uint64, listMemory),
	}
	horizon := int64(0)
	for job, d := range s.in.Duration {
		horizon += int64(d)
		for k, units := range s.in.units(int32(job)) {
			if units > 0 {
				p.load[job] += 10_000 * int64(units) / int64(s.in.Capacity[k])
			}
		}
	}
	real := float64(max(1, n-2))
	p.reach = max(1, int64(mutationReach*float64(horizon)/real+0.5))
	p.mutation = mutations / real
	p.plainShare = min(mostPlain, plainJobs/real)
	p.busyShare = min(mostBusy, max(0, 1-real/busyJobs))
	p.count = make([]int32, horizon+2*(listTries+2)*p.reach+3)
	p.rule[forward] = s.in.urgency(LatestFinish)
	p.rule[backward] = make([]int32, n)
	for job, head := range s.in.heads() {
		p.rule[backward][job] = -head // the latest finish of the project read from its end, less a constant
	}
	size := int64(sizeFactor * math.Pow(float64(s.expected())/real, sizePower))
	size = max(leastSize, min(size, memberMemory/(horizon+2*int64(n))))
	for range size {
		p.members = append(p.members, newMember(n))
	}
	return p
}

func newMember(jobs int) member {
	return member{start: make([]int32, jobs), order: make([]int32, jobs)}
}

// evolve fills the population beyond the members that are ready and improves it until the search is done or the members
// have become equals.
func (p *population) evolve(ready int) {
	for i := range p.members[ready:] {
		p.begin(&p.members[ready+i], false)
		if p.done() {
			return
		}
	}
	p.idle = 0
	for !p.done() && !p.exhausted() {
		p.step()
	}
}

// begin makes a member, by the rule alone or from sampled lists, and justifies it.
func (p *population) begin(m *member, byRule bool) {
	if byRule {
		p.lister.byUrgency(p.list, p.rule[forward], forward)
		p.make(m, forward)
	} else {
		p.make(m, p.sampleList())
		p.rival(m)
	}
	for range 2 {
		if p.done() {
			return
		}
		p.rejustify(m)
	}
}

// rival replaces a first member of a small population by another if that is shorter.
func (p *population) rival(m *member) {
	if len(p.members) >= choosySize || p.done() {
		return
	}
	p.make(&p.child, p.sampleList())
	if p.child.makespan < m.makespan {
		*m, p.child = p.child, *m
	}
}

// sampleList fills the list at random and returns the direction it is meant for.
func (p *population) sampleList() direction {
	way, urgency := forward, p.rule[forward]
	switch {
	case p.chance.fraction() < p.plainShare:
		urgency = p.plain
	case p.chance.fraction() < backwardShare:
		way, urgency = backward, p.rule[backward]
	}
	if p.chance.fraction() < p.busyShare {
		p.lister.sampleBusy(p.list, urgency, way, p.chance)
	} else {
		p.lister.sample(p.list, urgency, way, p.chance)
	}
	return way
}

// make builds the list into a member and keeps the schedule if it is the best so far. A member whose schedule was abandoned
// has only its unlimited makespan.
func (p *population) make(m *member, way direction) {
	m.makespan = p.build(p.list, way, m.start)
	m.work = m.work[:0]
	m.way = way
	if m.makespan == unlimited {
		return
	}
	if way == backward {
		p.turn(m.start, m.makespan)
	}
	p.offer(m.start, m.makespan)
	p.keysOf(m, otherWay(way))
	p.sort(m.order)
}

// rejustify builds a member again in its other direction; its makespan does not grow.
func (p *population) rejustify(m *member) {
	way := otherWay(m.way)
	p.lister.byOrder(p.list, m.order, way)
	p.make(m, way)
}

func otherWay(way direction) direction { return backward - way }

// step makes one child of a random member and a good one. The child takes its parent's place if it is not longer and
// new.
func (p *population) step() {
	p.idle++
	first := &p.members[p.chance.below(int64(len(p.members)))]
	second := p.pick()
	for second == first {
		second = p.pick()
	}
	way := otherWay(first.way)
	p.cross(first, second, way)
	if p.chance.fraction() < max(p.mutation, p.copies) {
		p.mutate()
	}
	p.sort(p.child.order)
	if slices.Equal(p.child.order, first.order) {
		p.keysOf(first, way)
		p.mutate()
		p.sort(p.child.order)
	}
	p.lister.byOrder(p.list, p.child.order, way)
	p.renew(way)
	p.allowed = first.makespan + p.tolerance(first)
	p.make(&p.child, way)
	p.allowed = unlimited
	if excess := p.child.makespan - first.makespan; excess > 0 && excess <= p.tolerance(first) && !p.done() {
		p.rejustify(&p.child)
	}
	isCopy := p.child.makespan <= first.makespan && p.holds(&p.child)
	p.noteCopy(isCopy)
	if isCopy || p.child.makespan > first.makespan {
		return
	}
	if p.child.makespan < first.makespan {
		p.idle = 0
	}
	*first, p.child = p.child, *first
}

// renew mutates a list that has been built before, since building it again would give a schedule already judged.
func (p *population) renew(way direction) {
	for try := 0; try < listTries && p.isBuilt(way); try++ {
		p.mutate()
		p.sort(p.child.order)
		p.lister.byOrder(p.list, p.child.order, way)
	}
}

// isBuilt reports whether the list has been built in this direction, and remembers it. Only its hash is kept, one in
// each place: a list may be forgotten, and two lists in 2^64 may be taken for each other.
func (p *population) isBuilt(way direction) bool {
	hash := uint64(way) + 1
	for _, job := range p.list {
		hash = (hash ^ uint64(job)) * 0x9e3779b97f4a7c15
		hash ^= hash >> 29
	}
	place := &p.built[hash&(listMemory-1)]
	known := *place == hash
	*place = hash
	return known
}

// noteCopy brings the share of copies among the children up to date, over some fifty of them.
func (p *population) noteCopy(isCopy bool) {
	p.copies *= 0.98
	if isCopy {
		p.copies += 0.02
	}
}

// holds reports whether the population already has a schedule; a second copy would only take a place.
func (p *population) holds(m *member) bool {
	for i := range p.members {
		if p.members[i].makespan == m.makespan && slices.Equal(p.members[i].start, m.start) {
			return true
		}
	}
	return false
}

// tolerance is the excess over a parent up to which a child is justified once more.
func (p *population) tolerance(parent *member) int32 {
	return max(int32(p.reach/(2*mutationReach)), int32(secondLook*float64(parent.makespan)))
}

// exhausted reports a population of equal makespans that has gone long without progress.
func (p *population) exhausted() bool {
	if p.idle < idleRounds*len(p.members) {
		return false
	}
	p.idle = 0
	for _, m := range p.members {
		if m.makespan != p.members[0].makespan {
			return false
		}
	}
	return true
}
