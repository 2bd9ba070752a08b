// Package demo loads an invented job with trouble in it, through the use cases that real jobs go through: sheets are
// imported, weeks of field reports are told with a clock that is set back, the firm is planned and issued, a bad day
// happens, and the night's re-plan takes it in. People, firms and sites are invented.
package demo

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"time"

	"jambwright/models"
	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
	"jambwright/server/delays"
	"jambwright/server/importing"
	"jambwright/server/intake"
	"jambwright/server/nightly"
	"jambwright/server/planning"
	"jambwright/server/reporting"
)

// The scenario's own names.
const (
	projectName = "Harrow Bend Offices"
	projectCode = "HB"
	zoneName    = "America/Chicago"
	firmName    = "Brightsill Interiors"

	managerEmail = "operations@demo.invalid"
)

// actor is who loads the scenario, in the audit trail.
func actor() models.Actor { return models.Actor{Name: "demo"} }

// scenario is the job while it is being loaded.
type scenario struct {
	db      *models.DB
	clock   *Clock
	log     *slog.Logger
	zone    *time.Location
	now     time.Time
	today   problem.Date
	project *models.Project
}

// Load fills an empty, migrated database that runs on the clock. Afterwards the clock follows the real one.
func Load(ctx context.Context, db *models.DB, clock *Clock, log *slog.Logger) error {
	defer clock.Follow()
	zone, err := time.LoadLocation(zoneName)
	if err != nil {
		return fmt.Errorf("load the zone of the scenario: %w", err)
	}
	now := clock.Now().In(zone).Truncate(time.Minute)
	s := &scenario{db: db, clock: clock, log: log, zone: zone, now: now, today: problem.DateOf(now)}
	for _, step := range []struct {
		name string
		run  func(context.Context) error
	}{
		{"begin the job", s.begin},
		{"import the sheets", s.imports},
		{"plan the first time", s.firstPlan},
		{"tell the past", func(ctx context.Context) error { return (&history{scenario: s}).tell(ctx) }},
		{"plan and issue", s.issuedPlan},
		{"tell today's work", func(ctx context.Context) error { return (&history{scenario: s, told: 8000}).tellToday(ctx) }},
		{"tell the bad day", s.badDay},
		{"run the night", s.night},
		{"choose the foreman's crew", s.chooseCrew},
		{"split the delays by cause", func(ctx context.Context) error { return delays.Complete(ctx, s.db, s.project.ID) }},
	} {
		if err := step.run(ctx); err != nil {
			return fmt.Errorf("%s: %w", step.name, err)
		}
	}
	return nil
}

// beginning is the instant at which the job was taken on: 26 working days ago.
func (s *scenario) beginning() time.Time {
	d := workday(s.today, -26)
	return time.Date(d.Year, d.Month, d.Day, 8, 0, 0, 0, s.zone)
}

// begin makes the project, the firm's limits and three people.
func (s *scenario) begin(ctx context.Context) error {
	s.clock.Set(s.beginning())
	return s.db.Write(ctx, func(tx *models.Tx) (err error) {
		s.project, err = models.BeginProject(ctx, tx, models.NewProject{
			Name: projectName, Code: projectCode, Zone: zoneName, Rule: models.BuildingTrades,
		}, actor())
		if err != nil {
			return err
		}
		dock := &models.Limit{Code: "dock", Name: "the loading dock", Kind: models.Dock, SiteID: &s.project.SiteID, Capacity: 1}
		hoist := &models.Limit{Code: "hoist", Name: "the hoist", Kind: models.Hoist, SiteID: &s.project.SiteID, Capacity: 1}
		desk := &models.Limit{Code: "desk", Name: "the buyer's desk", Kind: models.Buyer, Capacity: 2}
		for _, limit := range []*models.Limit{dock, hoist, desk} {
			if err := models.CreateLimit(ctx, tx, limit, actor()); err != nil {
				return err
			}
		}
		s.project.DockID, s.project.HoistID = &dock.ID, &hoist.ID
		week, fortnight := 7, 14
		terms := &models.DelayTerms{
			ProjectID: s.project.ID, TradeDays: &week, GCDays: &week, SupplierDays: &fortnight, FloatOwner: models.FloatFirstUse,
		}
		if err := models.SaveTerms(ctx, tx, terms, actor()); err != nil {
			return err
		}
		if err := models.UpdateProject(ctx, tx, s.project, actor()); err != nil {
			return err
		}
		settings, err := models.Settings(ctx, tx)
		if err != nil {
			return err
		}
		settings.Name, settings.BuyerLimitID, settings.BuyerCalendarID = firmName, &desk.ID, &s.project.CalendarID
		return models.SaveSettings(ctx, tx, settings, actor())
	})
}

