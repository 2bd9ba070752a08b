package crewing_test

import (
	"archive/tar"
	"cmp"
	"compress/gzip"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"math/bits"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/crewing"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

// Multi-skilled team instances of Snauwaert and Vanhoucke, "A classification and new benchmark instances for the
// multi-skilled resource-constrained project scheduling problem", European Journal of Operational Research 307 (2023): an
// activity needs several workers at once, so many for each skill, and a worker lends one of his skills to one activity at a
// time. The bounds beside them were computed by an exact solver with a time limit; they are no published records.
//
// A crew of ours is one unit, so a team is stated by limits: for every set of skills the workers asked for at one instant
// may not be more than those who master any of them. By Hall's theorem the demands of an instant can then be met. That a
// worker stays with his activity to its end is not in the limits: assignWorkers carries the plan out with them.
type team struct {
	problem *problem.Problem
	// masters[w] is the set of skills of worker w; needs[task][skill] the workers asked for.
	masters   []uint
	needs     [][]int
	followers [][]int
}

// teamInstances reads all instances; a period is a minute.
func teamInstances(t testing.TB) map[string]*team {
	zipped, err := gzip.NewReader(sharedData(t, "mslib", "mslib1.tar.gz"))
	require.NoError(t, err)
	archive := tar.NewReader(zipped)
	teams := make(map[string]*team)
	for {
		header, err := archive.Next()
		if err == io.EOF {
			return teams
		}
		require.NoError(t, err)
		if name, ok := strings.CutSuffix(filepath.Base(header.Name), ".msrcp"); ok {
			text, err := io.ReadAll(archive)
			require.NoError(t, err)
			teams[name] = readTeam(t, string(text))
		}
	}
}

// readTeam reads the modules of project, workforce and skill requirements; the extensions after them are left alone.
func readTeam(t testing.TB, text string) *team {
	modules := make(map[string][]int)
	title := ""
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, `\*`) {
			title = strings.Trim(strings.TrimSpace(line), `\* `)
			continue
		}
		if title != "Project Module" && title != "Workforce Module" && title != "Skill Requirements Module" {
			continue
		}
		for _, field := range strings.Fields(line) {
			n, err := strconv.Atoi(field)
			require.NoError(t, err, title)
			modules[title] = append(modules[title], n)
		}
	}
	project, workers, skills := modules["Project Module"], modules["Project Module"][1], modules["Project Module"][2]
	tasks := project[0]
	s := &team{problem: &problem.Problem{
		Version: problem.Version, Zone: "UTC", DataDate: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), Weights: &problem.Weights{Early: 1},
	}}
	for w := range workers {
		set := uint(0)
		for k, has := range modules["Workforce Module"][w*skills : (w+1)*skills] {
			set |= uint(has) << k
		}
		s.masters = append(s.masters, set)
	}
	for i := range tasks {
		s.needs = append(s.needs, modules["Skill Requirements Module"][i*skills:(i+1)*skills])
	}
	s.addTasks(project[6:], tasks) // after four sizes come the deadlines without and with levels
	s.addLimits(skills)
	return s
}

func (s *team) addTasks(lines []int, tasks int) {
	at := 0
	for i := range tasks {
		duration, followers := lines[at], lines[at+2:at+2+lines[at+1]]
		at += 2 + len(followers)
		id := strconv.Itoa(i + 1)
		s.followers = append(s.followers, nil)
		s.problem.Tasks = append(s.problem.Tasks, problem.Task{ID: id, Kind: "team", DurationMinutes: &duration, Calendar: problem.Always})
		for _, to := range followers {
			s.followers[i] = append(s.followers[i], to-1)
			s.problem.Links = append(s.problem.Links, problem.Link{From: id, To: strconv.Itoa(to)})
		}
	}
}

func (s *team) addLimits(skills int) {
	for set := uint(1); set < 1<<skills; set++ {
		limit := problem.Limit{ID: fmt.Sprintf("skills %b", set)}
		for _, masters := range s.masters {
			if masters&set != 0 {
				limit.Capacity++
			}
		}
		used := false
		for i, needs := range s.needs {
			units := 0
			for k, n := range needs {
				units += n * int(set>>k&1)
			}
			if units == 0 {
				continue
			}
			used = true
			task := &s.problem.Tasks[i]
			if task.Uses == nil {
				task.Uses = make(map[string]int)
			}
			task.Uses[limit.ID] = units
		}
		if used {
			s.problem.Limits = append(s.problem.Limits, limit)
		}
	}
}

