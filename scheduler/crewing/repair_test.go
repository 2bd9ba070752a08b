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
		inForce := Search(m, dates, SearchOptions{Schedules: 30, Seed: 1}).Schedule
		p.Issued = nil
		for i := range p.Tasks {
			if !inForce.Placed[i] {
				continue
			}
			line := problem.Issued{Task: p.Tasks[i].ID, Start: inForce.Start[i].Time()}
			if crew := inForce.Crew[i]; crew != None {
				line.Crew = p.Crews[crew].ID
			}
			p.Issued = append(p.Issued, line)
		}
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
