package models_test

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// job is a small firm: one project NC on one site, level L1 with zone L1-E, two crews, a supplier, a release of glass and
// frames, three openings.
type job struct {
	t        testing.TB
	db       *models.DB
	calendar models.Calendar
	site     models.Site
	project  models.Project
	level    models.Area
	east     models.Area
	north    models.Crew // surveys and frames
	south    models.Crew // glazes, hangs, punches
	supplier models.Supplier
	release  models.Release
	openings []models.Opening
	walls    models.Handover
	date     models.GCDate
}

func newJob(t testing.TB, db *models.DB) *job {
	t.Helper()
	j := &job{t: t, db: db}
	write(t, db, func(tx *models.Tx) error {
		ctx := t.Context()
		for _, step := range []func(context.Context, *models.Tx) error{j.addFirm, j.addCrews, j.addProject, j.addMaterial, j.addOpenings} {
			if err := step(ctx, tx); err != nil {
				return err
			}
		}
		return nil
	})
	return j
}

func (j *job) addFirm(ctx context.Context, tx *models.Tx) error {
	j.calendar = models.Calendar{
		Code: "day", Name: "Day shift", Zone: "America/New_York", HolidayRule: models.USFederalHolidays,
		Holidays:   []models.CalendarHoliday{{FirstDay: models.NewDate(2026, 12, 24), LastDay: models.NewDate(2026, 12, 26), Name: "Shutdown"}},
		Exceptions: []models.CalendarException{{Day: models.NewDate(2026, 12, 5), Shifts: []models.CalendarExceptionShift{{FromMinute: 480, ToMinute: 720}}}},
	}
	for d := time.Monday; d <= time.Friday; d++ {
		j.calendar.Shifts = append(j.calendar.Shifts, models.CalendarShift{Weekday: d, FromMinute: 420, ToMinute: 930})
	}
	if err := models.CreateCalendar(ctx, tx, &j.calendar, console); err != nil {
		return err
	}
	j.site = models.Site{Code: "harbor", Name: "Harbor Lane", Zone: "America/New_York"}
	if err := models.CreateSite(ctx, tx, &j.site, console); err != nil {
		return err
	}
	return models.SaveSettings(ctx, tx, &models.FirmSettings{Name: "Marrow Openings", Zone: "America/New_York", FrozenDays: 1}, console)
}

func (j *job) addCrews(ctx context.Context, tx *models.Tx) error {
	j.north = models.Crew{
		Code: "north", Name: "North", Heads: 2, CalendarID: j.calendar.ID, HomeSiteID: &j.site.ID, Active: true, CostCentsPerHour: 9550,
		Skills:   []models.CrewSkill{{Kind: takeoff.Survey, Productivity: 1}, {Kind: takeoff.Frame, Productivity: 1.25}},
		Absences: []models.CrewAbsence{{StartsAt: dbtest.Now.AddDate(0, 0, 7), FinishesAt: dbtest.Now.AddDate(0, 0, 9), Note: "training"}},
	}
	j.south = models.Crew{
		Code: "south", Name: "South", Heads: 3, CalendarID: j.calendar.ID, Active: true,
		Skills: []models.CrewSkill{{Kind: takeoff.Deliver}, {Kind: takeoff.Glaze}, {Kind: takeoff.Hang}, {Kind: takeoff.Punch}},
		Sites:  []models.CrewSite{{SiteID: j.site.ID}},
	}
	if err := models.CreateCrew(ctx, tx, &j.north, console); err != nil {
		return err
	}
	return models.CreateCrew(ctx, tx, &j.south, console)
}

func (j *job) addProject(ctx context.Context, tx *models.Tx) error {
	j.project = models.Project{
		Code: "NC", Name: "North Court", SiteID: j.site.ID, CalendarID: j.calendar.ID, Zone: "America/New_York", NightlyHour: 2,
	}
	if err := models.CreateProject(ctx, tx, &j.project, console); err != nil {
		return err
	}
	one := 1
	j.level = models.Area{ProjectID: j.project.ID, Code: "L1", Name: "Level 1", Kind: pattern.Level, WalkOrder: 1}
	if err := models.CreateArea(ctx, tx, &j.level, console); err != nil {
		return err
	}
	j.east = models.Area{ProjectID: j.project.ID, ParentID: &j.level.ID, Code: "L1-E", Name: "East", Kind: pattern.Zone, WalkOrder: 2, MaxCrews: &one}
	if err := models.CreateArea(ctx, tx, &j.east, console); err != nil {
		return err
	}
	promised := models.NewDate(2026, 12, 1)
	j.walls = models.Handover{AreaID: j.level.ID, Condition: pattern.WallsBoarded, Trade: "Partitions", Promised: &promised}
	if err := models.CreateHandover(ctx, tx, &j.walls, "sheet of 20 November", console); err != nil {
		return err
	}
	cents := int64(120_050)
	j.date = models.GCDate{
		ProjectID: j.project.ID, Code: "L1-ready", Name: "Level 1 ready", AreaID: &j.level.ID, Kind: takeoff.Punch,
		Due: models.NewDate(2026, 12, 18), DamagesCentsPerDay: &cents,
	}
	return models.CreateGCDate(ctx, tx, &j.date, console)
}

