package models_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/pressly/goose/v3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/migrations"
	"jambwright/models"
	"jambwright/models/dbtest"
)

func TestFolders_HoldTheSameNames(t *testing.T) {
	t.Parallel()
	names := func(folder string) []string {
		entries, err := os.ReadDir(folder)
		require.NoError(t, err)
		var out []string
		for _, e := range entries {
			out = append(out, e.Name())
		}
		return out
	}
	assert.NotEmpty(t, names("../migrations/sqlite"))
	assert.Equal(t, names("../migrations/sqlite"), names("../migrations/postgres"))
}

func TestUp_IsDoneOnceAndLeavesNothingPending(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		dialect := migrations.Dialect(db.Dialect())
		require.NoError(t, migrations.Up(t.Context(), db.SQL(), dialect))
		pending, err := migrations.Pending(t.Context(), db.SQL(), dialect)
		require.NoError(t, err)
		assert.Zero(t, pending)
	})
}

// Three processes may start at the same moment on an empty database.
func TestUp_ThreeAtOnceOnAnEmptyDatabase(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "empty.db")
	var dbs []*models.DB
	for range 3 {
		db, err := models.Open(t.Context(), path, dbtest.Clock)
		require.NoError(t, err)
		t.Cleanup(func() { require.NoError(t, db.Close()) })
		dbs = append(dbs, db)
	}
	errs := make([]error, len(dbs))
	var wait sync.WaitGroup
	for i, db := range dbs {
		wait.Go(func() { errs[i] = migrations.Up(t.Context(), db.SQL(), migrations.SQLite) })
	}
	wait.Wait()
	assert.Equal(t, make([]error, len(dbs)), errs)
}

// A database that stopped at an older number, with rows in it, comes to the same schema as a fresh one and keeps them.
func TestUp_BringsAnOldCopyToTheSameSchema(t *testing.T) {
	t.Parallel()
	const old = 8
	dbtest.EachEmpty(t, func(t *testing.T, db *models.DB) {
		dialect, folder := goose.DialectSQLite3, os.DirFS("../migrations/sqlite")
		if db.Dialect() == models.Postgres {
			dialect, folder = goose.DialectPostgres, os.DirFS("../migrations/postgres")
		}
		provider, err := goose.NewProvider(dialect, db.SQL(), folder)
		require.NoError(t, err)
		_, err = provider.UpTo(t.Context(), old)
		require.NoError(t, err)
		_, err = db.SQL().ExecContext(t.Context(), `INSERT INTO sites (code, name, zone, created_at, updated_at)
			VALUES ('harbor', 'Harbor Lane', 'America/New_York', '2026-11-25 19:00:00+00:00', '2026-11-25 19:00:00+00:00')`)
		require.NoError(t, err)

		require.NoError(t, migrations.Up(t.Context(), db.SQL(), migrations.Dialect(db.Dialect())))
		fresh := dbtest.SQLite(t, dbtest.Clock)
		assert.Equal(t, columns(t, fresh), columns(t, db))
		sites, err := models.Sites(t.Context(), db)
		require.NoError(t, err)
		require.Len(t, sites, 1)
		assert.Equal(t, dbtest.Now, sites[0].CreatedAt)
	})
}

func TestUp_RefusesAnUnknownDialect(t *testing.T) {
	t.Parallel()
	assert.ErrorContains(t, migrations.Up(t.Context(), nil, "other"), `"other"`)
}

func TestDialects_HaveTheSameColumns(t *testing.T) {
	t.Parallel()
	lite := columns(t, dbtest.SQLite(t, dbtest.Clock))
	post := columns(t, dbtest.Postgres(t, dbtest.Clock))
	assert.NotEmpty(t, lite)
	assert.Equal(t, lite, post)
}

// sameKind maps the column types of both databases to one name.
var sameKind = map[string]string{
	"INTEGER": "integer", "bigint": "integer",
	"TEXT": "text", "text": "text",
	"DATETIME": "time", "timestamp with time zone": "time",
	"DATE": "date", "date": "date",
	"BOOLEAN": "boolean", "boolean": "boolean",
	"REAL": "float", "double precision": "float",
	"BLOB": "bytes", "bytea": "bytes",
	"jsonb": "text",
}

// columns lists "table.column kind null" of our own tables, sorted.
func columns(t *testing.T, db *models.DB) []string {
	t.Helper()
	query := `SELECT m.name, p.name, p.type, p."notnull" = 0 AND p.pk = 0 FROM sqlite_master m, pragma_table_info(m.name) p WHERE m.type = 'table'`
	if db.Dialect() == models.Postgres {
		query = `SELECT table_name, column_name, data_type, is_nullable = 'YES' FROM information_schema.columns
			WHERE table_schema = 'public' AND table_name IN (SELECT tablename FROM pg_tables WHERE schemaname = 'public')`
	}
	rows, err := db.SQL().QueryContext(t.Context(), query)
	require.NoError(t, err)
	defer func() { require.NoError(t, rows.Close()) }()
	var out []string
	for rows.Next() {
		var table, column, kind string
		var nullable bool
		require.NoError(t, rows.Scan(&table, &column, &kind, &nullable))
		if ours(table) {
			name, known := sameKind[kind]
			require.True(t, known, "%s.%s has type %q", table, column, kind)
			out = append(out, fmt.Sprintf("%s.%s %s null=%v", table, column, name, nullable))
		}
	}
	require.NoError(t, rows.Err())
	slices.Sort(out)
	return out
}

// ours leaves out the tables of the migration history, the job queue and SQLite itself.
func ours(table string) bool {
	for _, prefix := range []string{"goose_", "river_", "sqlite_"} {
		if strings.HasPrefix(table, prefix) {
			return false
		}
	}
	return true
}
