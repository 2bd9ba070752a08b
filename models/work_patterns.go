package models

import (
	"context"
	"errors"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

// patternSubject is what the audit trail calls work patterns.
const patternSubject = "work pattern"

// WorkPatternOf reads the firm's own pattern of a type; ErrNotFound when the type has the usual one.
func WorkPatternOf(ctx context.Context, r Reader, t takeoff.Type) (*WorkPattern, error) {
	var row WorkPattern
	err := r.in(ctx).Where("opening_type = ?", t).Take(&row).Error
	return &row, wrap(err, "find the work pattern of %s", t)
}

// SaveWorkPattern makes body the firm's own pattern of its type. version is that of the pattern that the person saw, 0 for the usual
// one; another one by now is *ErrStale. changes say in words what became of it, for the history.
func SaveWorkPattern(ctx context.Context, tx *Tx, body pattern.Pattern, version int64, changes []string, actor Actor) error {
	what := "the work pattern of " + string(body.Type)
	row, err := storedPattern(ctx, tx, body.Type, version)
	if err != nil {
		return err
	}
	if row == nil {
		row = &WorkPattern{OpeningType: body.Type, Body: JSON[pattern.Pattern]{V: body}}
		err = create(ctx, tx, what, row)
	} else {
		err = edit[WorkPattern](ctx, tx, what, row.ID, version, map[string]any{"body": JSON[pattern.Pattern]{V: body}})
	}
	if err != nil {
		return err
	}
	return record(ctx, tx, actor, "change", subject{kind: patternSubject, id: row.ID}, map[string]any{"type": body.Type, "changes": changes})
}

// RemoveWorkPattern lets a type go by the usual pattern again.
func RemoveWorkPattern(ctx context.Context, tx *Tx, t takeoff.Type, version int64, changes []string, actor Actor) error {
	row, err := storedPattern(ctx, tx, t, version)
	if err != nil || row == nil {
		return err
	}
	if err := tx.in(ctx).Delete(&WorkPattern{}, row.ID).Error; err != nil {
		return wrap(err, "remove the work pattern of %s", t)
	}
	return record(ctx, tx, actor, "remove", subject{kind: patternSubject, id: row.ID}, map[string]any{"type": t, "changes": changes})
}

// storedPattern is the firm's own pattern of a type, nil for none, if it is the one that was seen.
func storedPattern(ctx context.Context, tx *Tx, t takeoff.Type, version int64) (*WorkPattern, error) {
	row, err := WorkPatternOf(ctx, tx, t)
	if errors.Is(err, ErrNotFound) {
		if version == 0 {
			return nil, nil //nolint:nilnil // the usual pattern is no row
		}
		return nil, &ErrStale{What: "the work pattern of " + string(t), Read: version}
	}
	if err == nil && row.Version != version {
		err = &ErrStale{What: "the work pattern of " + string(t), Read: version, Version: row.Version, Current: row}
	}
	return row, err
}

// patternHistory is how many changes of all work patterns are looked through for those of one type.
const patternHistory = 500

// WorkPatternHistory lists the changes of a type's pattern, newest first.
func WorkPatternHistory(ctx context.Context, r Reader, t takeoff.Type) ([]AuditEntry, error) {
	var all, list []AuditEntry
	err := r.in(ctx).Where("subject_kind = ?", patternSubject).Order("at DESC, id DESC").Limit(patternHistory).Find(&all).Error
	for _, e := range all {
		if e.Detail.V["type"] == string(t) {
			list = append(list, e)
		}
	}
	return list, wrap(err, "read the changes of work patterns")
}

// TasksOfType are the keys of all work that a pattern may ask for on the openings of a type in open projects.
func TasksOfType(ctx context.Context, r Reader, t takeoff.Type) (keys []string, err error) {
	var rows []struct{ Code, Mark string }
	err = r.in(ctx).Model(&Opening{}).Select("projects.code, openings.mark").
		Joins("JOIN projects ON projects.id = openings.project_id AND projects.closed_at IS NULL").
		Where("openings.opening_type = ?", t).Order("openings.id").Find(&rows).Error
	for _, o := range rows {
		for _, kind := range pattern.StepKinds() {
			keys = append(keys, string(pattern.OpeningTask(o.Code, o.Mark, kind)))
		}
	}
	return keys, wrap(err, "list the openings of type %s", t)
}
