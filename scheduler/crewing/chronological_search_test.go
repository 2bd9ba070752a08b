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
func reach(t *testing.T, seed uint64, tasks int, inOrder bool, nodes int) (isWhole bool, above float64) {
	const day = 56
	p, works := general(seed, day, tasks, seed%2 == 0)
	m, dates := modelOf(t, p)
	found := Search(m, dates, SearchOptions{Schedules: 20_000, Seed: seed})
	require.Zero(t, found.Schedule.Score.Unplaced, "seed %d", seed)
	total := found.Schedule.Score.Total
	c := newChronological(p, works, day, total+0.01)
	c.inOrder, c.nodes = inOrder, nodes
	c.next(-1)
	if isWhole = c.nodes >= 0; isWhole && !inOrder {
		require.LessOrEqual(t, c.best, total+1e-6, "seed %d: no plan is as good as the one found", seed)
	}
	if !inOrder {
		require.LessOrEqual(t, found.Bound.Total, c.best+1e-6, "seed %d", seed)
	}
	return isWhole, max(0, total-c.best)
}

// A dozen tasks with links of all types between any of them: no plan in which nothing starts before what it follows is better than
// the one found.
func TestSearch_FindsTheBestOfAllMinutesOfTwelveTasks(t *testing.T) {
	t.Parallel()
	whole, seeds := 0, testRounds(24, 6)
	for seed := range uint64(seeds) {
		isWhole, above := reach(t, seed, 12, true, 200_000)
		whole += countIf(isWhole)
		require.Zero(t, above, "seed %d", seed)
	}
	t.Logf("all plans of %d in %d problems", whole, seeds)
	require.Greater(t, 3*whole, seeds)
}

// Among all plans whatever there are better ones for the seeds listed. In each of these something starts before what it follows by
// a link to its finish or with negative lag, and the latter waits for its crew or the hoist, although these would be free for
// it: schedules are made in an order in which what is followed has its turn first and takes the first place that it finds.
func TestSearch_FindsTheBestOfAllMinutesButWhereWhatIsFollowedWaits(t *testing.T) {
	t.Parallel()
	const tasks, nodes = 8, 100_000
	known := []uint64{8, 39, 46, 47, 75, 99}
	seeds := slices.Clone(known)
	for seed := range uint64(testRounds(50, 10)) {
		if !slices.Contains(known, seed) {
			seeds = append(seeds, seed)
		}
	}
	whole := 0
	for _, seed := range seeds {
		isWhole, above := reach(t, seed, tasks, false, nodes)
		whole += countIf(isWhole)
		if slices.Contains(known, seed) {
			isWhole, above = reach(t, seed, tasks, true, nodes)
			require.True(t, isWhole, "seed %d", seed)
		}
		require.Zero(t, above, "seed %d", seed)
	}
	t.Logf("all plans of %d in %d problems", whole, len(seeds))
	require.Greater(t, 2*whole, len(seeds))
}
