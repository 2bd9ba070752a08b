package models_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

// inForce saves a plan and issues it.
func (j *job) inForce() *models.Plan {
	j.t.Helper()
	plan := j.savePlan(0)
	write(j.t, j.db, func(tx *models.Tx) error {
		_, err := models.IssuePlan(j.t.Context(), tx, plan.ID, j.project.ID, false, console)
		return err
	})
	return plan
}

func (j *job) work(q models.WorkQuery) map[string]models.Work {
	j.t.Helper()
	rows, err := models.CrewWork(j.t.Context(), j.db, q)
	require.NoError(j.t, err)
	byKey := map[string]models.Work{}
	for _, w := range rows {
		byKey[w.Task.Key] = w
	}
	return byKey
}

func missingKeys(w models.Work) []string {
	var keys []string
	for _, m := range w.Missing {
		keys = append(keys, m.Task.Key)
	}
	return keys
}

func TestCrewWork_SaysWhatEachTaskWaitsFor(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		assert.Empty(t, j.work(models.WorkQuery{}), "nothing is issued yet")
		j.inForce()

		work := j.work(models.WorkQuery{})
		frame := work["NC/101/frame"]
		assert.Equal(t, models.StateWaiting, frame.State)
		assert.Contains(t, missingKeys(frame), "NC/L1/walls_boarded")
		assert.Contains(t, missingKeys(frame), "NC/R1/deliver")
		for _, m := range frame.Missing {
			assert.NotNil(t, m.Expected, m.Task.Key)
		}
		assert.Equal(t, "101", frame.Task.Opening.Mark)
		assert.Equal(t, "East", frame.Task.Opening.Area.Name)
		assert.Equal(t, "North", frame.Plan.Crew.Name)

		// Walls handed over, material received, survey done: framing is clear, glazing still waits for it.
		actual := models.NewDate(2026, 11, 24)
		write(t, db, func(tx *models.Tx) error {
			return models.RecordHandoverChange(t.Context(), tx, j.walls.ID, 1, models.HandoverNews{Promised: j.walls.Promised, Actual: &actual}, console)
		})
		j.report("NC/R1/deliver", models.FieldReport{ClientID: "a", Kind: models.ReportDone})
		j.report("NC/L1/survey", models.FieldReport{ClientID: "b", Kind: models.ReportDone})
		work = j.work(models.WorkQuery{})
		assert.Equal(t, models.StateClear, work["NC/101/frame"].State, missingKeys(work["NC/101/frame"]))
		assert.Equal(t, []string{"NC/101/frame"}, missingKeys(work["NC/101/glaze"]))

		j.report("NC/101/frame", models.FieldReport{ClientID: "c", Kind: models.ReportStart})
		assert.Equal(t, models.StateUnderWay, j.work(models.WorkQuery{})["NC/101/frame"].State)
		j.report("NC/101/frame", models.FieldReport{ClientID: "d", Kind: models.ReportHold, Cause: "no power"})
		assert.Equal(t, models.StateHeld, j.work(models.WorkQuery{})["NC/101/frame"].State)
		j.report("NC/101/frame", models.FieldReport{ClientID: "e", Kind: models.ReportDone})
		work = j.work(models.WorkQuery{})
		assert.Equal(t, models.StateDone, work["NC/101/frame"].State)
		assert.Equal(t, models.StateClear, work["NC/101/glaze"].State)
	})
}

func TestCrewWork_ListsTheCrewsAndTheSpanAskedFor(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		plan := j.inForce()
		all := j.work(models.WorkQuery{PlanID: &plan.ID})
		for key, w := range j.work(models.WorkQuery{CrewIDs: []int64{j.south.ID}}) {
			assert.Equal(t, j.south.ID, *w.Plan.CrewID, key)
		}
		frame := all["NC/101/frame"].Plan
		within := func(from, to time.Time) bool {
			_, listed := j.work(models.WorkQuery{From: from, To: to})["NC/101/frame"]
			return listed
		}
		assert.True(t, within(frame.StartAt, frame.FinishAt))
		assert.True(t, within(frame.FinishAt.Add(-time.Minute), frame.FinishAt.Add(time.Hour)))
		assert.False(t, within(frame.FinishAt, frame.FinishAt.Add(time.Hour)), "half-open: over at its finish")
		assert.False(t, within(frame.StartAt.Add(-time.Hour), frame.StartAt), "half-open: not begun before its start")

		assert.Empty(t, j.work(models.WorkQuery{ProjectIDs: []int64{j.project.ID + 1}}))
	})
}

