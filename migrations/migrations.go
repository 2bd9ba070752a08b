// Package migrations holds the history of the database schema as SQL and applies it.
//
// There is one history in two dialects: the folders sqlite and postgres hold files of the same numbers and names, and a
// test holds the resulting tables and columns against each other. Numbers only grow and a released file is never edited:
// a change is a new file. The tables of the job queue are brought up after ours, by the queue's own migrator and under
// the same lock.
//
// Several processes may start at once. On PostgreSQL a session lock lets the first apply and the others wait. SQLite has no
// such lock: there each migration is a transaction of its own, and a process that finds one applied by another meanwhile
// starts over with what is left.
//
// What this package does not do: it opens no database and knows no row types. Nothing migrates by itself; a command or a
// test calls Up.
package migrations

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"

	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"
	"github.com/riverqueue/river/riverdriver"
	"github.com/riverqueue/river/riverdriver/riverdatabasesql"
	"github.com/riverqueue/river/riverdriver/riversqlite"
	"github.com/riverqueue/river/rivermigrate"
)

//go:embed sqlite/*.sql postgres/*.sql
var files embed.FS

// Dialect names one of the two databases.
type Dialect string

// The two dialects; the values are the names of their folders and of gorm's dialects.
const (
	SQLite   Dialect = "sqlite"
	Postgres Dialect = "postgres"
)

// Up brings the schema of db to the newest version and does nothing when it is there already. On PostgreSQL the pool
// must allow two connections, since one of them holds the lock.
func Up(ctx context.Context, db *sql.DB, dialect Dialect) error {
	switch dialect {
	case SQLite:
		return upAmongOthers(ctx, db, func() error {
			return up(ctx, db, goose.DialectSQLite3, dialect, riversqlite.New(db))
		})
	case Postgres:
		return underLock(ctx, db, func() error {
			return up(ctx, db, goose.DialectPostgres, dialect, riverdatabasesql.New(db))
		})
	}
	return fmt.Errorf("migrate: dialect %q is neither %q nor %q", dialect, SQLite, Postgres)
}

// Pending tells how many of our migrations db has not seen yet.
func Pending(ctx context.Context, db *sql.DB, dialect Dialect) (int, error) {
	gooseDialect := goose.DialectSQLite3
	if dialect == Postgres {
		gooseDialect = goose.DialectPostgres
	}
	provider, err := newProvider(db, gooseDialect, dialect)
	if err != nil {
		return 0, err
	}
	statuses, err := provider.Status(ctx)
	if err != nil {
		return 0, fmt.Errorf("read the migrations of the %s database: %w", dialect, err)
	}
	pending := 0
	for _, s := range statuses {
		if s.State == goose.StatePending {
			pending++
		}
	}
	return pending, nil
}

func newProvider(db *sql.DB, gooseDialect goose.Dialect, dialect Dialect) (*goose.Provider, error) {
	folder, err := fs.Sub(files, string(dialect))
	if err != nil {
		return nil, fmt.Errorf("open the %s migrations: %w", dialect, err)
	}
	provider, err := goose.NewProvider(gooseDialect, db, folder)
	if err != nil {
		return nil, fmt.Errorf("read the %s migrations: %w", dialect, err)
	}
	return provider, nil
}

func up[TTx any](
	ctx context.Context, db *sql.DB, gooseDialect goose.Dialect, dialect Dialect, queue riverdriver.Driver[TTx],
) error {
	provider, err := newProvider(db, gooseDialect, dialect)
	if err != nil {
		return err
	}
	if _, err := provider.Up(ctx); err != nil {
		return fmt.Errorf("migrate the %s database: %w", dialect, err)
	}
	migrator, err := rivermigrate.New(queue, &rivermigrate.Config{Logger: slog.New(slog.DiscardHandler)})
	if err != nil {
		return fmt.Errorf("read the migrations of the job queue: %w", err)
	}
	if _, err := migrator.Migrate(ctx, rivermigrate.DirectionUp, nil); err != nil {
		return fmt.Errorf("migrate the job queue of the %s database: %w", dialect, err)
	}
	return nil
}

// upAmongOthers repeats work for as long as it fails and the schema has changed since it began: then another process, or
// work itself, applied part of the history. A failure with the schema as it was is work's own.
func upAmongOthers(ctx context.Context, db *sql.DB, work func() error) error {
	for {
		before, err := schemaVersion(ctx, db)
		if err != nil {
			return err
		}
		failure := work()
		if failure == nil {
			return nil
		}
		after, err := schemaVersion(ctx, db)
		if err != nil || after == before {
			return errors.Join(failure, err)
		}
	}
}

// schemaVersion is SQLite's own count of schema changes.
func schemaVersion(ctx context.Context, db *sql.DB) (version int64, err error) {
	if err := db.QueryRowContext(ctx, "PRAGMA schema_version").Scan(&version); err != nil {
		return 0, fmt.Errorf("read the schema version: %w", err)
	}
	return version, nil
}

// underLock runs work while one connection of db holds PostgreSQL's advisory lock for migrations.
func underLock(ctx context.Context, db *sql.DB, work func() error) (err error) {
	locker, err := lock.NewPostgresSessionLocker()
	if err != nil {
		return fmt.Errorf("prepare the migration lock: %w", err)
	}
	conn, err := db.Conn(ctx)
	if err != nil {
		return fmt.Errorf("take a connection for the migration lock: %w", err)
	}
	defer func() { err = errors.Join(err, conn.Close()) }()
	if err := locker.SessionLock(ctx, conn); err != nil {
		return fmt.Errorf("wait for the migration lock: %w", err)
	}
	defer func() {
		// A cancelled context must not keep the lock until the connection dies.
		err = errors.Join(err, locker.SessionUnlock(context.WithoutCancel(ctx), conn))
	}()
	return work()
}
