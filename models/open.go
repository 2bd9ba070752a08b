package models

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgtype"
	"github.com/jackc/pgx/v5/stdlib"
	"github.com/libtnb/sqlite"
	"gorm.io/driver/postgres"
	"gorm.io/gorm"
	"gorm.io/gorm/logger"
)

// Dialect names the kind of database behind a DB.
type Dialect string

// The two kinds; the values are gorm's names and those of the migration folders.
const (
	SQLite   Dialect = "sqlite"
	Postgres Dialect = "postgres"
)

// openConnections is the size of the pool. SQLite allows one writer at a time, so more would only wait in line.
const openConnections = 8

// DB is an open database with the clock that stamps its rows. It is safe for use by many goroutines.
type DB struct {
	gorm    *gorm.DB
	sql     *sql.DB
	dialect Dialect
	now     func() time.Time
}

// Open opens a database without changing it: dsn is a PostgreSQL address (postgres://user@host/name) or the path of a
// SQLite file, which is created when absent. now is the clock that stamps rows. Migrate with package migrations.
func Open(ctx context.Context, dsn string, now func() time.Time) (*DB, error) {
	dialect, dialector, err := dialectorOf(dsn)
	if err != nil {
		return nil, fmt.Errorf("open the database %s: %w", redact(dsn), err)
	}
	clock := func() time.Time { return Instant(now()) }
	g, err := gorm.Open(dialector, &gorm.Config{
		TranslateError: true,
		NowFunc:        clock,
		Logger:         logger.Discard,
	})
	if err != nil {
		return nil, fmt.Errorf("open the database %s: %w", redact(dsn), err)
	}
	pool, err := g.DB()
	if err != nil {
		return nil, fmt.Errorf("open the database %s: %w", redact(dsn), err)
	}
	pool.SetMaxOpenConns(openConnections)
	pool.SetMaxIdleConns(openConnections)
	if err := pool.PingContext(ctx); err != nil {
		return nil, errors.Join(fmt.Errorf("open the database %s: %w", redact(dsn), err), pool.Close())
	}
	return &DB{gorm: g, sql: pool, dialect: dialect, now: clock}, nil
}

// Close closes the pool.
func (db *DB) Close() error { return db.sql.Close() }

// SQL is the pool itself, for migrations and the job queue. Queries of the product belong into this package.
func (db *DB) SQL() *sql.DB { return db.sql }

// Dialect tells which kind of database this is.
func (db *DB) Dialect() Dialect { return db.dialect }

// Now is the database's clock: UTC, whole microseconds.
func (db *DB) Now() time.Time { return db.now() }

// Instant is t as both databases keep it: UTC, whole microseconds.
func Instant(t time.Time) time.Time { return t.UTC().Truncate(time.Microsecond) }

func dialectorOf(dsn string) (Dialect, gorm.Dialector, error) {
	if !isPostgres(dsn) {
		return SQLite, sqlite.Open(sqliteDSN(dsn)), nil
	}
	config, err := pgx.ParseConfig(dsn)
	if err != nil {
		return "", nil, err
	}
	pool := stdlib.OpenDB(*config, stdlib.OptionAfterConnect(readTimesInUTC))
	return Postgres, postgres.New(postgres.Config{Conn: pool}), nil
}

// readTimesInUTC makes a connection hand over instants in UTC, whatever the zones of the server and of this process.
func readTimesInUTC(_ context.Context, conn *pgx.Conn) error {
	conn.TypeMap().RegisterType(&pgtype.Type{
		Name: "timestamptz", OID: pgtype.TimestamptzOID, Codec: &pgtype.TimestamptzCodec{ScanLocation: time.UTC},
	})
	return nil
}

func isPostgres(dsn string) bool {
	return strings.HasPrefix(dsn, "postgres://") || strings.HasPrefix(dsn, "postgresql://")
}

// sqliteDSN is the one place that knows SQLite's settings:
//   - immediate transactions: a read that turns into a write could not wait for its turn and would fail at once;
//   - UTC in a form SQLite's own date functions read: times are compared as text, so all must be written alike;
//   - no text turned into times: a note that looks like a date stays the note;
//   - write-ahead log, foreign keys, and a writer that waits five seconds for its turn.
func sqliteDSN(path string) string {
	return "file:" + (&url.URL{Path: path}).EscapedPath() +
		"?_pragma=busy_timeout(5000)&_pragma=journal_mode(WAL)&_pragma=foreign_keys(1)&_pragma=synchronous(NORMAL)" +
		"&_txlock=immediate&_timezone=UTC&_time_format=sqlite&_texttotime=0"
}

// redact is dsn as a log may show it.
func redact(dsn string) string {
	if !isPostgres(dsn) {
		return dsn
	}
	u, err := url.Parse(dsn)
	if err != nil {
		return "postgres://…"
	}
	return u.Redacted()
}