// imports reads the five sheets, the suppliers first so that material finds its releases.
func (s *scenario) imports(ctx context.Context) error {
	for _, sheet := range []struct {
		kind importing.Kind
		file string
	}{
		{importing.Suppliers, "suppliers.csv"},
		{importing.Openings, "openings.csv"},
		{importing.Crews, "crews.csv"},
		{importing.Handovers, "handovers.csv"},
		{importing.GCDates, "gcdates.csv"},
	} {
		data, err := readSheet(sheet.file, s.today)
		if err != nil {
			return err
		}
		if err := s.importSheet(ctx, sheet.kind, sheet.file, data); err != nil {
			return err
		}
	}
	return s.db.Write(ctx, func(tx *models.Tx) error { return errors.Join(s.areas(ctx, tx), s.people(ctx, tx)) })
}

// importSheet reads one sheet as the import page does.
func (s *scenario) importSheet(ctx context.Context, kind importing.Kind, file string, data []byte) error {
	store := intake.NewStore(s.db, actor(), models.NewProject{})
	store.File = file
	read := importing.Read(kind, file, data, importing.Options{})
	if len(read.Faults) > 0 {
		return fmt.Errorf("%d faults, the first: %w", len(read.Faults), read.Faults[0])
	}
	preview, err := importing.NewPreview(ctx, store, projectName, read)
	if err != nil {
		return err
	}
	_, err = importing.Apply(ctx, store, preview, importing.Answers{})
	return err
}

// areas sets what sheets do not say: how many crews fit, what the hoist serves, what a change of place costs.
func (s *scenario) areas(ctx context.Context, tx *models.Tx) error {
	areas, err := models.Areas(ctx, tx, s.project.ID)
	if err != nil {
		return err
	}
	for i := range areas {
		a := &areas[i]
		switch a.Kind {
		case pattern.Level:
			setup := 15
			a.SetupMinutes, a.Hoisted = &setup, a.Code != "L1"
		case pattern.Zone:
			crews := 3
			a.MaxCrews = &crews
		default:
			continue
		}
		if err := models.UpdateArea(ctx, tx, a, actor()); err != nil {
			return err
		}
	}
	return nil
}

// people makes one person of each role. Nobody can sign in as them but by the demo's own buttons: they have no password.
func (s *scenario) people(ctx context.Context, tx *models.Tx) error {
	hazel, err := models.CrewByName(ctx, tx, "Hazel")
	if err != nil {
		return err
	}
	for _, user := range []*models.User{
		{Name: "Morgan Vale", Email: managerEmail, Role: models.OperationsManager, Active: true},
		{Name: "Sasha Wren", Email: foremanEmail, Role: models.Foreman, CrewID: &hazel.ID, Active: true},
		{
			Name: "Ines Calder", Email: "project@demo.invalid", Role: models.ProjectManager, Active: true,
			Projects: []models.UserProject{{ProjectID: s.project.ID}},
		},
	} {
		if err := models.CreateUser(ctx, tx, user, actor()); err != nil {
			return err
		}
	}
	return nil
}

// firstPlan makes the tasks that the past refers to; it is not issued.
func (s *scenario) firstPlan(ctx context.Context) error {
	_, _, err := planning.PlanNow(ctx, s.db, planning.Options{Schedules: 1}, models.MadeByDemo, actor())
	return err
}

// issuedPlan plans on the evening before today and issues it.
func (s *scenario) issuedPlan(ctx context.Context) error {
	d := workday(s.today, -1)
	s.clock.Set(time.Date(d.Year, d.Month, d.Day, 18, 0, 0, 0, s.zone))
	_, row, err := planning.PlanNow(ctx, s.db, planning.Options{}, models.MadeByDemo, actor())
	if err != nil {
		return err
	}
	return planning.Issue(ctx, s.db, row.ID, []int64{s.project.ID}, actor())
}

