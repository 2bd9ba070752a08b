// Package dbtest gives tests a fresh, migrated database of each kind that the product runs on.
//
//	func TestPins_OneATask(t *testing.T) {
//		t.Parallel()
//		dbtest.Each(t, func(t *testing.T, db *models.DB) { ... })
//	}
//
// The body runs once on a SQLite file in a folder of the test and once on a PostgreSQL database of its own. Both are
// copies of a template that is migrated once a test binary. The PostgreSQL server is a throw-away one started from installed
// binaries, one a test binary, or the one that JAMBWRIGHT_TEST_DATABASE names (an address whose user may create
// databases). Without either the PostgreSQL half skips and says so; with CI=true or JAMBWRIGHT_NO_SKIP=1 it fails instead.
//
// What this package does not do: it fills in no rows and keeps nothing between tests.
package dbtest

import (
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/migrations"
	"jambwright/models"
)

// Now is the instant at which the clock of a test database stands: a Wednesday, 14:00 in New York.
var Now = time.Date(2026, time.November, 25, 19, 0, 0, 0, time.UTC)

// Clock is the fixed clock of a test database.
func Clock() time.Time { return Now }

// Hand is a clock that begins at Now and that a test moves on. Every database has its own: the two halves of a test run at
// the same time, and one that moved the other's clock would fail it now and then.
type Hand struct {
	ahead atomic.Int64 // nanoseconds past Now
	tick  time.Duration
}

// Now is the instant of the clock.
func (h *Hand) Now() time.Time { return Now.Add(time.Duration(h.ahead.Add(int64(h.tick)))) }

// Later moves the clock on.
func (h *Hand) Later(d time.Duration) { h.ahead.Add(int64(d)) }

// Each runs body on a fresh SQLite and on a fresh PostgreSQL database, as parallel subtests, with the clock at Now.
func Each(t *testing.T, body func(t *testing.T, db *models.DB)) {
	t.Helper()
	EachByHand(t, func(t *testing.T, db *models.DB, _ *Hand) { body(t, db) })
}

// EachTicking is Each with clocks that move on by a second at every look, so that what is written later is later.
func EachTicking(t *testing.T, body func(t *testing.T, db *models.DB)) {
	t.Helper()
	each(t, time.Second, func(t *testing.T, db *models.DB, _ *Hand) { body(t, db) })
}

// EachByHand is Each with clocks that the test moves.
func EachByHand(t *testing.T, body func(t *testing.T, db *models.DB, clock *Hand)) {
	t.Helper()
	each(t, 0, body)
}

func each(t *testing.T, tick time.Duration, body func(t *testing.T, db *models.DB, clock *Hand)) {
	t.Helper()
	t.Run("sqlite", func(t *testing.T) {
		t.Parallel()
		clock := &Hand{tick: tick}
		body(t, SQLite(t, clock.Now), clock)
	})
	t.Run("postgres", func(t *testing.T) {
		t.Parallel()
		clock := &Hand{tick: tick}
		body(t, Postgres(t, clock.Now), clock)
	})
}

// EachDSN hands the addresses of a fresh SQLite and of a fresh PostgreSQL database to body, for tests that open one several
// times or in several processes.
func EachDSN(t *testing.T, body func(t *testing.T, dsn string)) {
	t.Helper()
	t.Run("sqlite", func(t *testing.T) {
		t.Parallel()
		body(t, SQLiteDSN(t))
	})
	t.Run("postgres", func(t *testing.T) {
		t.Parallel()
		body(t, PostgresDSN(t))
	})
}

// EachEmpty is Each on databases without any table, for tests of the migrations themselves.
func EachEmpty(t *testing.T, body func(t *testing.T, db *models.DB)) {
	t.Helper()
	t.Run("sqlite", func(t *testing.T) {
		t.Parallel()
		body(t, open(t, filepath.Join(t.TempDir(), "empty.db"), Clock))
	})
	t.Run("postgres", func(t *testing.T) {
		t.Parallel()
		body(t, open(t, postgresCopy(t, "template0"), Clock))
	})
}

// SQLite opens a fresh SQLite database in a folder of the test and closes it at the test's end.
func SQLite(t testing.TB, now func() time.Time) *models.DB {
	t.Helper()
	return open(t, SQLiteDSN(t), now)
}

// SQLiteDSN is the path of a fresh, migrated SQLite file in a folder of the test.
func SQLiteDSN(t testing.TB) string {
	t.Helper()
	template, err := sqliteTemplate()
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "test.db")
	require.NoError(t, os.WriteFile(path, template, 0o600))
	return path
}

// Postgres opens a fresh PostgreSQL database and drops it at the test's end. It skips the test where there is no server
// to be had, or fails it where skipping is forbidden.
func Postgres(t testing.TB, now func() time.Time) *models.DB {
	t.Helper()
	return open(t, PostgresDSN(t), now)
}

func open(t testing.TB, dsn string, now func() time.Time) *models.DB {
	t.Helper()
	db, err := models.Open(t.Context(), dsn, now)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, db.Close()) })
	return db
}

// sqliteTemplate is the bytes of a migrated, empty SQLite database, made once a test binary.
var sqliteTemplate = sync.OnceValues(func() (template []byte, err error) {
	folder, err := os.MkdirTemp("", "jambwright-test-")
	if err != nil {
		return nil, err
	}
	defer func() { err = firstError(err, os.RemoveAll(folder)) }()
	path := filepath.Join(folder, "template.db")
	if err := migrate(path); err != nil {
		return nil, err
	}
	return os.ReadFile(path)
})

// migrate opens dsn, brings its schema up and closes it; closing moves SQLite's write-ahead log into the file.
func migrate(dsn string) error {
	ctx, cancel := setupContext()
	defer cancel()
	db, err := models.Open(ctx, dsn, Clock)
	if err != nil {
		return err
	}
	err = migrations.Up(ctx, db.SQL(), migrations.Dialect(db.Dialect()))
	return firstError(err, db.Close())
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
