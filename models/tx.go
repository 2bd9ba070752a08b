package models

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"gorm.io/gorm"
)

// Reader is what a query reads through: a DB, each query by itself, or a Tx, all queries of one snapshot.
type Reader interface {
	in(ctx context.Context) *gorm.DB
	// Now is the clock that stamps rows.
	Now() time.Time
}

// Tx is one transaction. Functions that write take a Tx, so that a use case decides what belongs together. It must not
// be used by several goroutines nor after the function it was given to has returned.
type Tx struct {
	gorm *gorm.DB
	now  func() time.Time
}

func (db *DB) in(ctx context.Context) *gorm.DB { return db.gorm.WithContext(ctx) }

func (tx *Tx) in(ctx context.Context) *gorm.DB { return tx.gorm.WithContext(ctx) }

// Now is the database's clock.
func (tx *Tx) Now() time.Time { return tx.now() }

// SQL is the transaction itself, for the job queue: a job inserted through it exists only if the transaction commits.
func (tx *Tx) SQL() *sql.Tx {
	return tx.gorm.Statement.ConnPool.(*sql.Tx) // prepared statements, which would change the type, are off
}

// Write runs work in one transaction, which is committed when work returns nil and leaves nothing behind otherwise.
// Inside, use only tx: a query on the DB beside it can wait for ever.
func (db *DB) Write(ctx context.Context, work func(tx *Tx) error) error {
	return db.transact(ctx, nil, work)
}

// ReadTogether runs work in one read-only transaction, so that all its queries see the same state of the data. On
// SQLite it does not hold up the writer.
func (db *DB) ReadTogether(ctx context.Context, work func(tx *Tx) error) error {
	return db.transact(ctx, &sql.TxOptions{ReadOnly: true, Isolation: sql.LevelRepeatableRead}, work)
}

// Undone runs work in one transaction and leaves nothing of it behind: for asking what would be if something were stored.
func (db *DB) Undone(ctx context.Context, work func(tx *Tx) error) error {
	undo := errors.New("undone as asked")
	err := db.Write(ctx, func(tx *Tx) error {
		if err := work(tx); err != nil {
			return err
		}
		return undo
	})
	if errors.Is(err, undo) {
		return nil
	}
	return err
}

func (db *DB) transact(ctx context.Context, options *sql.TxOptions, work func(tx *Tx) error) error {
	inner := func(g *gorm.DB) error { return work(&Tx{gorm: g, now: db.now}) }
	var err error
	if options == nil {
		err = db.gorm.WithContext(ctx).Transaction(inner)
	} else {
		err = db.gorm.WithContext(ctx).Transaction(inner, options)
	}
	return translate(err)
}

// Apart runs work within the transaction, but so that its failure leaves the rest of the transaction standing: what work wrote is
// undone and its error returned.
func (tx *Tx) Apart(ctx context.Context, work func(tx *Tx) error) error {
	return translate(tx.in(ctx).Transaction(func(g *gorm.DB) error { return work(&Tx{gorm: g, now: tx.now}) }))
}

// Errors that callers act on; test with errors.Is.
var (
	// ErrNotFound says that no such row exists, or none that the caller may see.
	ErrNotFound = errors.New("not found")
	// ErrDuplicate says that a row with the same key exists already.
	ErrDuplicate = errors.New("already exists")
	// ErrInUse says that other rows refer to what was to be deleted, or that a row referred to is missing.
	ErrInUse = errors.New("referred to by other rows, or refers to a missing one")
	// ErrRefused says that a value broke a rule of the schema.
	ErrRefused = errors.New("value refused by the database")
)

// ErrStale says that a row was changed by someone else since it was read. Current holds the row as it is now, for a page
// that shows both.
type ErrStale struct {
	What    string // the row in words, such as "crew North"
	Read    int64  // the version the caller had read
	Version int64  // the version there is now
	Current any    // the row as it is now, a pointer to its row type
}

// Error says what was changed meanwhile.
func (e *ErrStale) Error() string {
	return fmt.Sprintf("%s was changed meanwhile: version %d was read, version %d is stored", e.What, e.Read, e.Version)
}

// translate turns gorm's sentinels into ours; other errors pass as they are.
func translate(err error) error {
	for _, pair := range []struct{ theirs, ours error }{
		{gorm.ErrRecordNotFound, ErrNotFound},
		{gorm.ErrDuplicatedKey, ErrDuplicate},
		{gorm.ErrForeignKeyViolated, ErrInUse},
		{gorm.ErrCheckConstraintViolated, ErrRefused},
	} {
		if errors.Is(err, pair.theirs) {
			return &translated{ours: pair.ours, text: err.Error()}
		}
	}
	return err
}

// translated keeps the words of the context around a database error, without the database library's own error.
type translated struct {
	ours error
	text string
}

func (e *translated) Error() string { return e.text }
func (e *translated) Unwrap() error { return e.ours }

// wrap translates err and says what was being done. It returns nil for nil.
func wrap(err error, format string, args ...any) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf(format+": %w", append(args, translate(err))...)
}