// badDay tells what went wrong since: a pane broke, a wall stands in the way, a floor slips, a supplier is late.
func (s *scenario) badDay(ctx context.Context) error {
	h := &history{scenario: s, told: 9000}
	at := s.now.Add(-40 * time.Minute)
	glaze, frame, err := s.victims(ctx)
	if err != nil {
		return err
	}
	until := time.Date(s.today.Year, s.today.Month, s.today.Day, 12, 0, 0, 0, s.zone).AddDate(0, 0, 5)
	for _, r := range []reporting.Report{
		{
			TaskKey: glaze, Kind: models.ReportDamaged, At: at, Item: pattern.Glass, Cause: "corner broken while it was lifted off the rack",
			Reporter: "Sasha Wren",
		},
		{
			TaskKey: frame, Kind: models.ReportHold, At: at.Add(5 * time.Minute), Cause: "conduit in the head track",
			Party: "other trade", Until: &until, Reporter: "the foreman",
		},
	} {
		if err := h.report(ctx, r); err != nil {
			return err
		}
	}
	s.clock.Set(at.Add(10 * time.Minute))
	return s.db.Write(ctx, func(tx *models.Tx) error { return errors.Join(s.slipFloor(ctx, tx), s.slipGlass(ctx, tx)) })
}

// victims are the tasks that the bad day strikes: the next glazing and the next framing that are not started.
func (s *scenario) victims(ctx context.Context) (glaze, frame string, err error) {
	list, err := models.ListOpenings(ctx, s.db, models.OpeningQuery{ProjectID: s.project.ID})
	if err != nil {
		return "", "", err
	}
	for i := range list.Openings {
		for _, t := range list.Openings[i].Tasks {
			switch {
			case t.StartedAt != nil:
			case t.Kind == takeoff.Glaze && glaze == "" && list.Openings[i].Width > 4*length.Foot:
				glaze = t.Key
			case t.Kind == takeoff.Frame && frame == "":
				frame = t.Key
			}
		}
	}
	if glaze == "" || frame == "" {
		return "", "", fmt.Errorf("the scenario has no work left for its bad day")
	}
	return glaze, frame, nil
}

// slipFloor moves the forecast of a floor.
func (s *scenario) slipFloor(ctx context.Context, tx *models.Tx) error {
	floor, err := s.handover(ctx, tx, "L2", pattern.FloorFinished)
	if err != nil {
		return err
	}
	late := models.Date{Date: workday(s.today, 8)}
	return models.RecordHandoverChange(ctx, tx, floor.ID, floor.Version, models.HandoverNews{
		Promised: floor.Promised, Forecast: &late, Actual: floor.Actual, Cause: "screed is still wet", Source: "site walk",
	}, actor())
}

// slipGlass moves the promise of a release of glass.
func (s *scenario) slipGlass(ctx context.Context, tx *models.Tx) error {
	releases, err := models.Releases(ctx, tx, s.project.ID)
	if err != nil {
		return err
	}
	for i := range releases {
		if releases[i].Code != "L2-glass" {
			continue
		}
		late := models.Date{Date: workday(s.today, 12)}
		return models.RecordMaterial(ctx, tx, models.MaterialNews{
			ReleaseID: &releases[i].ID, Promised: &late, Cause: "furnace down", Source: "call with the supplier",
		}, actor())
	}
	return fmt.Errorf("the scenario has no glass for level 2")
}

// demoSamples is as many as a short start allows.
const demoSamples = 300

// night runs the nightly re-plan as the queue would, then issues its plan as the operations manager does next morning.
func (s *scenario) night(ctx context.Context) error {
	s.clock.Set(s.now)
	run := planning.NewNightly(s.db, s.log)
	run.Samples = demoSamples
	args := nightly.Args{ProjectID: s.project.ID, Night: workday(s.today, -1).String()}
	nothing := func(context.Context, *models.Tx) error { return nil }
	if err := run.Run(ctx, args, nothing); err != nil {
		return err
	}
	plan, err := models.LatestPlan(ctx, s.db)
	if err != nil {
		return err
	}
	manager, err := models.UserByEmail(ctx, s.db, managerEmail)
	if err != nil {
		return err
	}
	return planning.Issue(ctx, s.db, plan.ID, []int64{s.project.ID}, models.ActorOf(manager))
}
