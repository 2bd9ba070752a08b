package crewing

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

// A plan in force of 300 tasks can be gone on with by rules of the thumb: in its order, each task on its crew or on the first that
// is free, at its place or as soon as it can. A re-plan with a small budget is never worse than any of them.
func TestSearch_IsNeverWorseThanGoingOnWithThePlanInForce(t *testing.T) {
	t.Parallel()
	compared := 0
	for seed := range uint64(24) {
		p := problemtest.Random(seed, problemtest.Everything(300))
		m, dates := modelOf(t, p)
		issue(p, Search(m, dates, SearchOptions{Schedules: 30, Seed: 1}).Schedule)
		longer := slices.IndexFunc(p.Tasks, func(t problem.Task) bool { return t.Status == nil && t.Pin == nil && t.IsCrewWork() && !t.Waits })
		*p.Tasks[longer].LabourMinutes += int(40 * seed)

		m, dates = modelOf(t, p)
		found := Search(m, dates, SearchOptions{Schedules: 12, Seed: 1}).Schedule
		w := NewWorkspace(m)
		w.giveUpHopeless(dates)
		keys := make([]int64, m.Tasks())
		newRanker(m, dates).rank(&issuedRule, keys)
		for _, onItsCrew := range []bool{false, true} {
			for _, tastes := range []taste{{}, {keep: true, crews: onItsCrew}} {
				for t := range m.order {
					w.choice[m.order[t]] = None
				}
				for i := range m.issued {
					for k, o := range m.Options(m.issued[i].task) {
						if onItsCrew && o.Crew == m.issued[i].crew {
							w.choice[m.issued[i].task] = int16(k)
						}
					}
				}
				w.setTaste(tastes)
				var s sorter
				goneOn := w.Settle(s.sort(m, keys))
				if goneOn.Score.Unplaced == 0 && goneOn.Score.Broken <= found.Score.Broken {
					compared++
					require.LessOrEqual(t, found.Score.Total, goneOn.Score.Total+1e-6, "seed %d, on its crew %v, %+v", seed, onItsCrew, tastes)
				}
			}
		}
	}
	require.Greater(t, compared, 30)
}

// issue makes a schedule the plan in force.
func issue(p *problem.Problem, s *Schedule) {
	p.Issued = nil
	for i := range p.Tasks {
		if !s.Placed[i] {
			continue
		}
		line := problem.Issued{Task: p.Tasks[i].ID, Start: s.Start[i].Time()}
		if crew := s.Crew[i]; crew != None {
			line.Crew = p.Crews[crew].ID
		}
		p.Issued = append(p.Issued, line)
	}
}

// One task of a plan in force has to wait for three weeks. What stays closest to that plan moves nothing but the task and what follows it
// by links: whatever else would have to make room for them stays.
func TestStay_MovesNothingButWhatFollowsTheNews(t *testing.T) {
	t.Parallel()
	moved, lines := 0, 0
	for seed := range uint64(testRounds(60, 12)) {
		o := problemtest.Everything(200)
		o.Pins, o.Issued, o.Finished, o.Waits, o.Frozen = 0, 0, 0, 0, false
		p := problemtest.Random(seed, o)
		m, dates := modelOf(t, p)
		inForce := Search(m, dates, SearchOptions{Schedules: 20, Seed: 1}).Schedule
		if inForce.Score.Unplaced > 0 {
			continue
		}
		issue(p, inForce)
		late := TaskIndex(int(seed*7) % len(p.Tasks))
		waits := inForce.Start[late].Time().AddDate(0, 0, 21)
		p.Tasks[late].NotBefore = &waits

		m, dates = modelOf(t, p)
		s := newSearch(m, dates, SearchOptions{Schedules: 1})
		s.firstRule()
		follows := map[TaskIndex]bool{late: true}
		for _, other := range m.order { // in an order that links allow
			for _, l := range m.into(other) {
				follows[other] = follows[other] || follows[l.task]
			}
		}
		for i := range m.issued {
			line := &m.issued[i]
			lines++
			if !line.holds(s.best.Start[line.task], s.best.Crew[line.task]) {
				moved++
				require.True(t, follows[line.task], "seed %d: %s moves, and does not follow %s", seed, p.Tasks[line.task].ID, p.Tasks[late].ID)
			}
		}
	}
	t.Logf("%d of %d lines moved", moved, lines)
	require.Positive(t, moved)
}