func (j *job) addMaterial(ctx context.Context, tx *models.Tx) error {
	j.supplier = models.Supplier{Code: "ninefold", Name: "Ninefold Glass", CalendarID: &j.calendar.ID, Items: []models.SupplierItem{
		{LeastDays: 8, LikelyDays: 10, MostDays: 14},
		{ItemKind: pattern.Glass, LeastDays: 10, LikelyDays: 15, MostDays: 20},
	}}
	if err := models.CreateSupplier(ctx, tx, &j.supplier, console); err != nil {
		return err
	}
	j.release = models.Release{ProjectID: j.project.ID, Code: "R1", SupplierID: j.supplier.ID}
	return models.CreateRelease(ctx, tx, &j.release, console)
}

func (j *job) addOpenings(ctx context.Context, tx *models.Tx) error {
	var inputs []models.OpeningInput
	for _, mark := range []string{"101", "102", "103"} {
		row := models.Opening{
			Mark: mark, Room: "Office " + mark, OpeningType: takeoff.HingedFront, Width: 72 * length.Inch, Height: 96 * length.Inch,
			GlassKind: takeoff.Monolithic, GlassThickness: 10 * length.Millimetre,
			Sidelights: models.List[models.Sidelight]{{Side: takeoff.Left}},
		}
		inputs = append(inputs, models.OpeningInput{Row: row, Area: models.AreaName{Level: "Level 1", Zone: "East"}})
	}
	if err := models.SaveOpenings(ctx, tx, j.project.ID, inputs, console); err != nil {
		return err
	}
	rows, err := models.OpeningsOf(ctx, tx, j.project.ID)
	if err != nil {
		return err
	}
	j.openings = rows
	var items []models.MaterialItem
	for _, o := range rows {
		for _, kind := range pattern.Items() {
			items = append(items, models.MaterialItem{OpeningID: o.ID, Kind: kind, ReleaseID: &j.release.ID})
		}
	}
	return models.CreateItems(ctx, tx, items)
}

// firm is the snapshot at the database's clock.
func (j *job) firm() pattern.Firm {
	j.t.Helper()
	firm, err := models.Snapshot(j.t.Context(), j.db, dbtest.Now)
	require.NoError(j.t, err)
	return firm
}

// build is the problem of the snapshot.
func (j *job) build() *problem.Problem {
	j.t.Helper()
	p, _, err := pattern.Build(j.firm())
	require.NoError(j.t, err)
	return p
}

// bases are what the hours of shared tasks of the snapshot hang on.
func (j *job) bases() map[string]takeoff.Basis {
	j.t.Helper()
	_, index, err := pattern.Build(j.firm())
	require.NoError(j.t, err)
	return index.Bases()
}

// anyPlan places every task of a problem one hour after the other with the first crew that has the skill. It breaks every rule
// of planning, which storing a plan does not ask about.
func anyPlan(p *problem.Problem, shift time.Duration) *problem.Plan {
	plan := &problem.Plan{Version: problem.Version, Run: problem.Run{Schedules: 10, Seed: 1<<64 - 1, StoppedBy: "budget"}}
	for i := range p.Tasks {
		t := &p.Tasks[i]
		start := p.DataDate.Add(time.Duration(i)*time.Hour + shift)
		finish := start.Add(time.Hour)
		row := problem.PlannedTask{
			ID: t.ID, Start: start, Finish: finish, Segments: [][2]time.Time{{start, finish}},
			EarlyStart: start, EarlyFinish: finish, LateStart: start, LateFinish: finish,
			Reason: problem.Reason{Kind: problem.ReasonDataDate, Until: p.DataDate},
		}
		if t.IsCrewWork() {
			at := slices.IndexFunc(p.Crews, func(c problem.Crew) bool { return slices.Contains(c.Skills, t.Kind) })
			row.Crew = &p.Crews[at].ID
		}
		plan.Tasks = append(plan.Tasks, row)
	}
	for _, d := range p.GCDates {
		forecast := d.Date.Add(-time.Hour)
		plan.GCDates = append(plan.GCDates, problem.PlannedDate{ID: d.ID, Forecast: &forecast, FloatMinutes: 60, DrivingChain: d.Tasks[:1]})
	}
	return plan
}

// savePlan builds, places and saves.
func (j *job) savePlan(shift time.Duration) *models.Plan {
	j.t.Helper()
	p := j.build()
	var saved *models.Plan
	write(j.t, j.db, func(tx *models.Tx) (err error) {
		saved, err = models.SavePlan(j.t.Context(), tx, models.PlanToSave{
			Problem: p, Plan: anyPlan(p, shift), Bases: j.bases(), Because: models.MadeByPerson, Actor: console,
		})
		return err
	})
	return saved
}

func (j *job) task(key string) *models.Task {
	j.t.Helper()
	task, err := models.TaskByKey(j.t.Context(), j.db, key)
	require.NoError(j.t, err)
	return task
}

// report sends a field report on a task and returns whether it was there already.
func (j *job) report(key string, r models.FieldReport) bool {
	j.t.Helper()
	r.TaskID, r.Reporter = j.task(key).ID, "Tam Osk"
	if r.At.IsZero() {
		r.At = dbtest.Now
	}
	var already bool
	write(j.t, j.db, func(tx *models.Tx) (err error) {
		already, err = models.AppendReport(j.t.Context(), tx, &r)
		return err
	})
	return already
}
