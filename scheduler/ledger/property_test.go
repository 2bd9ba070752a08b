package ledger_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/ledger"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

// copied is a deep copy of a document.
func copied(t *testing.T, p *problem.Problem) *problem.Problem {
	t.Helper()
	text, err := json.Marshal(p)
	require.NoError(t, err)
	var c problem.Problem
	require.NoError(t, json.Unmarshal(text, &c))
	return &c
}

// mutator makes the later problem of a random window.
type mutator struct {
	rng  *rand.Rand
	p    *problem.Problem
	plan *problem.Plan
}

func (m *mutator) minutes(most int) time.Duration {
	return time.Duration(m.rng.IntN(most+1)) * time.Minute
}

// roll moves the data date on and reports most of what the plan said would happen, some of it late, slow or not at all.
func (m *mutator) roll() {
	m.p.DataDate = m.p.DataDate.Add(m.minutes(6 * day))
	at := map[string]*problem.PlannedTask{}
	for i := range m.plan.Tasks {
		at[m.plan.Tasks[i].ID] = &m.plan.Tasks[i]
	}
	for i := range m.p.Tasks {
		t, planned := &m.p.Tasks[i], at[m.p.Tasks[i].ID]
		if t.IsFinished() || planned == nil || m.rng.IntN(6) == 0 {
			continue
		}
		started := planned.Start
		if t.IsStarted() {
			started = t.Status.Started
		} else if m.rng.IntN(3) == 0 {
			started = started.Add(m.minutes(day))
		}
		if started.After(m.p.DataDate) {
			continue
		}
		s := &problem.Status{Started: started}
		if t.IsCrewWork() && planned.Crew != nil {
			s.Crew = *planned.Crew
		}
		if finish := planned.Finish.Add(m.minutes(day) - day*time.Minute/4); finish.After(m.p.DataDate) || finish.Before(started) {
			s.RemainingMinutes = new(m.rng.IntN(2 * day))
		} else {
			s.Finished = &finish
		}
		t.Status, t.Pin, t.NotBefore, t.NotBeforeCause, t.Waits = s, nil, nil, "", false
	}
}

// patch changes one thing at random.
func (m *mutator) patch() {
	t := &m.p.Tasks[m.rng.IntN(len(m.p.Tasks))]
	crew := &m.p.Crews[m.rng.IntN(len(m.p.Crews))]
	switch m.rng.IntN(9) {
	case 0:
		if t.DurationMinutes != nil && t.Status == nil {
			t.DurationMinutes = new(m.rng.IntN(5 * day))
		}
	case 1:
		if t.LabourMinutes != nil && t.Status == nil {
			t.LabourMinutes = new(m.rng.IntN(900))
		}
	case 2:
		if t.Status == nil {
			at := m.p.DataDate.Add(m.minutes(20 * day))
			t.NotBefore, t.NotBeforeCause, t.Waits = &at, "hold", false
		}
	case 3:
		from := m.p.DataDate.Add(m.minutes(4*day) - 2*day*time.Minute)
		crew.Away = append(crew.Away, problem.Span{From: from, To: from.Add(m.minutes(5*day) + time.Minute)})
	case 4:
		crew.Productivity = map[string]float64{t.Kind: 0.5 + m.rng.Float64()}
	case 5:
		if len(m.p.Links) > 0 {
			i := m.rng.IntN(len(m.p.Links))
			m.p.Links = append(m.p.Links[:i:i], m.p.Links[i+1:]...)
		}
	case 6:
		extra := *t
		extra.ID, extra.Status, extra.Pin = fmt.Sprintf("extra %d", m.rng.IntN(1000)), nil, nil
		m.p.Tasks = append(m.p.Tasks, extra)
		m.p.Links = append(m.p.Links, problem.Link{From: t.ID, To: extra.ID})
		if d := len(m.p.GCDates); d > 0 {
			m.p.GCDates[m.rng.IntN(d)].Tasks = append(m.p.GCDates[0].Tasks, extra.ID)
		}
	case 7:
		if d := len(m.p.GCDates); d > 0 {
			m.p.GCDates[m.rng.IntN(d)].Date = m.p.DataDate.Add(m.minutes(60 * day))
		}
	case 8:
		m.drop(t.ID)
	}
}

// drop takes a task out of the work.
func (m *mutator) drop(id string) {
	for i := range m.p.GCDates {
		if len(m.p.GCDates[i].Tasks) == 1 && m.p.GCDates[i].Tasks[0] == id {
			return
		}
	}
	keep := func(other string) bool { return other != id }
	m.p.Tasks = filter(m.p.Tasks, func(t problem.Task) bool { return keep(t.ID) })
	m.p.Issued = filter(m.p.Issued, func(l problem.Issued) bool { return keep(l.Task) })
	m.p.Links = filter(m.p.Links, func(l problem.Link) bool { return keep(l.From) && keep(l.To) })
	for i := range m.p.GCDates {
		m.p.GCDates[i].Tasks = filter(m.p.GCDates[i].Tasks, keep)
	}
}

