package models_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
)

func TestRows_HaveExactlyTheColumnsOfTheSchema(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		query := `SELECT m.name, p.name FROM sqlite_master m, pragma_table_info(m.name) p WHERE m.type = 'table'
			AND m.name NOT LIKE 'goose%' AND m.name NOT LIKE 'river%' AND m.name NOT LIKE 'sqlite%'`
		if db.Dialect() == models.Postgres {
			query = `SELECT table_name, column_name FROM information_schema.columns WHERE table_schema = 'public'
				AND table_name NOT LIKE 'goose%' AND table_name NOT LIKE 'river%'`
		}
		rows, err := db.SQL().QueryContext(t.Context(), query)
		require.NoError(t, err)
		defer func() { require.NoError(t, rows.Close()) }()
		var stored []string
		for rows.Next() {
			var table, column string
			require.NoError(t, rows.Scan(&table, &column))
			stored = append(stored, table+"."+column)
		}
		require.NoError(t, rows.Err())
		modelled, err := models.ColumnsOfRows()
		require.NoError(t, err)
		assert.ElementsMatch(t, modelled, stored)
	})
}
