package crewing

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
)

// general is a dozen tasks on three crews, with links of all types and lags both ways between any of them.
func general(seed uint64, day, tasks int, sameTime bool) (*problem.Problem, map[string]workRow) {
	p, works := dayProblem(seed, day, tasks, sameTime)
	rng := rand.New(rand.NewPCG(seed, 12))
	p.Crews = append(p.Crews, problem.Crew{ID: "z", Skills: []string{"l", "k"}[:1+rng.IntN(2)], Heads: 1, Calendar: "two", HomeSite: "t"})
	if sameTime {
		p.Crews[2].Calendar = "one"
	}
	types := []problem.LinkType{problem.FinishToStart, problem.StartToStart, problem.FinishToFinish, problem.StartToFinish}
	for range tasks / 2 {
		to := 1 + rng.IntN(tasks-1)
		p.Links = append(p.Links, problem.Link{
			From: fmt.Sprint(rng.IntN(to)), To: fmt.Sprint(to), Type: types[rng.IntN(len(types))], LagMinutes: rng.IntN(6) - 2,
		})
	}
	for g := range p.GCDates {
		p.GCDates[g].Tasks = []string{fmt.Sprint(tasks/2 + rng.IntN(tasks/2))}
		p.GCDates[g].Date = p.DataDate.Add(time.Duration(6+rng.IntN(14)) * time.Minute)
	}
	return p, works
}

// reach is what the enumeration tells of a search: whether it looked at everything, and by how much the search is above the best.
func reach(t *testing.T, seed uint64, tasks, nodes int) (isWhole bool, above float64) {
	const day = 56
	p, works := general(seed, day, tasks, seed%2 == 0)
	m, dates := modelOf(t, p)
	found := Search(m, dates, SearchOptions{Schedules: 40_000, Seed: seed})
	require.Zero(t, found.Schedule.Score.Unplaced, "seed %d", seed)
	total := found.Schedule.Score.Total
	c := newChronological(p, works, day, total+0.01)
	c.nodes = nodes
	c.next(-1)
	if isWhole = c.nodes >= 0; isWhole {
		require.LessOrEqual(t, c.best, total+1e-6, "seed %d: no plan is as good as the one found", seed)
	}
	require.LessOrEqual(t, found.Bound.Total, c.best+1e-6, "seed %d", seed)
	return isWhole, max(0, total-c.best)
}

// Links of all types and lags both ways, three crews, travel, limits and calendars: no plan whatever is better than the one found. In
// the seeds named here the best ones have something start before what it follows, by a link to its finish or with negative lag, while
// the latter waits for a crew or the hoist that would be free for it.
func TestSearch_FindsTheBestOfAllMinutes(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		tasks, nodes, seeds, least int // least: problems in which all plans are looked at, in percent
		more                       []uint64
	}{
		{tasks: 8, nodes: 100_000, seeds: testRounds(60, 8), least: 60, more: []uint64{39, 46, 47, 75, 99}},
		{tasks: 12, nodes: 300_000, seeds: testRounds(24, 4), least: 20},
	} {
		seeds := slices.Clone(row.more)
		for seed := range uint64(row.seeds) {
			if !slices.Contains(seeds, seed) {
				seeds = append(seeds, seed)
			}
		}
		whole := 0
		for _, seed := range seeds {
			isWhole, above := reach(t, seed, row.tasks, row.nodes)
			whole += countIf(isWhole)
			require.Zero(t, above, "%d tasks, seed %d", row.tasks, seed)
		}
		t.Logf("all plans of %d in %d problems of %d tasks", whole, len(seeds), row.tasks)
		require.GreaterOrEqual(t, 100*whole, row.least*len(seeds))
	}
}