func filter[T any](list []T, keep func(T) bool) (kept []T) {
	for _, e := range list {
		if keep(e) {
			kept = append(kept, e)
		}
	}
	return kept
}

// randomWindow makes two sound problems, the later one from the earlier one by random patches, with random events.
func randomWindow(t *testing.T, seed uint64, tasks int) (in ledger.Input, ok bool) {
	t.Helper()
	options := problemtest.Everything(tasks)
	options.GCDates = 3
	if seed%3 == 0 {
		options = problemtest.Plain(tasks)
	}
	in.Earlier = problemtest.Random(seed, options)
	in.EarlierPlan = planned(t, in.Earlier)
	m := mutator{rng: rand.New(rand.NewPCG(seed, 7)), p: copied(t, in.Earlier), plan: in.EarlierPlan}
	if seed%5 != 0 {
		m.roll()
	}
	for range 1 + m.rng.IntN(6) {
		m.patch()
	}
	m.p.FrozenUntil, m.p.Issued = nil, nil
	for _, task := range in.EarlierPlan.Tasks {
		if task.Crew != nil && hasTask(m.p, task.ID) {
			m.p.Issued = append(m.p.Issued, problem.Issued{Task: task.ID, Crew: *task.Crew, Start: task.Start})
		}
	}
	if len(problem.Validate(m.p)) > 0 {
		return in, false
	}
	in.Later, in.LaterPlan = m.p, planned(t, m.p)
	window := int(in.Later.DataDate.Sub(in.Earlier.DataDate) / time.Minute)
	for i := range m.rng.IntN(5) {
		in.Events = append(in.Events, ledger.Event{
			Task: m.p.Tasks[m.rng.IntN(len(m.p.Tasks))].ID, At: in.Earlier.DataDate.Add(m.minutes(window)), Ref: fmt.Sprint(i),
		})
	}
	return in, true
}

// The parts of every GC date of every random window sum to the whole exactly, nothing is changed, and the same window gives
// the same ledger.
func TestCompute_PartsAddUpToTheWholeWhateverHappened(t *testing.T) {
	t.Parallel()
	measured, moved := 0, 0
	for seed := range uint64(60) {
		in, ok := randomWindow(t, seed, 12+int(seed%40))
		if !ok {
			continue
		}
		earlier, later := copied(t, in.Earlier), copied(t, in.Later)
		r, err := ledger.Compute(t.Context(), in)
		require.NoError(t, err, "seed %d", seed)
		for i := range r.Dates {
			checkSum(t, &r.Dates[i])
			if r.Dates[i].Measured() {
				measured++
			}
			if r.Dates[i].Moved != 0 {
				moved++
			}
		}
		assert.Equal(t, earlier, copied(t, in.Earlier), "seed %d: the earlier problem is not to change", seed)
		assert.Equal(t, later, copied(t, in.Later), "seed %d: the later problem is not to change", seed)
		if seed%10 == 0 {
			again, err := ledger.Compute(t.Context(), in)
			require.NoError(t, err)
			require.Equal(t, r, again, "seed %d", seed)
		}
	}
	t.Logf("%d dates measured, %d of them moved", measured, moved)
	assert.Greater(t, measured, 60)
	assert.Greater(t, moved, 30)
}

// A handover that slips, but not as far as the issued start of the work that waits for it, moves nothing.
func TestCompute_ACauseThatTouchesNothingCriticalGetsNothing(t *testing.T) {
	t.Parallel()
	tried := 0
	for seed := range uint64(60) {
		earlier := problemtest.Random(seed, problemtest.Everything(30))
		earlier.FrozenUntil, earlier.Issued = nil, nil
		first := planned(t, earlier)
		task := first.Tasks[int(seed)%len(first.Tasks)]
		room := task.Start.Sub(earlier.DataDate) / time.Minute
		if room < 2 || earlier.Tasks[0].Status != nil && task.Resume != nil {
			continue
		}
		extra := fixed("floor", 0)
		extra.NotBefore = new(earlier.DataDate.Add(time.Minute))
		earlier.Tasks = append(earlier.Tasks, extra)
		earlier.Links = append(earlier.Links, problem.Link{From: "floor", To: task.ID})
		later := copied(t, earlier)
		later.Tasks[len(later.Tasks)-1].NotBefore = new(earlier.DataDate.Add(room * time.Minute))
		r := window(t, earlier, later, ledger.Input{Owner: map[string]ledger.Cause{"floor": ledger.OtherTrade}})
		for i := range r.Dates {
			assert.Zero(t, partOf(r, i, ledger.OtherTrade), "seed %d, date %s", seed, r.Dates[i].ID)
		}
		tried++
	}
	assert.Greater(t, tried, 20)
}
