package crewing

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// Seal a minute, glaze five, by one crew; glazing may not end more than a minute before sealing does. On paper: sealing first takes
// the crew to minute 6 (1 + 5) and the date on glazing is met at 6; glazing first is over at 5, sealing at 6, and 5 >= 6 - 1.
func TestSearch_LetsAFollowerGoAheadOfWhatItFollows(t *testing.T) {
	t.Parallel()
	base := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	one, five := 1, 5
	p := &problem.Problem{
		Version: problem.Version, Zone: "UTC", DataDate: base,
		Sites: []problem.Site{{ID: "s"}},
		Crews: []problem.Crew{{ID: "x", Skills: []string{"k"}, Heads: 1, Calendar: "always"}},
		Tasks: []problem.Task{
			{ID: "seal", Kind: "k", Site: "s", LabourMinutes: &one},
			{ID: "glaze", Kind: "k", Site: "s", LabourMinutes: &five},
		},
		Links:   []problem.Link{{From: "seal", To: "glaze", Type: problem.FinishToFinish, LagMinutes: -1}},
		GCDates: []problem.GCDate{{ID: "g", Tasks: []string{"glaze"}, Date: base.Add(5 * time.Minute)}},
	}
	m, dates := modelOf(t, p)
	found := Search(m, dates, SearchOptions{Schedules: 200, Seed: 1})
	s := found.Schedule
	require.Zero(t, s.Score.LatenessCost)
	require.Equal(t, m.DataDate, s.Begin[1])
	require.Equal(t, m.DataDate+calendar.Instant(5), s.Begin[0])
	require.Equal(t, Cause{Kind: ByCrew, Driver: 1, Until: s.Finish[1]}, s.Cause[0], "sealing waits for the crew")
	require.Equal(t, ByDataDate, s.Cause[1].Kind)
}

// A list that lets a follower go ahead although what it follows comes too late for it makes no schedule.
func TestGenerateAhead_ComesToNothingWhereWhatIsFollowedIsTooLate(t *testing.T) {
	t.Parallel()
	p, _ := general(39, 56, 8, false)
	m, dates := modelOf(t, p)
	require.NotNil(t, m.firm)
	w := NewWorkspace(m)
	var order sorter
	keys := make([]int64, m.Tasks())
	whole, broken := 0, 0
	for shift := range m.Tasks() {
		for t := range keys {
			keys[t] = int64((t + shift) % len(keys))
		}
		if !w.GenerateAhead(order.sortAhead(m, keys), dates) {
			broken++
			continue
		}
		whole++
		require.Empty(t, w.s.Failed)
	}
	require.Positive(t, whole)
	require.Positive(t, broken)
}
