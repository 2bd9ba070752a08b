package models_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

// A pattern of our own comes to be, changes and goes; each time by the version that was seen, and the history keeps all of it.
func TestSaveWorkPattern_KeepsTheVersionsAndTheHistory(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx := t.Context()
		body := pattern.Pattern{Type: takeoff.HingedFront, Steps: []pattern.Step{{Kind: takeoff.Frame, Items: []pattern.Item{pattern.FrameKit}}}}
		save := func(version int64, changes ...string) error {
			return db.Write(ctx, func(tx *models.Tx) error { return models.SaveWorkPattern(ctx, tx, body, version, changes, console) })
		}
		require.NoError(t, save(0, "first"))
		own, err := models.WorkPatternOf(ctx, db, takeoff.HingedFront)
		require.NoError(t, err)
		assert.Equal(t, body, own.Body.V)
		var stale *models.ErrStale
		require.ErrorAs(t, save(0, "late"), &stale, "somebody made one meanwhile")

		body.Steps = append(body.Steps, pattern.Step{Kind: takeoff.Punch})
		require.NoError(t, save(own.Version, "second"))
		require.ErrorAs(t, save(own.Version, "late"), &stale)
		list, _, err := models.PatternsInForce(ctx, db)
		require.NoError(t, err)
		assert.Equal(t, []pattern.Pattern{body}, list)

		remove := func(version int64) error {
			return db.Write(ctx, func(tx *models.Tx) error {
				return models.RemoveWorkPattern(ctx, tx, takeoff.HingedFront, version, []string{"third"}, console)
			})
		}
		require.ErrorAs(t, remove(own.Version), &stale)
		require.NoError(t, remove(own.Version+1))
		_, err = models.WorkPatternOf(ctx, db, takeoff.HingedFront)
		require.ErrorIs(t, err, models.ErrNotFound)
		require.ErrorAs(t, save(own.Version+1, "late"), &stale, "what it was seen as is gone")
		require.NoError(t, remove(0), "the usual one stays")

		history, err := models.WorkPatternHistory(ctx, db, takeoff.HingedFront)
		require.NoError(t, err)
		require.Len(t, history, 3)
		assert.Equal(t, []any{"third"}, history[0].Detail.V["changes"])
		other, err := models.WorkPatternHistory(ctx, db, takeoff.Pair)
		require.NoError(t, err)
		assert.Empty(t, other)
	})
}

func TestTasksOfType_AreThoseOfOpenProjects(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		newJob(t, db)
		keys, err := models.TasksOfType(t.Context(), db, takeoff.HingedFront)
		require.NoError(t, err)
		assert.Len(t, keys, 3*len(pattern.StepKinds()))
		assert.Contains(t, keys, "NC/101/glaze")
		none, err := models.TasksOfType(t.Context(), db, takeoff.Storefront)
		require.NoError(t, err)
		assert.Empty(t, none)
	})
}
