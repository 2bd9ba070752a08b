package planning_test

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/slippage"
	"jambwright/server/importing"
	"jambwright/server/intake"
	"jambwright/server/jobtest"
	"jambwright/server/planning"
	"jambwright/server/reporting"
)

// secondLevel adds a level of its own to the small job, with crews of its own and a handover in good time, so that nothing
// of it stands in the way of level 1.
func secondLevel(t *testing.T, db *models.DB) {
	t.Helper()
	store := intake.NewStore(db, jobtest.Actor(), models.NewProject{Zone: jobtest.Zone})
	for _, s := range []struct {
		kind importing.Kind
		text string
	}{
		{importing.Openings, "Mark,Level,Type,Width,Height\nA,Level 1,HM door and frame,3-0,7-0\nB,Level 1,Fixed light,4-0,7-0\nC,Level 2,HM door and frame,3-0,7-0\nD,Level 2,Fixed light,4-0,7-0\n"},
		{importing.Handovers, "Level,Condition,Trade,Promised\nLevel 1,Walls boarded,Partitions,2026-11-30\nLevel 2,Walls boarded,Partitions,2027-01-11\n"},
	} {
		read := importing.Read(s.kind, "more.csv", []byte(s.text), importing.Options{})
		require.Empty(t, read.Faults)
		preview, err := importing.NewPreview(t.Context(), store, jobtest.Name, read)
		require.NoError(t, err)
		_, err = importing.Apply(t.Context(), store, preview, importing.Answers{})
		require.NoError(t, err)
	}
}

// wallsOf finds the handover of walls of a level.
func wallsOf(t *testing.T, j *jobtest.Job, area string) *models.Handover {
	t.Helper()
	list, err := models.Handovers(t.Context(), j.DB, j.Project.ID)
	require.NoError(t, err)
	i := slices.IndexFunc(list, func(h models.Handover) bool { return h.Area.Code == area && h.Condition == pattern.WallsBoarded })
	require.NotEqual(t, -1, i, area)
	return &list[i]
}

// behind are the keys of the tasks behind a task along the links of a problem: what a naive reader of the links finds.
func behind(p *problem.Problem, key string) map[string]bool {
	found := map[string]bool{}
	for grew := true; grew; {
		grew = false
		for _, l := range p.Links {
			if (l.From == key || found[l.From]) && !found[l.To] {
				found[l.To], grew = true, true
			}
		}
	}
	return found
}

// Walls of level 1 slip a week from Monday 30 November to Monday 7 December: everything behind them moves, for that reason,
// and nothing of level 2, whose walls come in January.
func TestTryNews_ASlippedHandoverMovesTheRightTasksForTheStatedReasonAndNoOthers(t *testing.T) {
	t.Parallel()
	dbtest.EachByHand(t, func(t *testing.T, db *models.DB, clock *dbtest.Hand) {
		j := jobtest.Load(t, db)
		secondLevel(t, db)
		clock.Later(time.Minute) // what was imported is no news to the plan
		j.Plan()
		clock.Later(time.Minute)
		h := wallsOf(t, j, "L1")
		plans, lines := j.Count("plans"), j.Count("handover_changes")
		late := models.NewDate(2026, 12, 7)
		report := reporting.HandoverReport{ID: h.ID, Version: h.Version, Deed: reporting.NewPromise, Date: &late, Cause: "board is late"}
		tried, err := planning.TryNews(t.Context(), db, func(ctx context.Context, tx *models.Tx) error { return report.Record(ctx, tx, jobtest.Actor()) })
		require.NoError(t, err)
		assert.Equal(t, plans, j.Count("plans"), "a trial saves no plan")
		assert.Equal(t, lines, j.Count("handover_changes"), "nor a line of history")
		same := wallsOf(t, j, "L1")
		assert.Equal(t, h.Version, same.Version)
		assert.Equal(t, h.Promised, same.Promised)

		key := string(pattern.HandoverTask("SC", "L1", pattern.WallsBoarded))
		right := behind(tried.Problem, key)
		require.NotEmpty(t, right)
		const reason = "walls boarded on Level 1: promised date Mon 7 Dec, was Mon 30 Nov"
		moved := map[string]bool{}
		for _, c := range tried.Changes {
			if c.Task == "" {
				continue
			}
			moved[c.Task] = true
			assert.Equal(t, reason, c.CauseText, c.Task)
			assert.Equal(t, string(models.NewsHandover), c.CauseKind)
			assert.Positive(t, c.MovedMinutes, c.Task)
			assert.True(t, c.Task == key || right[c.Task], "%s does not wait for the walls", c.Task)
		}
		for task := range right {
			assert.True(t, moved[task], "%s waits for the walls and stays", task)
		}
		for _, mark := range []string{"C", "D"} {
			assert.False(t, moved["SC/"+mark+"/frame"], "level 2 has nothing to do with it")
		}
		dates := 0
		for _, c := range tried.Changes {
			if c.GCDate != "" {
				dates++
				assert.Equal(t, reason, c.CauseText)
				assert.Positive(t, c.MovedMinutes)
			}
		}
		assert.Equal(t, 1, dates, "level 1 is held to a date")

		// Recorded in earnest, by way of another day, the next plan says the same. Orders that were planned for this very
		// minute have moved with the clock as well, and say so.
		between := models.NewDate(2026, 12, 3)
		for i, day := range []models.Date{between, late} {
			report.Date, report.Version = &day, h.Version+int64(i)
			require.NoError(t, db.Write(t.Context(), func(tx *models.Tx) error { return report.Record(t.Context(), tx, jobtest.Actor()) }))
		}
		clock.Later(time.Minute)
		row := j.Plan()
		changes, err := models.ChangesOf(t.Context(), db, row.ID, j.Project.ID)
		require.NoError(t, err)
		saved := map[string]bool{}
		for _, c := range changes {
			if c.Task == nil {
				continue
			}
			if c.CauseKind != string(models.NewsHandover) {
				assert.Equal(t, "not_started", c.CauseKind, c.Task.Key)
				assert.LessOrEqual(t, c.MovedMinutes, 10, c.Task.Key)
				continue
			}
			saved[c.Task.Key] = true
			assert.Equal(t, reason, c.CauseText, c.Task.Key)
		}
		assert.Equal(t, moved, saved)
	})
}

