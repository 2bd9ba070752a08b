package models

import (
	"context"
	"fmt"
	"strconv"
	"time"

	"jambwright/scheduler/forecast"
	"jambwright/scheduler/problem"
)

// AskForecast notes that a person wants a forecast of a plan. ErrDuplicate when one waits or runs already.
func AskForecast(ctx context.Context, tx *Tx, planID int64, actor Actor) (*Forecast, error) {
	open, err := OpenForecast(ctx, tx)
	if err != nil {
		return nil, err
	}
	if open != nil {
		return open, fmt.Errorf("a forecast is being made: %w", ErrDuplicate)
	}
	row := &Forecast{
		PlanID: planID, Because: ForecastByPerson, State: ForecastWaiting, AskedAt: tx.Now(), UserID: actor.UserID, AskedBy: actor.Name, Seed: "0", Spread: 1,
	}
	if err := create(ctx, tx, "a forecast", row); err != nil {
		return nil, err
	}
	return row, record(ctx, tx, actor, "ask for a forecast", subject{kind: "plan", id: planID}, map[string]any{"forecast": row.ID})
}

// OpenForecast is the newest forecast that waits or runs, nil without one.
func OpenForecast(ctx context.Context, r Reader) (*Forecast, error) {
	var rows []Forecast
	err := r.in(ctx).Where("state IN ?", []ForecastState{ForecastWaiting, ForecastRunning}).Order("id DESC").Limit(1).Find(&rows).Error
	if err != nil || len(rows) == 0 {
		return nil, wrap(err, "find a forecast being made")
	}
	return &rows[0], nil
}

// ForecastByID reads a forecast's own row.
func ForecastByID(ctx context.Context, r Reader, id int64) (*Forecast, error) {
	return byID[Forecast](ctx, r, "forecast", id)
}

// LatestForecast is the forecast finished last, with its dates; nil without one.
func LatestForecast(ctx context.Context, r Reader) (*Forecast, error) {
	var rows []Forecast
	err := r.in(ctx).Preload("Dates").Where("state = ?", ForecastDone).Order("made_at DESC, id DESC").Limit(1).Find(&rows).Error
	if err != nil || len(rows) == 0 {
		return nil, wrap(err, "find the latest forecast")
	}
	return &rows[0], nil
}

// LastAsked is the newest forecast that a person asked for of a plan, however it ended; nil without one.
func LastAsked(ctx context.Context, r Reader, planID int64) (*Forecast, error) {
	var rows []Forecast
	err := r.in(ctx).Where("plan_id = ? AND because = ?", planID, ForecastByPerson).Order("id DESC").Limit(1).Find(&rows).Error
	if err != nil || len(rows) == 0 {
		return nil, wrap(err, "find the forecast asked for last")
	}
	return &rows[0], nil
}

// ForecastProgress notes how far a forecast is, and answers whether somebody wants it to stop. One that ended meanwhile is to
// stop, too.
func ForecastProgress(ctx context.Context, tx *Tx, id int64, done, most int) (stop bool, err error) {
	result := tx.in(ctx).Model(&Forecast{}).Where("id = ? AND cancel_at IS NULL AND state IN ?", id, []ForecastState{ForecastWaiting, ForecastRunning}).
		Updates(map[string]any{"state": ForecastRunning, "samples_done": done, "samples_most": most})
	return result.Error == nil && result.RowsAffected == 0, wrap(result.Error, "note the progress of forecast %d", id)
}

// CancelForecast asks a forecast to stop. One that has not begun ends at once. It is no error when it has ended.
func CancelForecast(ctx context.Context, tx *Tx, id int64, actor Actor) error {
	now := tx.Now()
	err := tx.in(ctx).Model(&Forecast{}).Where("id = ? AND state = ?", id, ForecastWaiting).
		Updates(map[string]any{"state": ForecastCancelled, "cancel_at": now, "made_at": now}).Error
	if err == nil {
		err = tx.in(ctx).Model(&Forecast{}).Where("id = ? AND state = ?", id, ForecastRunning).Update("cancel_at", now).Error
	}
	if err != nil {
		return wrap(err, "cancel forecast %d", id)
	}
	return record(ctx, tx, actor, "cancel", subject{kind: "forecast", id: id}, nil)
}

// EndForecast notes that an asked-for forecast was cancelled or failed; failure says why.
func EndForecast(ctx context.Context, tx *Tx, id int64, state ForecastState, failure string) error {
	err := tx.in(ctx).Model(&Forecast{}).Where("id = ?", id).
		Updates(map[string]any{"state": state, "failure": failure, "made_at": tx.Now()}).Error
	return wrap(err, "end forecast %d", id)
}

// ForecastToSave is a computed forecast with what it was made of.
type ForecastToSave struct {
	ID       int64 // of the row that asked for it; 0 makes a new one
	PlanID   int64
	Because  ForecastBecause
	Problem  *problem.Problem
	Forecast *forecast.Forecast
	Elapsed  time.Duration
	Actor    Actor
}

