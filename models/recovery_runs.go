package models

import (
	"context"
	"fmt"
	"time"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/recovery"
)

// abandonedAfter is how long a search may be open: its job has been ended by then, or its process is gone.
const abandonedAfter = 15 * time.Minute

// Abandoned reports whether an open search was left by a process that ended.
func (r *RecoveryRun) Abandoned(now time.Time) bool {
	return r.Status.Open() && now.Sub(r.AskedAt) > abandonedAfter
}

// BeginRecovery notes that somebody asks for moves. A search for the same date and plan that is still open is ErrDuplicate,
// unless it was abandoned, which ends it.
func BeginRecovery(ctx context.Context, tx *Tx, run *RecoveryRun) error {
	err := tx.in(ctx).Model(&RecoveryRun{}).Where("status IN ? AND asked_at < ?", []RunStatus{RunWaiting, RunRunning}, tx.Now().Add(-abandonedAfter)).
		Updates(map[string]any{"status": RunFailed, "finished_at": tx.Now(), "error": "the process that looked for moves ended"}).Error
	if err != nil {
		return wrap(err, "end abandoned searches for moves")
	}
	var open int64
	err = tx.in(ctx).Model(&RecoveryRun{}).Where("gc_date_id = ? AND plan_id = ? AND status IN ?", run.GCDateID, run.PlanID,
		[]RunStatus{RunWaiting, RunRunning}).Count(&open).Error
	if err != nil {
		return wrap(err, "find an open search for moves")
	}
	if open > 0 {
		return fmt.Errorf("moves are looked for already: %w", ErrDuplicate)
	}
	run.AskedAt, run.Status = tx.Now(), RunWaiting
	return create(ctx, tx, "a search for moves", run)
}

// RecoveryRunByID reads a search.
func RecoveryRunByID(ctx context.Context, r Reader, id int64) (*RecoveryRun, error) {
	return byID[RecoveryRun](ctx, r, "search for moves", id)
}

// LatestRecovery reads the newest search for a GC date.
func LatestRecovery(ctx context.Context, r Reader, gcDateID int64) (*RecoveryRun, error) {
	var run RecoveryRun
	err := r.in(ctx).Where("gc_date_id = ?", gcDateID).Order("id DESC").First(&run).Error
	return &run, wrap(err, "find the latest search for moves")
}

// TellRecovery notes how far an open search has come. It is ErrNotFound when the search was cancelled or ended.
func TellRecovery(ctx context.Context, tx *Tx, id int64, done, total int) error {
	result := tx.in(ctx).Model(&RecoveryRun{}).Where("id = ? AND status IN ?", id, []RunStatus{RunWaiting, RunRunning}).
		Updates(map[string]any{"status": RunRunning, "done": done, "total": total})
	if result.Error == nil && result.RowsAffected == 0 {
		return fmt.Errorf("search %d for moves has ended: %w", id, ErrNotFound)
	}
	return wrap(result.Error, "tell how far search %d for moves has come", id)
}

// EndRecovery ends an open search: with its result, or with what went wrong, or cancelled. One that has ended stays as it
// is.
func EndRecovery(ctx context.Context, tx *Tx, id int64, status RunStatus, found *recovery.Result, cause string) error {
	set := map[string]any{"status": status, "finished_at": tx.Now(), "error": cause}
	if found != nil {
		text, err := compressed(found)
		if err != nil {
			return err
		}
		set["result"] = text
	}
	err := tx.in(ctx).Model(&RecoveryRun{}).Where("id = ? AND status IN ?", id, []RunStatus{RunWaiting, RunRunning}).Updates(set).Error
	return wrap(err, "end search %d for moves", id)
}

// Found reads the result of a search that is done.
func (r *RecoveryRun) Found() (*recovery.Result, error) {
	var found recovery.Result
	if err := decompress(r.Result, &found); err != nil {
		return nil, fmt.Errorf("search %d for moves: %w", r.ID, err)
	}
	return &found, nil
}

// GCDateByID reads a GC date.
func GCDateByID(ctx context.Context, r Reader, id int64) (*GCDate, error) {
	return byID[GCDate](ctx, r, "GC date", id)
}

// GCDateNames are the names of all GC dates by their id in a problem document.
func GCDateNames(ctx context.Context, r Reader) (map[string]string, error) {
	var rows []struct{ Project, Code, Name string }
	err := r.in(ctx).Table("gc_dates").Select("projects.code AS project, gc_dates.code, gc_dates.name").
		Joins("JOIN projects ON projects.id = gc_dates.project_id").Find(&rows).Error
	names := make(map[string]string, len(rows))
	for _, row := range rows {
		names[pattern.GCDateID(row.Project, row.Code)] = row.Name
	}
	return names, wrap(err, "read the names of GC dates")
}