func TestTryNews_WhatAnotherDateRulesMovesNothing(t *testing.T) {
	t.Parallel()
	dbtest.EachTicking(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		j.Plan()
		h := wallsOf(t, j, "L1")
		expected, promised := models.NewDate(2026, 12, 4), models.NewDate(2026, 12, 8)
		ours := reporting.HandoverReport{ID: h.ID, Version: h.Version, Deed: reporting.NewForecast, Date: &expected}
		require.NoError(t, db.Write(t.Context(), func(tx *models.Tx) error { return ours.Record(t.Context(), tx, jobtest.Actor()) }))
		theirs := reporting.HandoverReport{ID: h.ID, Version: h.Version + 1, Deed: reporting.NewPromise, Date: &promised}
		try := func() *planning.Tried {
			tried, err := planning.TryNews(t.Context(), db, func(ctx context.Context, tx *models.Tx) error { return theirs.Record(ctx, tx, jobtest.Actor()) })
			require.NoError(t, err)
			return tried
		}
		assert.Empty(t, try().Changes, "our own forecast rules over a promise")
		theirs.DropForecast = true
		assert.NotEmpty(t, try().Changes, "without it the promise rules")
	})
}

func TestHandoverReport_EveryFaultAtOnce(t *testing.T) {
	t.Parallel()
	today, day, ahead := models.NewDate(2026, 11, 25), models.NewDate(2026, 11, 20), models.NewDate(2026, 12, 1)
	open := &models.Handover{Promised: &day}
	came := &models.Handover{Promised: &day, Actual: &day}
	for name, c := range map[string]struct {
		report reporting.HandoverReport
		of     *models.Handover
		fields []string
	}{
		"nothing chosen":         {reporting.HandoverReport{}, open, []string{"do"}},
		"promise without a day":  {reporting.HandoverReport{Deed: reporting.NewPromise}, open, []string{"date"}},
		"the same promise":       {reporting.HandoverReport{Deed: reporting.NewPromise, Date: &day}, open, []string{"date"}},
		"promise after the fact": {reporting.HandoverReport{Deed: reporting.NewPromise, Date: &ahead}, came, []string{"do"}},
		"forecast of nothing":    {reporting.HandoverReport{Deed: reporting.NewForecast}, open, []string{"date"}},
		"came tomorrow":          {reporting.HandoverReport{Deed: reporting.CameToPass, Date: &ahead}, open, []string{"date"}},
		"undo what is open":      {reporting.HandoverReport{Deed: reporting.NotAfterAll}, open, []string{"do", "cause"}},
		"a good one":             {reporting.HandoverReport{Deed: reporting.CameToPass, Date: &day}, open, nil},
		"a good undo":            {reporting.HandoverReport{Deed: reporting.NotAfterAll, Cause: "wrong level"}, came, nil},
	} {
		var fields []string
		for _, f := range c.report.Check(c.of, today) {
			fields = append(fields, f.Field)
		}
		assert.Equal(t, c.fields, fields, name)
	}
}

func TestHandoverStories_TellWhatWasPromisedAndWhatCameOfIt(t *testing.T) {
	t.Parallel()
	dbtest.EachTicking(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		record := func(deed reporting.HandoverDeed, day models.Date, cause string) {
			t.Helper()
			h := wallsOf(t, j, "L1")
			r := reporting.HandoverReport{ID: h.ID, Version: h.Version, Deed: deed, Date: &day, Cause: cause}
			require.NoError(t, db.Write(t.Context(), func(tx *models.Tx) error { return r.Record(t.Context(), tx, jobtest.Actor()) }))
		}
		record(reporting.NewPromise, models.NewDate(2026, 12, 4), "")
		record(reporting.NewForecast, models.NewDate(2026, 12, 20), "")
		record(reporting.NewPromise, models.NewDate(2026, 12, 2), "")
		record(reporting.CameToPass, models.NewDate(2026, 12, 3), "")
		for _, project := range []*int64{nil, &j.Project.ID} {
			stories, err := models.HandoverStories(t.Context(), db, project)
			require.NoError(t, err)
			// First promised for 30 November, come on 3 December: 3 days; the promise slipped once, by 4 days.
			want := slippage.Record{Name: "Partitions", Promised: 1, HandedOver: 1, Late: 1, Slips: 1, Days: []int{3}, Spread: slippage.SpreadOf([]int{3})}
			assert.Equal(t, []slippage.Record{want}, slippage.ByTrade(stories))
		}
		record(reporting.NotAfterAll, models.Date{}, "the wrong corridor")
		h := wallsOf(t, j, "L1")
		assert.Nil(t, h.Actual, "a wrong handover is undone")
		none := int64(-1)
		stories, err := models.HandoverStories(t.Context(), db, &none)
		require.NoError(t, err)
		assert.Empty(t, stories)
	})
}