func TestListOpenings_TellsHowFarEachHasCome(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		list := func(q models.OpeningQuery) *models.OpeningList {
			q.ProjectID = j.project.ID
			l, err := models.ListOpenings(t.Context(), db, q)
			require.NoError(t, err)
			return l
		}
		first := list(models.OpeningQuery{}).Openings[0]
		assert.True(t, first.Has(takeoff.Glaze))
		assert.False(t, first.Done(takeoff.Frame))
		assert.False(t, first.MaterialOnSite())

		j.report("NC/R1/deliver", models.FieldReport{ClientID: "a", Kind: models.ReportDone})
		j.report("NC/101/frame", models.FieldReport{ClientID: "b", Kind: models.ReportDone})
		j.report("NC/101/glaze", models.FieldReport{ClientID: "c", Kind: models.ReportHold, Cause: "no power"})
		first = list(models.OpeningQuery{}).Openings[0]
		assert.True(t, first.Done(takeoff.Frame))
		assert.False(t, first.AllDone())
		assert.True(t, first.MaterialOnSite())
		assert.Equal(t, "no power", first.Hold().HoldCause)

		j.report("NC/101/glaze", models.FieldReport{ClientID: "d", Kind: models.ReportDamaged, ItemKind: pattern.Glass})
		first = list(models.OpeningQuery{}).Openings[0]
		assert.False(t, first.MaterialOnSite(), "the remake is missing")

		assert.Len(t, list(models.OpeningQuery{AreaID: &j.level.ID}).Openings, 3, "areas inside count")
		assert.Len(t, list(models.OpeningQuery{Text: "OFFICE 102"}).Openings, 1)
		none := list(models.OpeningQuery{Text: "%"})
		assert.Empty(t, none.Openings, "a percent sign is a percent sign")
		assert.Equal(t, 3, none.Total)
		assert.Empty(t, list(models.OpeningQuery{Type: takeoff.Storefront}).Openings)
	})
}

func TestOpeningPage_ShowsThePathFromSurveyToPunch(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.inForce()
		j.report("NC/101/frame", models.FieldReport{ClientID: "a", Kind: models.ReportStart})
		j.report("NC/101/frame", models.FieldReport{ClientID: "b", Kind: models.ReportDone, At: dbtest.Now.Add(time.Hour)})
		j.report("NC/102/frame", models.FieldReport{ClientID: "c", Kind: models.ReportStart})
		d, err := models.OpeningPage(t.Context(), db, j.openings[0].ID, nil)
		require.NoError(t, err)

		var path []string
		for _, w := range d.Work {
			path = append(path, w.Task.Key)
			assert.NotNil(t, w.Plan, w.Task.Key)
		}
		assert.Equal(t, []string{
			"NC/L1/survey", "NC/R1/order", "NC/R1/lead", "NC/R1/deliver", "NC/101/frame", "NC/101/glaze", "NC/101/hang", "NC/101/punch",
		}, path)
		assert.Equal(t, []string{"Level 1", "East"}, []string{d.Areas[0].Name, d.Areas[1].Name})
		require.Len(t, d.Reports, 2, "of this opening only")
		assert.Equal(t, models.ReportDone, d.Reports[0].Kind, "newest first")
		require.Len(t, d.Handovers, 1)
		assert.Equal(t, "Ninefold Glass", d.Opening.Items[0].Release.Supplier.Name)

		_, err = models.OpeningPage(t.Context(), db, 9999, nil)
		require.ErrorIs(t, err, models.ErrNotFound)
	})
}

