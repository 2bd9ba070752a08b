package models

import (
	"context"
	"errors"
	"maps"

	"gorm.io/gorm"
	"gorm.io/gorm/clause"
)

// Actor is who makes a change: a signed-in user, or a command or job by its name in words.
type Actor struct {
	UserID *int64
	Name   string
}

// ActorOf is a user as the actor of a change.
func ActorOf(u *User) Actor { return Actor{UserID: &u.ID, Name: u.Name} }

// subject is the row that an audit line is about.
type subject struct {
	kind      string
	id        int64
	projectID *int64
}

// record leaves a line in the audit trail, in the transaction of the change itself.
func record(ctx context.Context, tx *Tx, actor Actor, action string, about subject, detail map[string]any) error {
	entry := AuditEntry{
		At: tx.Now(), UserID: actor.UserID, Actor: actor.Name, Action: action,
		SubjectKind: about.kind, SubjectID: about.id, ProjectID: about.projectID,
		Detail: JSON[map[string]any]{V: detail},
	}
	return wrap(tx.in(ctx).Create(&entry).Error, "record %s of %s %d", action, about.kind, about.id)
}

// AuditOf lists the changes of one row, newest first, at most limit.
func AuditOf(ctx context.Context, r Reader, kind string, id int64, limit int) ([]AuditEntry, error) {
	var entries []AuditEntry
	err := r.in(ctx).Where("subject_kind = ? AND subject_id = ?", kind, id).
		Order("at DESC, id DESC").Limit(limit).Find(&entries).Error
	return entries, wrap(err, "read the changes of %s %d", kind, id)
}

// AuditTrail lists the changes of a project, or of everything for nil, newest first, at most limit.
func AuditTrail(ctx context.Context, r Reader, projectID *int64, limit int) ([]AuditEntry, error) {
	q := r.in(ctx)
	if projectID != nil {
		q = q.Where("project_id = ?", *projectID)
	}
	var entries []AuditEntry
	err := q.Order("at DESC, id DESC").Limit(limit).Find(&entries).Error
	return entries, wrap(err, "read the audit trail")
}

// RecordChange leaves a line in the audit trail for a change that a caller composed of several writes, such as an import.
func RecordChange(
	ctx context.Context, tx *Tx, actor Actor, action, subjectKind string, subjectID int64, projectID *int64, detail map[string]any,
) error {
	return record(ctx, tx, actor, action, subject{subjectKind, subjectID, projectID}, detail)
}

func (v Versioned) storedVersion() int64 { return v.Version }

// edit sets columns of the row of T with the id, if it still has the version that was read; else it returns *ErrStale with
// the row as it is now, or ErrNotFound. what names the row in words.
func edit[T interface{ storedVersion() int64 }](
	ctx context.Context, tx *Tx, what string, id, version int64, columns map[string]any,
) error {
	set := maps.Clone(columns)
	set["version"], set["updated_at"] = version+1, tx.Now()
	result := tx.in(ctx).Model(new(T)).Where("id = ? AND version = ?", id, version).Updates(set)
	if result.Error != nil || result.RowsAffected == 1 {
		return wrap(result.Error, "change %s", what)
	}
	current := new(T)
	if err := tx.in(ctx).Take(current, id).Error; err != nil {
		return wrap(err, "change %s", what)
	}
	return &ErrStale{What: what, Read: version, Version: (*current).storedVersion(), Current: current}
}

// create inserts a row without touching the rows it refers to.
func create[T any](ctx context.Context, tx *Tx, what string, row *T) error {
	return wrap(tx.in(ctx).Omit(clause.Associations).Create(row).Error, "add %s", what)
}

// createFirst inserts the firm's one row of T; it returns *ErrStale when somebody has saved one since the defaults were read.
func createFirst[T interface{ storedVersion() int64 }](ctx context.Context, tx *Tx, what string, row *T) error {
	current := new(T)
	err := tx.in(ctx).Take(current, firmRow).Error
	switch {
	case err == nil:
		return &ErrStale{What: what, Version: (*current).storedVersion(), Current: current}
	case !errors.Is(err, gorm.ErrRecordNotFound):
		return wrap(err, "read %s", what)
	}
	return create(ctx, tx, what, row)
}

// byID reads the row of T with an id.
func byID[T any](ctx context.Context, r Reader, what string, id int64) (*T, error) {
	row := new(T)
	if err := r.in(ctx).Take(row, id).Error; err != nil {
		return nil, wrap(err, "read %s %d", what, id)
	}
	return row, nil
}

// insertBatch is the number of rows of one insert statement: with forty columns still under either database's limit of
// parameters.
const insertBatch = 500

// createAll inserts rows in batches without touching the rows they refer to. No rows is no statement.
func createAll[T any](ctx context.Context, tx *Tx, what string, rows []T) error {
	if len(rows) == 0 {
		return nil
	}
	return wrap(tx.in(ctx).Omit(clause.Associations).CreateInBatches(rows, insertBatch).Error, "add %d %s", len(rows), what)
}