// assignWorkers carries a plan out with people: in the order of its starts each task takes free workers for its whole time,
// later than planned where there are too few. It returns the shortest makespan in minutes of some tries, which differ in whom
// they prefer, and stops at the planned one.
func (s *team) assignWorkers(start []calendar.Instant, planned, tries int, chance *rand.Rand) int {
	order := make([]int, len(start))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(start[a], start[b]) })
	best := math.MaxInt
	for try := 0; try < tries && best > planned; try++ {
		best = min(best, s.carryOut(order, chance))
	}
	return best
}

func (s *team) carryOut(order []int, chance *rand.Rand) (makespan int) {
	workers, rank := make([]int, len(s.masters)), make([]float64, len(s.masters))
	blur := 2 * chance.Float64() // sometimes by the number of skills alone, sometimes nearly at random
	for w, masters := range s.masters {
		workers[w] = w
		rank[w] = float64(bits.OnesCount(masters)) + (1+blur)*chance.Float64()
	}
	slices.SortFunc(workers, func(a, b int) int { return cmp.Compare(rank[a], rank[b]) })
	freeFrom, ready := make([]int, len(s.masters)), make([]int, len(order))
	for _, task := range order {
		at := ready[task]
		taken := s.take(task, at, workers, freeFrom)
		for taken == nil {
			at = nextFree(freeFrom, at)
			taken = s.take(task, at, workers, freeFrom)
		}
		finish := at + *s.problem.Tasks[task].DurationMinutes
		for w := range taken {
			freeFrom[w] = finish
		}
		for _, follower := range s.followers[task] {
			ready[follower] = max(ready[follower], finish)
		}
		makespan = max(makespan, finish)
	}
	return makespan
}

func nextFree(freeFrom []int, at int) int {
	next := math.MaxInt
	for _, free := range freeFrom {
		if free > at {
			next = min(next, free)
		}
	}
	return next
}

// take returns workers free at an instant for all that a task needs, the skill each lends by worker, or nil. It looks for
// augmenting paths in the order of preference.
func (s *team) take(task, at int, workers, freeFrom []int) map[int]int {
	var demands []int
	for k, n := range s.needs[task] {
		for range n {
			demands = append(demands, k)
		}
	}
	held := make(map[int]int)
	var seen map[int]bool
	var place func(d int) bool
	place = func(d int) bool {
		for _, w := range workers {
			if seen[w] || freeFrom[w] > at || s.masters[w]>>demands[d]&1 == 0 {
				continue
			}
			seen[w] = true
			if other, taken := held[w]; !taken || place(other) {
				held[w] = d
				return true
			}
		}
		return false
	}
	for d := range demands {
		seen = make(map[int]bool)
		if !place(d) {
			return nil
		}
	}
	return held
}

func TestSearch_TeamInstancesLieNearTheirBounds(t *testing.T) {
	t.Parallel()
	schedules, near := 5000, 0.01
	if testing.Short() {
		schedules, near = 200, 0.03
	}
	rows, err := csv.NewReader(sharedData(t, "mslib", "mslib1-best.csv")).ReadAll()
	require.NoError(t, err)
	teams := teamInstances(t)
	require.Len(t, teams, len(rows)-1)
	fromUpper, fromLower := 0.0, 0.0
	for _, row := range rows[1:] {
		lower, err := strconv.Atoi(row[6])
		require.NoError(t, err)
		upper, err := strconv.Atoi(row[7])
		require.NoError(t, err)
		makespan := teams[row[0]].solve(t, schedules, lower)
		t.Logf("%-18s %4d  lower %4d  upper %4d", row[0], makespan, lower, upper)
		require.GreaterOrEqual(t, makespan, lower, row[0])
		fromUpper += float64(makespan-upper) / float64(upper)
		fromLower += float64(makespan-lower) / float64(lower)
	}
	count := float64(len(teams))
	t.Logf("on average %.3f %% from the upper, %.3f %% from the lower bounds", 100*fromUpper/count, 100*fromLower/count)
	require.Less(t, fromUpper/count, near, "the average distance from the upper bounds has grown")
}

// solve plans the instance with a few seeds and returns the shortest makespan that people can carry out.
func (s *team) solve(t *testing.T, schedules, lower int) (makespan int) {
	compiled, err := network.Compile(s.problem)
	require.NoError(t, err)
	m := crewing.NewModel(compiled)
	var passes network.Workspace
	dates := passes.Compute(compiled)
	makespan = math.MaxInt
	for seed := uint64(0); seed < 3 && makespan > lower; seed++ {
		found := crewing.Search(m, dates, crewing.SearchOptions{Schedules: schedules, Seed: seed})
		planned := int(found.Schedule.Score.Makespan - calendar.FromTime(s.problem.DataDate))
		makespan = min(makespan, s.assignWorkers(found.Schedule.Start, planned, 300, rand.New(rand.NewPCG(seed, 1))))
	}
	return makespan
}