// SaveForecast stores a forecast with its dates.
func SaveForecast(ctx context.Context, tx *Tx, in ForecastToSave) (*Forecast, error) {
	now, f := tx.Now(), in.Forecast
	row := &Forecast{ID: in.ID}
	if in.ID == 0 {
		row = &Forecast{PlanID: in.PlanID, Because: in.Because, State: ForecastRunning, AskedAt: now, UserID: in.Actor.UserID, AskedBy: in.Actor.Name}
		if err := create(ctx, tx, "a forecast", row); err != nil {
			return nil, err
		}
	}
	err := tx.in(ctx).Model(&Forecast{}).Where("id = ?", row.ID).Updates(map[string]any{
		"state": ForecastDone, "made_at": now, "samples_done": f.Samples, "samples_most": f.Samples, "seed": strconv.FormatUint(f.Seed, 10),
		"stopped_by": string(f.StoppedBy), "spread": f.Spread, "elapsed_ms": in.Elapsed.Milliseconds(), "notes": List[string](f.Notes), "failure": "",
	}).Error
	if err != nil {
		return nil, wrap(err, "store forecast %d", row.ID)
	}
	ids, err := gcDateIDs(ctx, tx)
	if err != nil {
		return nil, err
	}
	done := doneDates(in.Problem)
	rows := make([]ForecastDate, 0, len(f.GCDates))
	for i := range f.GCDates {
		d := &f.GCDates[i]
		id, known := ids[d.ID]
		if !known {
			return nil, fmt.Errorf("store forecast %d: GC date %s: %w", row.ID, d.ID, ErrNotFound)
		}
		rows = append(rows, ForecastDate{
			ForecastID: row.ID, GCDateID: id, DueAt: Instant(d.Date), PlanAt: minutePtr(d.Plan), P10At: minutePtr(d.P10), P50At: minutePtr(d.P50),
			P80At: minutePtr(d.P80), P90At: minutePtr(d.P90), P80LowAt: minutePtr(d.P80Low), P80HighAt: minutePtr(d.P80High), Settled: d.Settled,
			Chance: d.Chance, LateDays: d.ExpectedLateDays, Damages: d.ExpectedDamages, Unfinished: d.Unfinished, DoneAt: done[d.ID],
			Sensitivities: d.Sensitivities, Criticality: d.Criticality[:min(len(d.Criticality), keptCriticality)],
		})
	}
	row.Dates = rows
	return row, createAll(ctx, tx, "forecast dates", rows)
}

// keptCriticality is how many tasks of each GC date are kept.
const keptCriticality = 20

// doneDates says of the GC dates all of whose tasks are finished when the last of them was.
func doneDates(p *problem.Problem) map[string]*time.Time {
	finished := make(map[string]*time.Time, len(p.Tasks))
	for i := range p.Tasks {
		if p.Tasks[i].IsFinished() {
			finished[p.Tasks[i].ID] = p.Tasks[i].Status.Finished
		}
	}
	done := map[string]*time.Time{}
	for _, d := range p.GCDates {
		var last *time.Time
		for _, id := range d.Tasks {
			at := finished[id]
			if at == nil {
				last = nil
				break
			}
			if last == nil || at.After(*last) {
				last = at
			}
		}
		if last != nil {
			done[d.ID] = minutePtr(last)
		}
	}
	return done
}

// KeptForecasts lists every night's forecast of GC dates that have been done since, for comparing what was said with what came:
// one entry a night and date, the dates of all projects. Forecasts made when the date was done are not among them, and a date whose
// work was opened again, such as by a broken pane, is one to come.
func KeptForecasts(ctx context.Context, r Reader) ([]forecast.Kept, error) {
	var rows []struct {
		GCDateID                   int64 `gorm:"column:gc_date_id"`
		P10At, P50At, P80At, P90At time.Time
		DoneAt                     time.Time
		Spread                     float64
	}
	err := r.in(ctx).Raw(`SELECT d.gc_date_id, d.p10_at, d.p50_at, d.p80_at, d.p90_at, came.done_at, f.spread
		FROM forecast_dates d
		JOIN forecasts f ON f.id = d.forecast_id AND f.because = 'night' AND f.state = 'done'
		JOIN forecast_dates came ON came.gc_date_id = d.gc_date_id
			AND came.done_at IS NOT NULL
			AND came.id = (SELECT MAX(id) FROM forecast_dates c WHERE c.gc_date_id = d.gc_date_id)
		WHERE d.done_at IS NULL AND d.p10_at IS NOT NULL AND d.p90_at IS NOT NULL
		ORDER BY d.id`).Scan(&rows).Error
	if err != nil {
		return nil, wrap(err, "list the forecasts of dates that came")
	}
	kept := make([]forecast.Kept, len(rows))
	for i, row := range rows {
		kept[i] = forecast.Kept{Date: strconv.FormatInt(row.GCDateID, 10), P10: row.P10At, P50: row.P50At, P80: row.P80At, P90: row.P90At, Came: row.DoneAt, Spread: row.Spread}
	}
	return kept, nil
}

// NamedDate is a GC date with the names that people know it by.
type NamedDate struct {
	ID        int64
	ProjectID int64
	Name      string
	Project   string
}

// GCDatesByID reads the names of all GC dates.
func GCDatesByID(ctx context.Context, r Reader) (map[int64]NamedDate, error) {
	var rows []NamedDate
	err := r.in(ctx).Table("gc_dates").Select("gc_dates.id, gc_dates.project_id, gc_dates.name, projects.name AS project").
		Joins("JOIN projects ON projects.id = gc_dates.project_id").Scan(&rows).Error
	named := make(map[int64]NamedDate, len(rows))
	for _, row := range rows {
		named[row.ID] = row
	}
	return named, wrap(err, "read the GC dates")
}
