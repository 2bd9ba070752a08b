package crewing

import "slices"

// individual is a schedule with the list and the forced crews that it came from.
type individual struct {
	schedule *Schedule
}

// population is the best different schedules found, best first. Memory of schedules that were turned away is reused.
type population struct {
	limit   int
	members []*individual
	spare   []*individual
}

// populationSize grows with the budget: with few schedules it is better to work on few.
func populationSize(schedules int) int { return max(3, min(20, schedules/40)) }

func (p *population) isEmpty() bool { return len(p.members) == 0 }

// clear lets all members go.
func (p *population) clear() {
	p.spare = append(p.spare, p.members...)
	p.members = p.members[:0]
}

// newcomer copies a workspace's schedule.
func (p *population) newcomer(m *Model, s *Schedule) *individual {
	var one *individual
	if n := len(p.spare); n > 0 {
		one, p.spare = p.spare[n-1], p.spare[:n-1]
	} else {
		one = &individual{schedule: newSchedule(m)}
	}
	one.schedule.copyFrom(s)
	return one
}

// admit puts a newcomer where it belongs. One with a score already there is a copy in all likelihood and is turned away;
// so is the last one when there are too many. A schedule turned away may be overwritten by the next newcomer.
func (p *population) admit(one *individual) {
	place := 0
	for place < len(p.members) && !one.schedule.Score.Better(&p.members[place].schedule.Score) {
		if p.members[place] == one || p.members[place].schedule.Score == one.schedule.Score {
			if p.members[place] != one {
				p.spare = append(p.spare, one)
			}
			return
		}
		place++
	}
	p.members = slices.Insert(p.members, place, one)
	if len(p.members) > p.limit {
		last := p.members[len(p.members)-1]
		p.members = p.members[:len(p.members)-1]
		p.spare = append(p.spare, last)
	}
}
