package crewing

import (
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

// enumerate makes the schedule of every list that links allow with every choice of crews, and gives the best score.
func enumerate(m *Model) Score {
	w := NewWorkspace(m)
	e := enumeration{m: m, w: w, best: w.Settle(m.order).Score, waiting: make([]int32, m.Tasks())}
	for _, t := range m.order {
		e.waiting[t] = int32(len(m.into(t)))
	}
	e.lists(nil)
	return e.best
}

type enumeration struct {
	m       *Model
	w       *Workspace
	best    Score
	waiting []int32
}

func (e *enumeration) lists(list []TaskIndex) {
	if len(list) == len(e.m.order) {
		e.choices(list, 0)
		return
	}
	for _, t := range e.m.order {
		if e.waiting[t] != 0 {
			continue
		}
		e.waiting[t] = None
		for _, l := range e.m.outOf(t) {
			e.waiting[l.task]--
		}
		e.lists(append(list, t))
		for _, l := range e.m.outOf(t) {
			e.waiting[l.task]++
		}
		e.waiting[t] = 0
	}
}

func (e *enumeration) choices(list []TaskIndex, from int) {
	if from == len(list) {
		if s := e.w.Generate(list); s.Score.Better(&e.best) {
			e.best = s.Score
		}
		return
	}
	t := list[from]
	for i := range e.m.Options(t) {
		e.w.choice[t] = int16(i)
		e.choices(list, from+1)
	}
	e.w.choice[t] = None
}

func modelOf(t require.TestingT, p *problem.Problem) (*Model, *network.Dates) {
	compiled, err := network.Compile(p)
	require.NoError(t, err)
	var passes network.Workspace
	dates := passes.Compute(compiled)
	return NewModel(passes.Compiled()), dates
}

func TestSearch_FindsTheBestOfAllListsAndCrewsOnTinyProblems(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		tasks int
		seeds uint64
	}{{4, 40}, {6, 60}, {8, 30}} {
		for seed := range row.seeds {
			m, dates := modelOf(t, problemtest.Random(seed, problemtest.Tiny(row.tasks)))
			best := enumerate(m)
			found := Search(m, dates, SearchOptions{Schedules: 10_000, Seed: seed})
			got := &found.Schedule.Score
			require.Equal(t, best.Unplaced, got.Unplaced, "%d tasks, seed %d", row.tasks, seed)
			requireLeast(t, m, got, &best, "%d tasks, seed %d", row.tasks, seed)
			require.LessOrEqual(t, found.Bound.LatenessCost, best.LatenessCost+1e-9, "%d tasks, seed %d", row.tasks, seed)
			require.LessOrEqual(t, found.Bound.Makespan, best.Makespan, "%d tasks, seed %d", row.tasks, seed)
			require.LessOrEqual(t, found.Bound.Total, got.Total+1e-6, "%d tasks, seed %d", row.tasks, seed)
		}
	}
}

// requireLeast holds a search against the best of all lists in the order of the links. Where followers may go ahead of what they follow
// no such list says so, and the search may be better.
func requireLeast(t *testing.T, m *Model, found, best *Score, message string, values ...any) {
	t.Helper()
	args := append([]any{message + ": %+v, enumeration %+v"}, append(values, *found, *best)...)
	if m.firm == nil {
		require.InDelta(t, best.Total, found.Total, 1e-6, args...)
	}
	require.LessOrEqual(t, found.Total, best.Total+1e-6, args...)
}
