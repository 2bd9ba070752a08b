package crewing

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problemtest"
)

// randomList is an order that links allow, else by chance.
func randomList(m *Model, rng *rand.Rand) []TaskIndex {
	keys := make([]int64, m.Tasks())
	for t := range keys {
		keys[t] = rng.Int64N(1 << 30)
	}
	var s sorter
	return slices.Clone(s.sort(m, keys))
}

func TestGenerate_AllocatesNothingOnceWarm(t *testing.T) {
	o := problemtest.Everything(300)
	o.Pins, o.Frozen = 0, false // taking reserved places back may allocate
	m, _ := modelOf(t, problemtest.Random(3, o))
	w := NewWorkspace(m)
	list := randomList(m, rand.New(rand.NewPCG(1, 1)))
	for range 3 {
		w.Generate(list)
	}
	require.Zero(t, testing.AllocsPerRun(5, func() { w.Generate(list) }))

	require.NotEmpty(t, w.linesByStart())
	for _, t := range w.linesByStart() {
		w.choice[t] = inPlace
	}
	for range 3 {
		w.Generate(list)
	}
	require.Zero(t, testing.AllocsPerRun(5, func() { w.Generate(list) }), "nor with work held in place")
}

func TestGenerate_KeepsTheSumsOfTheObjective(t *testing.T) {
	t.Parallel()
	for seed := range uint64(20) {
		m, _ := modelOf(t, problemtest.Random(seed, problemtest.Everything(80)))
		w := NewWorkspace(m)
		s := w.Generate(randomList(m, rand.New(rand.NewPCG(seed, 2))))
		for c := range m.crews {
			held := w.held(CrewIndex(c))
			a := m.axes[m.crews[c].axis]
			got := &s.crewWork[c]
			if len(held) == 0 {
				require.Equal(t, TaskIndex(None), got.first)
				continue
			}
			want := crewWork{
				first: held[0], last: held[len(held)-1],
				from: a.position(s.Begin[held[0]]), to: a.position(s.Finish[held[len(held)-1]]),
			}
			for i, task := range held {
				want.work += m.optionOn(task, CrewIndex(c)).Minutes
				if i > 0 {
					want.moves += m.move(held[i-1], task)
				}
			}
			require.Equal(t, want, *got, "seed %d, crew %d", seed, c)
		}
	}
}

func TestJustify_ChangesAnOrderAndNeverLosesATask(t *testing.T) {
	t.Parallel()
	for seed := range uint64(20) {
		m, _ := modelOf(t, problemtest.Random(seed, problemtest.Everything(60)))
		w := NewWorkspace(m)
		s := newSchedule(m)
		s.copyFrom(w.Settle(m.order))
		late := make([]int64, m.Tasks())
		w.justify(s, late)
		for _, task := range m.order {
			if s.Placed[task] {
				require.GreaterOrEqual(t, late[task], int64(s.Begin[task]), "seed %d, task %s", seed, m.ID(task))
			}
		}
		var sorted sorter
		again := w.Generate(sorted.sort(m, late))
		require.Len(t, again.Failed, len(s.Failed), "seed %d", seed)
	}
}

func TestPopulation_KeepsTheBestDifferentOnesInOrder(t *testing.T) {
	t.Parallel()
	m, _ := modelOf(t, problemtest.Random(1, problemtest.Plain(10)))
	p := population{limit: 3}
	s := newSchedule(m)
	for _, total := range []float64{5, 3, 9, 3, 4, 1, 8} {
		s.Score.Total = total
		p.admit(p.newcomer(m, s))
	}
	var totals []float64
	for _, one := range p.members {
		totals = append(totals, one.schedule.Score.Total)
	}
	require.Equal(t, []float64{1, 3, 4}, totals)
	require.Len(t, p.spare, 1, "each newcomer took the memory of the one turned away before it")
}

// held lists the placed and reserved tasks of a crew in sequence.
func (w *Workspace) held(crew CrewIndex) []TaskIndex {
	s := w.s
	var held []TaskIndex
	for _, t := range w.m.order {
		if s.Crew[t] == crew && (s.Placed[t] || w.reserved[t]) {
			held = append(held, t)
		}
	}
	slices.SortFunc(held, w.compareInSequence)
	return held
}
