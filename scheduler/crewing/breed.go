package crewing

// breed spends the rest of the budget on children of the population. When nothing better has turned up for a while it
// starts another one from scratch: populations settle into one arrangement of crews and dates, and the next may find a
// better one.
func (s *search) breed() {
	if s.people.isEmpty() || len(s.m.order) == 0 {
		return
	}
	b := newBreeder(s)
	patience := 30 * s.people.limit
	leader, since := s.people.members[0].schedule.Score, s.done
	for !s.over() {
		b.child()
		s.generate(b.keys)
		one := s.people.newcomer(s.m, s.w.s)
		if b.worthImproving(one) {
			s.improve(one)
		} else {
			s.keep(one)
		}
		if first := &s.people.members[0].schedule.Score; first.Better(&leader) {
			leader, since = *first, s.done
			s.polish()
		} else if s.done-since > patience {
			b.startAnew()
			if s.people.isEmpty() {
				return // the budget ran out
			}
			leader, since = s.people.members[0].schedule.Score, s.done
		}
	}
}

// startAnew replaces the population by schedules from priority rules with chance in them.
func (b *breeder) startAnew() {
	s := b.s
	s.people.clear()
	for range s.people.limit {
		if s.over() {
			return
		}
		list := s.ruled(&s.rules[s.rng.IntN(len(s.rules))])
		if len(s.m.issued) > 0 && s.rng.IntN(2) == 0 {
			list = s.asIssued()
		}
		for place, t := range list {
			b.keys[t] = int64(place) * keyStep
		}
		b.blur()
		b.changeTaste()
		if s.rng.IntN(4) == 0 {
			b.gather()
		}
		s.generate(b.keys)
		s.improve(s.people.newcomer(s.m, s.w.s))
	}
}

// blur moves every task by chance, far or a little.
func (b *breeder) blur() {
	rng := b.s.rng
	reach := int64(1+rng.IntN(len(b.s.m.order))) * keyStep >> rng.IntN(3)
	for _, t := range b.s.m.order {
		b.keys[t] += rng.Int64N(reach)
	}
}

// breeder makes lists from lists.
type breeder struct {
	s      *search
	keys   []int64 // per task: place in the child's list, in steps of keyStep
	taken  []bool  // per task: scratch of crossing
	needed *ancestry
	waits  []wait
}

// keyStep is the distance of neighbours in a list, so that a task can be moved between two of them.
const keyStep = 1 << 16

func newBreeder(s *search) *breeder {
	n := s.m.Tasks()
	return &breeder{s: s, keys: make([]int64, n), taken: make([]bool, n), needed: newAncestry(s.m)}
}

// child mixes two members or copies one, and changes a little.
func (b *breeder) child() {
	s := b.s
	mother := b.pick()
	father := b.pick()
	if mother != father && s.rng.IntN(3) > 0 {
		b.cross(mother.schedule, father.schedule)
		if s.rng.IntN(2) == 0 {
			b.change()
		}
		return
	}
	b.copyList(mother.schedule)
	if len(s.w.linesByStart()) > 0 && s.rng.IntN(3) == 0 {
		b.keepPlaces()
		return
	}
	switch s.rng.IntN(16) {
	case 0:
		b.gather()
	case 9, 10:
		b.group(mother.schedule)
	case 1, 2:
		b.rescue(mother.schedule)
	case 3, 4:
		b.shuffle(mother.schedule)
	case 5, 6, 7, 8:
		b.change()
	default:
		b.unblock(mother.schedule)
	}
}

// pick draws a member, the better of two.
func (b *breeder) pick() *individual {
	members := b.s.people.members
	n := len(members)
	return members[min(b.s.rng.IntN(n), b.s.rng.IntN(n))]
}

func (b *breeder) copyList(from *Schedule) {
	for i, t := range from.list {
		b.keys[t] = int64(i) * keyStep
	}
	b.s.setChoice(from)
}

// cross takes the begin and the end of the child's list from one parent and the middle from the order of the other
// (two-point crossover of activity lists, Hartmann 1998, "A competitive genetic algorithm for resource-constrained project
// scheduling", Naval Research Logistics 45). Links that hold in both parents hold in the child.
func (b *breeder) cross(mother, father *Schedule) {
	rng := b.s.rng
	n := len(mother.list)
	if n == 0 || len(father.list) != n {
		b.copyList(mother)
		return
	}
	low, high := rng.IntN(n), rng.IntN(n)
	if low > high {
		low, high = high, low
	}
	b.s.w.setTaste(mother.taste)
	clear(b.taken)
	place := int64(0)
	put := func(t TaskIndex, from *Schedule) {
		if !b.taken[t] {
			b.taken[t] = true
			b.keys[t] = place
			b.s.w.choice[t] = from.choice[t]
			place += keyStep
		}
	}
	for _, t := range mother.list[:low] {
		put(t, mother)
	}
	for _, t := range father.list {
		if place >= int64(high)*keyStep {
			break
		}
		put(t, father)
	}
	for _, t := range mother.list {
		put(t, mother)
	}
}

