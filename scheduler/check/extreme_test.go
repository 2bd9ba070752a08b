package check_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/check"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

// extreme puts values from the ends of what is valid into a random problem.
type extreme struct {
	*rand.Rand
	p *problem.Problem
}

func (x extreme) minutes() int {
	sizes := []int{0, 1, 2, 1440, 100_000, problem.MaxMinutes - 1, problem.MaxMinutes}
	return sizes[x.IntN(len(sizes))]
}

func (x extreme) instant() time.Time {
	far := []time.Time{
		time.Date(problem.FirstYear, 1, 2, 0, 0, 0, 0, time.UTC), time.Date(problem.LastYear, 12, 30, 23, 59, 0, 0, time.UTC),
		x.p.DataDate, x.p.DataDate.AddDate(-3, 0, 0), x.p.DataDate.AddDate(8, 0, 0), x.p.DataDate.AddDate(19, 0, 0),
		time.Date(2040, 12, 31, 12, 0, 0, 0, time.UTC),
	}
	return far[x.IntN(len(far))]
}

func (x extreme) link() *problem.Link { return &x.p.Links[x.IntN(len(x.p.Links))] }
func (x extreme) crew() *problem.Crew { return &x.p.Crews[x.IntN(len(x.p.Crews))] }

// change makes one value extreme; the problem may be valid no longer.
func (x extreme) change() {
	t := &x.p.Tasks[x.IntN(len(x.p.Tasks))]
	switch x.IntN(13) {
	case 0:
		if t.IsCrewWork() {
			t.LabourMinutes = new(x.minutes())
		} else {
			t.DurationMinutes = new(x.minutes())
		}
	case 1:
		t.NotBefore = new(x.instant())
	case 2:
		t.Pin = &problem.Pin{Start: new(x.instant())}
	case 3:
		t.Deadline = new(x.instant())
	case 4:
		x.link().LagMinutes = x.minutes()
	case 5:
		x.link().LagMinutes = -x.minutes()
	case 6:
		x.crew().Away = []problem.Span{{From: time.Date(problem.FirstYear, 1, 2, 0, 0, 0, 0, time.UTC), To: x.instant().Add(time.Minute)}}
	case 7:
		x.crew().Productivity = map[string]float64{t.Kind: problem.MinProductivity}
	case 8:
		x.crew().Heads = 1_000_000
	case 9:
		for i := range x.p.Travel {
			x.p.Travel[i].Minutes = x.minutes()
		}
	case 10:
		x.p.Areas[x.IntN(len(x.p.Areas))].SetupMinutes = x.minutes()
	case 11:
		t.Status = &problem.Status{Started: x.instant(), RemainingMinutes: new(x.minutes())}
	case 12:
		x.p.GCDates[0].Date = x.instant()
	}
}

func TestPlan_AcceptsThePlannersPlansOfExtremeProblems(t *testing.T) {
	t.Parallel()
	const seeds = 80
	accepted := 0
	for seed := range uint64(seeds) {
		p := problemtest.Random(seed, problemtest.Everything(9))
		if len(p.Links) == 0 {
			continue
		}
		x := extreme{rand.New(rand.NewPCG(seed, 0)), p}
		for range 1 + x.IntN(3) {
			x.change()
		}
		if len(problem.Validate(p)) > 0 {
			continue
		}
		accepted++
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
			t.Parallel()
			result, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 3, Seed: seed})
			require.NoError(t, err)
			for _, v := range check.Plan(p, result) {
				t.Error(v)
			}
		})
	}
	require.Greater(t, accepted, seeds/2, "most of these problems must be valid")
}
