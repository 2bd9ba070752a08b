package models_test

import (
	"context"
	"database/sql"
	"errors"
	"log/slog"
	"testing"

	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver"
	"github.com/riverqueue/river/riverdriver/riverdatabasesql"
	"github.com/riverqueue/river/riverdriver/riversqlite"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
)

type nothingToDo struct {
	N int `json:"n"`
}

func (nothingToDo) Kind() string { return "nothing_to_do" }

// The job queue works in our transactions on both databases: a transaction that fails leaves neither row nor job.
func TestTxSQL_AJobStandsAndFallsWithItsRows(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		var driver riverdriver.Driver[*sql.Tx] = riversqlite.New(db.SQL())
		if db.Dialect() == models.Postgres {
			driver = riverdatabasesql.New(db.SQL())
		}
		client, err := river.NewClient(driver, &river.Config{Logger: slog.New(slog.DiscardHandler)})
		require.NoError(t, err)
		stop := errors.New("stop")
		insert := func(ctx context.Context, n int, outcome error) error {
			return db.Write(ctx, func(tx *models.Tx) error {
				require.NoError(t, models.RecordSignInFailure(ctx, tx, "a", "b"))
				_, err := client.InsertTx(ctx, tx.SQL(), nothingToDo{N: n}, nil)
				require.NoError(t, err)
				return outcome
			})
		}
		require.ErrorIs(t, insert(t.Context(), 1, stop), stop)
		require.NoError(t, insert(t.Context(), 2, nil))
		for _, table := range []string{"river_job", "sign_in_failures"} {
			var n int
			require.NoError(t, db.SQL().QueryRowContext(t.Context(), "SELECT count(*) FROM "+table).Scan(&n))
			assert.Equal(t, 1, n, table)
		}
	})
}