// Every page takes as many queries for fifty openings as for three.
func TestPages_TakeAFixedNumberOfQueries(t *testing.T) {
	t.Parallel()
	db := dbtest.SQLite(t, dbtest.Clock)
	j := newJob(t, db)
	plan := j.inForce()
	ctx := t.Context()
	pages := map[string]func() error{
		"tomorrow": func() error {
			_, err := models.CrewWork(ctx, db, models.WorkQuery{})
			return err
		},
		"crews": func() error {
			_, err := models.CrewWork(ctx, db, models.WorkQuery{PlanID: &plan.ID, From: dbtest.Now, To: dbtest.Now.AddDate(0, 0, 21)})
			return err
		},
		"openings": func() error {
			_, err := models.ListOpenings(ctx, db, models.OpeningQuery{ProjectID: j.project.ID})
			return err
		},
		"opening": func() error {
			_, err := models.OpeningPage(ctx, db, j.openings[0].ID, nil)
			return err
		},
		"dates": func() error {
			_, err := models.PlanDates(ctx, db, plan.ID, nil)
			return err
		},
		"nights": func() error {
			_, err := models.Nights(ctx, db, nil, 30)
			return err
		},
		"projects": func() error {
			_, err := models.ProjectRows(ctx, db)
			return err
		},
		"directory": func() error {
			_, err := models.ReadDirectory(ctx, db)
			return err
		},
		"material": func() error {
			_, err := models.Snapshot(ctx, db, dbtest.Now)
			if err == nil {
				_, err = models.PlanSpans(ctx, db, plan.ID)
			}
			if err == nil {
				_, err = models.Releases(ctx, db, j.project.ID)
			}
			if err == nil {
				_, err = models.Remakes(ctx, db, j.project.ID)
			}
			return err
		},
		"release": func() error {
			_, err := models.ReleaseByID(ctx, db, j.release.ID)
			if err == nil {
				_, err = models.ReleaseItems(ctx, db, j.release.ID)
			}
			return err
		},
		"news": func() error {
			_, err := models.NewsBetween(ctx, db, dbtest.Now.Add(-time.Hour), dbtest.Now)
			return err
		},
	}
	count := func() map[string]int {
		counts := map[string]int{}
		for name, page := range pages {
			counts[name] = models.CountQueries(db, func() { require.NoError(t, page()) })
		}
		return counts
	}
	few := count()
	j.addMany(50)
	plan = j.inForce()
	for _, w := range j.work(models.WorkQuery{}) {
		if w.Task.Kind == takeoff.Frame {
			j.report(w.Task.Key, models.FieldReport{ClientID: w.Task.Key, Kind: models.ReportDone})
		}
	}
	// Rows that a page did not have before need relations that it did not read before; the second count has them all.
	many := count()
	j.addMany(50)
	plan = j.inForce()
	more := count()
	assert.Equal(t, many, more)
	for name, n := range more {
		assert.LessOrEqual(t, n, 50, name)
		assert.GreaterOrEqual(t, n, few[name], name)
	}
}

// addMany adds openings to level 2 with their items.
func (j *job) addMany(n int) {
	j.t.Helper()
	write(j.t, j.db, func(tx *models.Tx) error {
		ctx := j.t.Context()
		before, err := models.OpeningsOf(ctx, tx, j.project.ID)
		if err != nil {
			return err
		}
		var inputs []models.OpeningInput
		for i := range n {
			row := models.Opening{
				Mark: fmt.Sprintf("%d", 1000+len(before)+i), OpeningType: takeoff.HingedFront, Width: 72 * length.Inch, Height: 96 * length.Inch,
				GlassKind: takeoff.Monolithic, GlassThickness: 10 * length.Millimetre,
			}
			inputs = append(inputs, models.OpeningInput{Row: row, Area: models.AreaName{Level: "Level 2"}})
		}
		if err := models.SaveOpenings(ctx, tx, j.project.ID, inputs, console); err != nil {
			return err
		}
		after, err := models.OpeningsOf(ctx, tx, j.project.ID)
		if err != nil {
			return err
		}
		var items []models.MaterialItem
		for _, o := range after {
			for _, kind := range pattern.Items() {
				if len(o.Items) == 0 {
					items = append(items, models.MaterialItem{OpeningID: o.ID, Kind: kind, ReleaseID: &j.release.ID})
				}
			}
		}
		return models.CreateItems(ctx, tx, items)
	})
}

func TestCrewWork_FollowsOfEachProjectThePlanInForceThere(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		first := j.inForce()
		second := models.Project{Code: "SC", Name: "South Court", SiteID: j.site.ID, CalendarID: j.calendar.ID, Zone: "America/New_York"}
		write(t, db, func(tx *models.Tx) error {
			if err := models.CreateProject(t.Context(), tx, &second, console); err != nil {
				return err
			}
			row := j.openings[0]
			row.ID, row.Items = 0, nil
			err := models.SaveOpenings(t.Context(), tx, second.ID, []models.OpeningInput{{Row: row}}, console)
			if err != nil {
				return err
			}
			err = models.AssignReleases(t.Context(), tx, second.ID)
			return err
		})
		later := j.savePlan(time.Hour)
		write(t, db, func(tx *models.Tx) error {
			_, err := models.IssuePlan(t.Context(), tx, later.ID, second.ID, false, console)
			return err
		})
		work := j.work(models.WorkQuery{})
		assert.Equal(t, first.ID, work["NC/101/frame"].Plan.PlanID)
		assert.Equal(t, later.ID, work["SC/101/frame"].Plan.PlanID)
		for _, w := range j.work(models.WorkQuery{CrewIDs: []int64{j.south.ID}, ProjectIDs: []int64{second.ID}}) {
			assert.Equal(t, second.ID, w.Task.ProjectID)
			assert.Equal(t, j.south.ID, *w.Plan.CrewID)
		}
		starts := map[string]time.Time{}
		for _, line := range j.firm().Issued {
			starts[line.Task] = line.Start
		}
		assert.Equal(t, work["NC/101/frame"].Plan.StartAt, starts["NC/101/frame"])
		assert.Equal(t, work["SC/101/frame"].Plan.StartAt, starts["SC/101/frame"])
	})
}
