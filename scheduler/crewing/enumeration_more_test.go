package crewing

import (
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

// What is reported, pinned, issued and frozen is enumerated too: every list and every crew, under the places that are locked. A
// search may be better than all of them, by leaving work at its issued place where the lists begin it as soon as they can.
func TestSearch_FindsTheBestOfAllListsWhereWorkIsLocked(t *testing.T) {
	t.Parallel()
	equal, problems := 0, 0
	for name, change := range map[string]func(*problemtest.Options){
		"pins":      func(o *problemtest.Options) { o.Pins = 0.3 },
		"under way": func(o *problemtest.Options) { o.Finished = 0.25 },
		"order":     func(o *problemtest.Options) { o.Finished, o.KeepOrder = 0.25, true },
		"issued":    func(o *problemtest.Options) { o.Issued, o.Weights = 0.6, true },
		"frozen":    func(o *problemtest.Options) { o.Issued, o.Frozen = 0.6, true },
		"absences":  func(o *problemtest.Options) { o.Away, o.NotBefore = 1, 0.3 },
		"set-up":    func(o *problemtest.Options) { o.AreasPerSite, o.Sites, o.Weights = 3, 1, true },
	} {
		for seed := range uint64(15) {
			o := problemtest.Tiny(6)
			change(&o)
			m, dates := modelOf(t, problemtest.Random(1_000+seed, o))
			best := enumerate(m)
			found := Search(m, dates, SearchOptions{Schedules: 6_000, Seed: seed})
			problems++
			requireAsGood(t, &found.Schedule.Score, &best, "%s, seed %d", name, seed)
			if !found.Schedule.Score.Better(&best) {
				equal++
			}
			if found.Schedule.Score.Unplaced == 0 && found.Schedule.Score.Broken == 0 {
				require.LessOrEqual(t, found.Bound.Total, found.Schedule.Score.Total+1e-6, "%s, seed %d", name, seed)
			}
		}
	}
	require.Greater(t, 2*equal, problems)
}

func requireAsGood(t *testing.T, found, best *Score, message string, values ...any) {
	t.Helper()
	args := append([]any{message + ": %+v, enumeration %+v"}, append(values, *found, *best)...)
	require.LessOrEqual(t, found.Unplaced, best.Unplaced, args...)
	if found.Unplaced == best.Unplaced {
		require.LessOrEqual(t, found.Broken, best.Broken, args...)
		if found.Broken == best.Broken {
			require.LessOrEqual(t, found.Total, best.Total+1e-6, args...)
		}
	}
}

// Twelve tasks in two or three chains leave few enough lists to try them all, with every crew.
func TestSearch_FindsTheBestOfAllListsOfTwelveTasksInChains(t *testing.T) {
	t.Parallel()
	for seed := range uint64(12) {
		p := chained(seed, 12, 2)
		m, dates := modelOf(t, p)
		best := enumerate(m)
		found := Search(m, dates, SearchOptions{Schedules: 20_000, Seed: seed})
		require.Equal(t, best.Unplaced, found.Schedule.Score.Unplaced, "seed %d", seed)
		requireLeast(t, m, &found.Schedule.Score, &best, "seed %d", seed)
		require.LessOrEqual(t, found.Bound.Total, found.Schedule.Score.Total+1e-6, "seed %d", seed)
		require.LessOrEqual(t, found.Bound.LatenessCost, best.LatenessCost+1e-9, "seed %d", seed)
		require.LessOrEqual(t, found.Bound.Makespan, best.Makespan, "seed %d", seed)
	}
}

// chained is a random problem whose tasks stand in chains by links of all types, on three crews. Only every fourth task is left a
// choice of crews, and no list can change the order within a chain.
func chained(seed uint64, tasks, chains int) *problem.Problem {
	o := problemtest.Tiny(8)
	o.Tasks, o.ExtraLinks, o.Fixed, o.NotBefore = tasks, 0, 0, 0.2
	p := problemtest.Random(2_000+seed, o)
	random := p.Links
	p.Links = nil
	for i := chains; i < tasks; i++ {
		l := problem.Link{From: p.Tasks[i-chains].ID, To: p.Tasks[i].ID}
		if i < len(random) {
			l.Type, l.LagMinutes, l.LagCalendar = random[i].Type, random[i].LagMinutes, random[i].LagCalendar
		}
		p.Links = append(p.Links, l)
	}
	for i := range p.Tasks {
		t := &p.Tasks[i]
		if !t.IsCrewWork() || i%4 == 3 {
			continue
		}
		for c := range p.Crews {
			if p.Crews[c].CanDo(t) {
				t.Pin = &problem.Pin{Crew: p.Crews[(c+int(seed))%len(p.Crews)].ID}
				if !p.Crews[(c+int(seed))%len(p.Crews)].CanDo(t) {
					t.Pin.Crew = p.Crews[c].ID
				}
				break
			}
		}
	}
	return p
}
