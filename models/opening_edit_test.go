package models_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/takeoff"
)

// Opening 101 is a hinged front, whose leaf is of glass unless somebody says otherwise.
func TestEditOpening_SetsLeavesAndConditionsOfTheStateThatWasRead(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		o := j.sized("101")
		edit := func(e models.OpeningEdit) error {
			e.ID = o.ID
			return db.Write(t.Context(), func(tx *models.Tx) error { return models.EditOpening(t.Context(), tx, e, console) })
		}
		conditions := models.List[takeoff.Condition]{takeoff.Occupied}
		require.NoError(t, edit(models.OpeningEdit{Version: o.Version, Conditions: conditions}))
		solid, err := models.OpeningByID(t.Context(), db, o.ID)
		require.NoError(t, err)
		assert.True(t, solid.SolidLeaf)
		assert.Equal(t, conditions, solid.Conditions)
		assert.Equal(t, o.Width, solid.Width, "nothing else changes")

		var stale *models.ErrStale
		require.ErrorAs(t, edit(models.OpeningEdit{Version: o.Version, GlassLeaves: true}), &stale)
		require.NoError(t, edit(models.OpeningEdit{Version: solid.Version, GlassLeaves: true}))
		glass, err := models.OpeningByID(t.Context(), db, o.ID)
		require.NoError(t, err)
		assert.False(t, glass.SolidLeaf || glass.GlassLeaf, "glass is usual and not said")
		assert.Empty(t, glass.Conditions)
		_, err = models.OpeningByID(t.Context(), db, -1)
		require.ErrorIs(t, err, models.ErrNotFound)
	})
}

// What fails apart is undone by itself; the transaction around it goes on and is kept. PostgreSQL refuses all that follows a fault
// in a transaction unless there is a savepoint to go back to.
func TestTx_ApartLosesItsOwnWorkAlone(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		o := j.sized("101")
		set := func(ctx context.Context, tx *models.Tx, version int64, conditions ...takeoff.Condition) error {
			return models.EditOpening(ctx, tx, models.OpeningEdit{ID: o.ID, Version: version, GlassLeaves: true, Conditions: conditions}, console)
		}
		write(t, db, func(tx *models.Tx) error {
			if err := set(t.Context(), tx, o.Version, takeoff.Occupied); err != nil {
				return err
			}
			err := tx.Apart(t.Context(), func(tx *models.Tx) error {
				if err := set(t.Context(), tx, o.Version+1, takeoff.Occupied, takeoff.Ladder); err != nil {
					return err
				}
				twice := models.Area{ProjectID: j.level.ProjectID, Code: j.level.Code, Name: "twice", Kind: j.level.Kind}
				return models.CreateArea(t.Context(), tx, &twice, console)
			})
			require.Error(t, err, "the code of an area is there once")
			return tx.Apart(t.Context(), func(tx *models.Tx) error {
				return set(t.Context(), tx, o.Version+1, takeoff.Occupied, takeoff.TightAccess)
			})
		})
		assert.Equal(t, models.List[takeoff.Condition]{takeoff.Occupied, takeoff.TightAccess}, j.sized("101").Conditions)
	})
}
