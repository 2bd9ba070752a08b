package models_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

func newYork(t *testing.T) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	return zone
}

func TestSnapshot_HoldsTheFirmAsThePlannerReadsIt(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		firm := newJob(t, db).firm()
		zone := newYork(t)

		assert.Equal(t, "America/New_York", firm.Zone)
		assert.Equal(t, dbtest.Now, firm.DataDate)
		// The data date is Wednesday; Thursday is Thanksgiving, so Friday 27 November is the next working day.
		require.NotNil(t, firm.FrozenUntil)
		assert.Equal(t, time.Date(2026, 11, 28, 0, 0, 0, 0, zone), firm.FrozenUntil.In(zone))

		require.Len(t, firm.Calendars, 1)
		cal := firm.Calendars[0]
		assert.Equal(t, []problem.Shift{{From: 420, To: 930}}, cal.Week.Mon)
		assert.Empty(t, cal.Week.Sat)
		assert.Contains(t, cal.Holidays, problem.Date{Year: 2026, Month: 11, Day: 26}, "Thanksgiving, by the federal rule")
		assert.Contains(t, cal.Holidays, problem.Date{Year: 2026, Month: 12, Day: 25}, "inside the shutdown")
		assert.Equal(t, []problem.Exception{{Date: problem.Date{Year: 2026, Month: 12, Day: 5}, Shifts: []problem.Shift{{From: 480, To: 720}}}}, cal.Exceptions)

		require.Len(t, firm.Crews, 2)
		north, south := firm.Crews[0], firm.Crews[1]
		assert.Equal(t, []string{"survey", "frame"}, north.Skills)
		assert.Equal(t, map[string]float64{"frame": 1.25}, north.Productivity)
		assert.Equal(t, "harbor", north.HomeSite)
		assert.InDelta(t, 95.5, north.CostPerHour, 1e-9)
		assert.Equal(t, []problem.Span{{From: dbtest.Now.AddDate(0, 0, 7), To: dbtest.Now.AddDate(0, 0, 9)}}, north.Away)
		assert.Equal(t, []string{"harbor"}, south.Sites)

		require.Len(t, firm.Projects, 1)
		p := firm.Projects[0]
		assert.Equal(t, problem.LetRun, p.OutOfOrder)
		assert.Equal(t, "L1", p.Areas[1].Parent)
		// Tuesday 1 December, from the start of the shift.
		assert.Equal(t, time.Date(2026, 12, 1, 7, 0, 0, 0, zone), p.Handovers[0].Promised.In(zone))
		// Met by the end of Friday 18 December: the midnight after it.
		assert.Equal(t, time.Date(2026, 12, 19, 0, 0, 0, 0, zone), p.GCDates[0].Date.In(zone))
		assert.InDelta(t, 1200.5, *p.GCDates[0].DamagesPerDay, 1e-9)
		assert.Equal(t, "L1", p.GCDates[0].Area)
		// Everything together waits for the slowest: glass.
		assert.Equal(t, []pattern.Supplier{{ID: "ninefold", Name: "Ninefold Glass", Calendar: "day", Lead: pattern.LeadTime{Least: 10, Likely: 15, Most: 20}}}, p.Suppliers)
		assert.Equal(t, []pattern.Release{{ID: "R1", Supplier: "ninefold", Basis: pattern.FromDrawings, Drops: []pattern.Drop{{Number: 1}}}}, p.Releases)

		require.Len(t, p.Openings, 3)
		o := p.Openings[0]
		assert.Equal(t, "101", o.Mark)
		assert.Equal(t, "L1-E", o.Area)
		assert.Equal(t, 72*length.Inch, o.Takeoff.Width)
		assert.Equal(t, []takeoff.Sidelight{{Side: takeoff.Left}}, o.Takeoff.Sidelights)
		assert.Len(t, o.Material, 4)
		assert.Equal(t, pattern.Material{Item: pattern.FrameKit, Release: "R1", Drop: 1}, o.Material[0])
	})
}

func TestSnapshot_GivesAReleaseOfFrameKitsTheirShorterLead(t *testing.T) {
	t.Parallel()
	db := dbtest.SQLite(t, dbtest.Clock)
	j := newJob(t, db)
	write(t, db, func(tx *models.Tx) error {
		r := models.Release{ProjectID: j.project.ID, Code: "R2", SupplierID: j.supplier.ID}
		if err := models.CreateRelease(t.Context(), tx, &r, console); err != nil {
			return err
		}
		return models.MoveItems(t.Context(), tx, r.ID, 1, []int64{j.item("101", pattern.FrameKit).ID}, "", console)
	})
	for _, r := range j.firm().Projects[0].Releases {
		if r.ID == "R2" {
			assert.Equal(t, &pattern.LeadTime{Least: 8, Likely: 10, Most: 14}, r.Lead)
			return
		}
	}
	t.Fatal("no release R2")
}

func TestSnapshot_LeavesOutClosedProjectsAndIdleCrews(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		j.report("NC/101/frame", models.FieldReport{ClientID: "a", Kind: models.ReportStart})
		write(t, db, func(tx *models.Tx) error {
			j.project.ClosedAt, j.south.Active = &dbtest.Now, false
			if err := models.UpdateProject(t.Context(), tx, &j.project, console); err != nil {
				return err
			}
			return models.UpdateCrew(t.Context(), tx, &j.south, console)
		})
		firm := j.firm()
		assert.Empty(t, firm.Projects)
		assert.Empty(t, firm.States)
		assert.Len(t, firm.Crews, 1)
	})
}

func TestSnapshot_TakesAsManyQueriesForManyRowsAsForFew(t *testing.T) {
	t.Parallel()
	db := dbtest.SQLite(t, dbtest.Clock)
	j := newJob(t, db)
	few := models.CountQueries(db, func() { j.firm() })
	write(t, db, func(tx *models.Tx) error {
		var inputs []models.OpeningInput
		for i := range 40 {
			row := j.openings[0]
			row.ID, row.Mark, row.Items = 0, "2"+string(rune('A'+i)), nil
			inputs = append(inputs, models.OpeningInput{Row: row, Area: models.AreaName{Level: "Level 2"}})
		}
		return models.SaveOpenings(t.Context(), tx, j.project.ID, inputs, console)
	})
	many := models.CountQueries(db, func() { j.firm() })
	assert.Equal(t, few, many)
	assert.Less(t, few, 45)
}

func TestSnapshot_BuildsAProblem(t *testing.T) {
	t.Parallel()
	j := newJob(t, dbtest.SQLite(t, dbtest.Clock))
	p := j.build()
	require.NotEmpty(t, p.Tasks)
	assert.Len(t, p.GCDates, 1)
}

func (j *job) item(mark string, kind pattern.Item) models.MaterialItem {
	j.t.Helper()
	rows, err := models.OpeningsOf(j.t.Context(), j.db, j.project.ID)
	require.NoError(j.t, err)
	for _, o := range rows {
		for i := range o.Items {
			if o.Mark == mark && o.Items[i].Kind == kind && o.Items[i].ParentID == nil {
				return o.Items[i]
			}
		}
	}
	j.t.Fatalf("no %s of %s", kind, mark)
	return models.MaterialItem{}
}
