package planning

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"time"

	"jambwright/models"
	"jambwright/server/nightly"
)

// Nightly is the use case of a night: everything that became known since the last run is read, the firm is planned
// anew, and plan, differences, the record of the night and the end of the job land in one transaction. The issued plan
// stays in force, unless the project issues by itself.
type Nightly struct {
	db        *models.DB
	log       *slog.Logger
	Schedules int // search budget; 0 is the planner's default
	Samples   int // of the forecast; 0 is as many as it needs
	// ForecastLimit is how long the forecast may take; 0 is two minutes of the job's five.
	ForecastLimit time.Duration
}

// NewNightly makes the use case.
func NewNightly(db *models.DB, log *slog.Logger) *Nightly { return &Nightly{db: db, log: log} }

// Run plans one night of one project; finish ends the job in the same transaction. A run that fails changes nothing but
// the night's own record, which says why.
func (n *Nightly) Run(ctx context.Context, args nightly.Args, finish func(context.Context, *models.Tx) error) error {
	night, err := n.begin(ctx, args)
	if errors.Is(err, models.ErrDuplicate) {
		return n.db.Write(ctx, func(tx *models.Tx) error { return finish(ctx, tx) }) // it has run: end the job, plan nothing
	}
	if err != nil {
		return err
	}
	err = anew(func() error { return n.plan(ctx, night, args, finish) })
	if err == nil {
		return nil
	}
	n.log.Error("night failed", "project", args.ProjectID, "night", args.Night, "error", err)
	// The job's own time may be up; the record of the failure is written all the same.
	recordErr := n.db.Write(context.WithoutCancel(ctx), func(tx *models.Tx) error {
		return models.FailNight(context.WithoutCancel(ctx), tx, night, err.Error())
	})
	return errors.Join(err, recordErr)
}

func (n *Nightly) begin(ctx context.Context, args nightly.Args) (night *models.Night, err error) {
	date, err := models.ParseDate(args.Night)
	if err != nil {
		return nil, err
	}
	err = n.db.Write(ctx, func(tx *models.Tx) error {
		night, err = models.BeginNight(ctx, tx, args.ProjectID, date, args.Asked, args.By)
		return err
	})
	return night, err
}

func (n *Nightly) plan(ctx context.Context, night *models.Night, args nightly.Args, finish func(context.Context, *models.Tx) error) error {
	project, err := models.ProjectByID(ctx, n.db, args.ProjectID)
	if err != nil {
		return err
	}
	made, err := Make(ctx, n.db, Options{Schedules: n.Schedules})
	if errors.Is(err, ErrNothingToPlan) { // a project that waits for its sheets is no failure
		return n.db.Write(ctx, func(tx *models.Tx) error {
			return errors.Join(models.FinishNight(ctx, tx, night), finish(ctx, tx))
		})
	}
	if err != nil {
		return err
	}
	before, err := ReadBefore(ctx, n.db, made.ReadAt)
	if err != nil {
		return fmt.Errorf("read the plan before: %w", err)
	}
	night.ReadTo = &made.ReadAt
	if !before.From.IsZero() {
		night.ReadFrom = &before.From // a plan made by hand in between has read a part of the news already
	}
	count(night, before.News)
	foreseen, elapsed, trouble := n.forecast(ctx, made)
	night.ForecastTrouble = trouble
	actor := models.Actor{Name: "nightly re-plan"}
	return n.db.Write(ctx, func(tx *models.Tx) error {
		row, err := Save(ctx, tx, made, before, models.MadeByNight, actor)
		if err != nil {
			return err
		}
		if foreseen != nil {
			kept := models.ForecastToSave{PlanID: row.ID, Because: models.ForecastByNight, Problem: made.Problem, Forecast: foreseen, Elapsed: elapsed, Actor: actor}
			night.ForecastTrouble = n.keep(ctx, tx, kept)
		}
		night.PlanID, night.Issued = &row.ID, project.AutoIssue
		if project.AutoIssue {
			if _, err := models.IssuePlan(ctx, tx, row.ID, project.ID, true, actor); err != nil {
				return err
			}
		}
		return errors.Join(models.FinishNight(ctx, tx, night), finish(ctx, tx))
	})
}

// count notes how much news of the night's own project was read.
func count(night *models.Night, news []models.News) {
	night.Reports, night.Handovers, night.Materials = 0, 0, 0
	for _, item := range news {
		if item.ProjectID != night.ProjectID {
			continue
		}
		switch item.Kind {
		case models.NewsReport:
			night.Reports++
		case models.NewsHandover:
			night.Handovers++
		case models.NewsMaterial:
			night.Materials++
		}
	}
}

// DueProjects lists the open projects for the timer.
func DueProjects(db *models.DB) nightly.Projects {
	return func(ctx context.Context) ([]nightly.Due, error) {
		projects, err := models.Projects(ctx, db)
		if err != nil {
			return nil, err
		}
		last, err := models.LastNights(ctx, db)
		if err != nil {
			return nil, err
		}
		var due []nightly.Due
		for i := range projects {
			p := &projects[i]
			zone, err := time.LoadLocation(p.Zone)
			if err != nil {
				return nil, fmt.Errorf("project %s: %w", p.Code, err)
			}
			d := nightly.Due{
				ProjectID: p.ID, Since: p.CreatedAt, Schedule: nightly.Schedule{Zone: zone, Hour: p.NightlyHour, Minute: p.NightlyMinute},
			}
			if night, ran := last[p.ID]; ran {
				d.LastNight = night.String()
			}
			due = append(due, d)
		}
		return due, nil
	}
}