// change moves some tasks in the list and gives a few another crew.
func (b *breeder) change() {
	rng := b.s.rng
	order := b.s.m.order
	moves := 1 + rng.IntN(3)
	if rng.IntN(4) == 0 {
		moves += len(order) / 50
	}
	reach := max(3, len(order)/8)
	for range moves {
		t := order[rng.IntN(len(order))]
		switch rng.IntN(8) {
		case 0:
			b.changeTaste()
		case 1, 2, 3, 4, 5:
			b.keys[t] += int64(rng.IntN(2*reach+1)-reach)*keyStep + int64(rng.IntN(keyStep))
		default:
			b.changeCrew(t)
		}
	}
}

// keepPlaces lets a stretch of the plan in force, on one crew or on all, stay where it is before others choose, or no longer.
func (b *breeder) keepPlaces() {
	m, rng := b.s.m, b.s.rng
	lines := b.s.w.linesByStart()
	width := 1 + rng.IntN(max(1, len(lines)>>rng.IntN(8)))
	first := rng.IntN(len(lines) - width + 1)
	choice := int16(None)
	if rng.IntN(2) == 0 {
		choice = inPlace
	}
	crew := m.issuedCrew(lines[first])
	ofOne := rng.IntN(2) == 0
	for _, t := range lines[first : first+width] {
		if !ofOne || m.issuedCrew(t) == crew {
			b.s.w.choice[t] = choice
		}
	}
}

// rescue brings the work that a late GC date waits for forward in the list, all of it by the same distance.
func (b *breeder) rescue(from *Schedule) {
	m, rng := b.s.m, b.s.rng
	date := b.drawDate(from)
	if date == None {
		b.shuffle(from)
		return
	}
	n := len(from.list)
	ahead := int64(1+rng.IntN(n)) * keyStep >> rng.IntN(4)
	for _, t := range b.needed.of(m.GCDates[date].Tasks) {
		b.keys[t] -= ahead
	}
}

// drawDate draws a late GC date by what it costs, None when no date costs anything.
func (b *breeder) drawDate(from *Schedule) int {
	m := b.s.m
	sum := 0.0
	for i := range m.GCDates {
		sum += m.GCDates[i].Damages * m.lateDays(from, i)
	}
	drawn := b.s.rng.Float64() * sum
	date := None
	for i := range m.GCDates {
		cost := m.GCDates[i].Damages * m.lateDays(from, i)
		if cost > 0 {
			date = i
		}
		if drawn -= cost; drawn < 0 {
			break
		}
	}
	return date
}

// shuffle reorders a stretch of the schedule in time: what begins in it is listed by chance.
func (b *breeder) shuffle(from *Schedule) {
	rng := b.s.rng
	n := len(from.list)
	width := min(n, 4+rng.IntN(max(1, min(60, n/4))))
	first := rng.IntN(n - width + 1)
	for _, t := range from.list[first : first+width] {
		b.keys[t] = int64(first)*keyStep + int64(rng.IntN(width*keyStep))
	}
}

// changeCrew forces a task onto one of its crews, or lets it choose again.
func (b *breeder) changeCrew(t TaskIndex) {
	n := len(b.s.m.Options(t))
	if n < 2 {
		return
	}
	b.s.w.choice[t] = int16(b.s.rng.IntN(n+1)) - 1
}

// group lets a crew do more of one place while it is there: what it does there later comes right behind a task of it in the
// list, so that it pays fewer set-ups.
func (b *breeder) group(from *Schedule) {
	m, rng := b.s.m, b.s.rng
	n := len(from.list)
	for range 1 + rng.IntN(3) {
		first := rng.IntN(n)
		t := from.list[first]
		crew := from.Crew[t]
		if crew == None {
			continue
		}
		taken, most := int64(0), int64(1+rng.IntN(6))
		for _, other := range from.list[first+1:] {
			if from.Crew[other] == crew && m.place[other] == m.place[t] {
				taken++
				b.keys[other] = b.keys[t] + taken
				b.s.w.choice[other] = int16(m.optionIndex(other, crew))
			}
			if taken == most {
				break
			}
		}
	}
}

// gather gives one crew all, or half by chance, of the work that it may do, or takes it all away from it.
func (b *breeder) gather() {
	m, rng := b.s.m, b.s.rng
	if len(m.crews) == 0 {
		return
	}
	crew := CrewIndex(rng.IntN(len(m.crews)))
	manner := rng.IntN(3)
	for _, t := range m.order {
		options := m.Options(t)
		for i := range options {
			if options[i].Crew != crew {
				continue
			}
			switch {
			case manner == 0 || manner == 1 && rng.IntN(2) == 0:
				b.s.w.choice[t] = int16(i)
			case manner == 2 && len(options) > 1:
				b.s.w.choice[t] = int16((i + 1 + rng.IntN(len(options)-1)) % len(options))
			}
		}
	}
}

// changeTaste draws anew how crews are chosen.
func (b *breeder) changeTaste() {
	rng := b.s.rng
	b.s.w.setTaste(taste{
		demand: uint8(rng.IntN(len(demandTolls))), move: uint8(rng.IntN(len(moveTolls))),
		keep: len(b.s.m.issued) > 0 && rng.IntN(4) > 0, ahead: b.s.m.firm != nil && rng.IntN(2) == 0,
	})
}

// worthImproving reports whether a child is good enough to spend two more schedules on.
func (b *breeder) worthImproving(one *individual) bool {
	members := b.s.people.members
	return one.schedule.Score.Better(&members[len(members)/4].schedule.Score)
}
