package crewing_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/crewing"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

// A trial with changed lengths and releases makes the schedule that a document written with those lengths and releases
// would get, whatever was tried in it before.
func TestTrial_MakesTheScheduleOfAChangedDocument(t *testing.T) {
	t.Parallel()
	for seed := range uint64(60) {
		o := problemtest.Everything(60)
		if seed%2 == 1 {
			o = problemtest.Harsh(60)
		}
		p := problemtest.Random(seed, o)
		m := modelOf(t, p)
		trial := crewing.NewTrial(m)
		list := crewing.DocumentOrder(m)
		choice := make([]int16, m.Tasks())
		for i := range choice {
			choice[i] = crewing.None
		}
		for round := range 3 {
			changed := vary(p, int(seed)+7*round)
			want := modelOf(t, changed)
			for task := range crewing.TaskIndex(m.Tasks()) {
				for k, option := range want.Options(task) {
					trial.SetMinutes(task, k, option.Minutes)
				}
				if at := changed.Tasks[task].NotBefore; at != nil {
					trial.SetNotBefore(task, calendar.FromTime(*at))
				}
			}
			trial.Ready()
			got, expected := trial.Generate(list, choice), crewing.NewWorkspace(want).Settle(list)
			require.Equal(t, expected.Begin, got.Begin, "seed %d round %d", seed, round)
			require.Equal(t, expected.Finish, got.Finish, "seed %d round %d", seed, round)
			require.Equal(t, expected.Crew, got.Crew, "seed %d round %d", seed, round)
		}
	}
}

// vary copies a document with other lengths and later not_befores.
func vary(p *problem.Problem, by int) *problem.Problem {
	changed := *p
	changed.Tasks = make([]problem.Task, len(p.Tasks))
	for i, task := range p.Tasks {
		factor := 50 + (i*37+by*61)%120
		if task.LabourMinutes != nil {
			task.LabourMinutes = new(*task.LabourMinutes * factor / 100)
		}
		if task.DurationMinutes != nil {
			task.DurationMinutes = new(*task.DurationMinutes * factor / 100)
		}
		if task.NotBefore != nil {
			task.NotBefore = new(task.NotBefore.AddDate(0, 0, (i+by)%9))
		}
		changed.Tasks[i] = task
	}
	return &changed
}

// A task that is absent holds nothing and lets through what its links say.
func TestTrial_AbsentWorkTakesNoTimeAndNoCrew(t *testing.T) {
	t.Parallel()
	p := problemtest.Random(3, problemtest.Plain(3))
	p.Links, p.Crews = nil, p.Crews[:1]
	for i := range p.Tasks {
		p.Tasks[i].Kind, p.Tasks[i].Uses = p.Crews[0].Skills[0], nil
		p.Tasks[i].LabourMinutes, p.Tasks[i].DurationMinutes = new(60*(i+1)), nil
		p.Tasks[i].Calendar, p.Tasks[i].MinHeads, p.Tasks[i].Site = "", 0, p.Sites[0].ID
		if i > 0 {
			p.Links = append(p.Links, problem.Link{From: p.Tasks[i-1].ID, To: p.Tasks[i].ID})
		}
	}
	m := modelOf(t, p)
	trial := crewing.NewTrial(m)
	list, choice := crewing.DocumentOrder(m), []int16{crewing.None, crewing.None, crewing.None}
	for _, isAbsent := range []bool{true, false, true} {
		trial.SetAbsent(1, isAbsent)
		trial.Ready()
		s := trial.Generate(list, choice)
		want := s.Finish[0]
		if !isAbsent {
			want += calendar.Instant(m.Options(1)[0].Minutes)
		}
		require.Equal(t, want, s.Begin[2], "absent %v", isAbsent)
		require.Equal(t, want, s.Finish[1])
	}
}

func BenchmarkTrial(b *testing.B) {
	for _, tasks := range []int{2100} {
		b.Run(fmt.Sprint(tasks), func(b *testing.B) {
			o := problemtest.Everything(tasks)
			o.Crews = 10
			m := modelOf(b, problemtest.Random(1, o))
			trial := crewing.NewTrial(m)
			choice := make([]int16, m.Tasks())
			for i := range choice {
				choice[i] = crewing.None
			}
			b.ReportAllocs()
			for b.Loop() {
				trial.Ready()
				trial.Generate(crewing.DocumentOrder(m), choice)
			}
		})
	}
}
