package models_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/pattern"
)

// lines are the fields and new values of a release's history, oldest first.
func (j *job) lines() (list []string) {
	j.t.Helper()
	history, err := models.MaterialHistory(j.t.Context(), j.db, j.release.ID)
	require.NoError(j.t, err)
	for _, ch := range history {
		drop := 0
		if ch.DropNumber != nil {
			drop = *ch.DropNumber
		}
		list = append(list, string(rune('0'+drop))+" "+string(ch.Field)+": "+ch.OldValue+" > "+ch.NewValue)
	}
	return list
}

// held reads what comes with the fixture's release.
func (j *job) held() []models.MaterialItem {
	j.t.Helper()
	items, err := models.ReleaseItems(j.t.Context(), j.db, j.release.ID)
	require.NoError(j.t, err)
	return items
}

func TestReceivePart_SplitsADrop(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		items := j.held()
		require.Len(t, items, 12)
		came := []int64{items[0].ID, items[1].ID, items[4].ID}
		rest := models.NewDate(2026, 12, 4)
		p := models.PartReceived{ReleaseID: j.release.ID, Drop: 1, Came: came, At: dbtest.Now.Add(-time.Hour), RestPromised: &rest, Cause: "one crate short"}
		write(t, db, func(tx *models.Tx) error {
			number, err := models.ReceivePart(t.Context(), tx, p, console)
			require.Equal(t, 2, number)
			return err
		})
		received := 0
		for _, item := range j.held() {
			if item.State == models.Received {
				received++
				require.Contains(t, came, item.ID)
				require.Equal(t, 1, item.DropNumber)
			} else {
				require.Equal(t, models.Acknowledged, item.State)
				require.Equal(t, 2, item.DropNumber)
			}
		}
		require.Equal(t, 3, received)
		rel, err := models.ReleaseByID(t.Context(), db, j.release.ID)
		require.NoError(t, err)
		require.Equal(t, 1, *rel.Drops[1].RestOf)
		require.Equal(t, []string{
			"1 contents: 12 items > 3 items", "2 contents: 0 items > 9 items", "2 promised:  > 2026-12-04", "1 received:  > " + p.At.UTC().Format(time.RFC3339),
		}, j.lines())
		// The planner sees a drop that came and one that is promised.
		drops := j.firm().Projects[0].Releases[0].Drops
		require.NotNil(t, drops[0].Received)
		require.Nil(t, drops[1].Received)
		require.NotNil(t, drops[1].Promised)
		_, index, err := pattern.Build(j.firm())
		require.NoError(t, err)
		deliver, known := index.Find("NC/R1/deliver.2")
		require.True(t, known)
		require.NotEmpty(t, deliver.Openings)
		news, err := models.NewsBetween(t.Context(), db, dbtest.Now.Add(-time.Minute), dbtest.Now)
		require.NoError(t, err)
		about := map[string]bool{}
		for _, n := range news {
			for _, key := range n.Tasks {
				about[key] = true
			}
		}
		require.True(t, about["NC/R1/deliver"] && about["NC/R1/deliver.2"], "the night learns of both drops: %v", about)
	})
}

func TestReceivePart_RefusesWhatIsNoPart(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		var all []int64
		for _, item := range j.held() {
			all = append(all, item.ID)
		}
		for name, came := range map[string][]int64{"nothing": nil, "all": all, "twice": {all[0], all[0]}, "of another drop": {all[0], 9999}} {
			err := db.Write(t.Context(), func(tx *models.Tx) error {
				_, err := models.ReceivePart(t.Context(), tx, models.PartReceived{ReleaseID: j.release.ID, Drop: 1, Came: came, At: dbtest.Now}, console)
				return err
			})
			require.ErrorContains(t, err, "a part is some of them and not all", name)
		}
		rel, err := models.ReleaseByID(t.Context(), db, j.release.ID)
		require.NoError(t, err)
		require.Len(t, rel.Drops, 1)
		require.Empty(t, j.lines())
	})
}

func TestUpdateRelease_KeepsItsHistory(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		rel, err := models.ReleaseByID(t.Context(), db, j.release.ID)
		require.NoError(t, err)
		least, likely, most := 4, 5, 9
		rel.Name, rel.Basis, rel.LeastDays, rel.LikelyDays, rel.MostDays = "East glass", pattern.AfterFraming, &least, &likely, &most
		write(t, db, func(tx *models.Tx) error {
			return models.UpdateRelease(t.Context(), tx, rel, "walls are out of plumb", console)
		})
		require.Equal(t, []string{
			"0 basis: drawings > after framing", "0 lead: the supplier's > 4 to 9 working days, likely 5",
		}, j.lines())
		err = db.Write(t.Context(), func(tx *models.Tx) error { return models.UpdateRelease(t.Context(), tx, rel, "", console) })
		var stale *models.ErrStale
		require.ErrorAs(t, err, &stale)
		firm := j.firm()
		require.Equal(t, pattern.AfterFraming, firm.Projects[0].Releases[0].Basis)
		require.Equal(t, 9, firm.Projects[0].Releases[0].Lead.Most)
	})
}

func TestRecordMaterial_TakesADateBack(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		at, promised := dbtest.Now.Add(-48*time.Hour), models.NewDate(2026, 12, 11)
		write(t, db, func(tx *models.Tx) error {
			return models.RecordMaterial(t.Context(), tx, models.MaterialNews{ReleaseID: &j.release.ID, Ordered: &at, Promised: &promised}, console)
		})
		write(t, db, func(tx *models.Tx) error {
			return models.RecordMaterial(t.Context(), tx, models.MaterialNews{ReleaseID: &j.release.ID, Clear: []models.MaterialField{models.MaterialPromised}}, console)
		})
		rel, err := models.ReleaseByID(t.Context(), db, j.release.ID)
		require.NoError(t, err)
		require.Nil(t, rel.Drops[0].Promised)
		require.NotNil(t, rel.OrderedAt)
		require.Equal(t, "1 promised: 2026-12-11 > ", j.lines()[2], "the history keeps both")
		for _, item := range j.held() {
			require.Equal(t, models.Ordered, item.State)
		}
	})
}

func TestSetProjectLimit_PutsOnAndTakesOff(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		for _, capacity := range []int{2, 2, 3, 0, 1} {
			p, err := models.ProjectByID(t.Context(), db, j.project.ID)
			require.NoError(t, err)
			write(t, db, func(tx *models.Tx) error {
				return models.SetProjectLimit(t.Context(), tx, p, models.Dock, capacity, console)
			})
			p, err = models.ProjectByID(t.Context(), db, j.project.ID)
			require.NoError(t, err)
			l, err := models.ProjectLimit(t.Context(), db, p, models.Dock)
			require.NoError(t, err)
			if capacity == 0 {
				require.Nil(t, l)
				require.Empty(t, j.firm().Projects[0].Dock)
				continue
			}
			require.Equal(t, capacity, l.Capacity)
			require.Equal(t, l.Code, j.firm().Projects[0].Dock)
		}
		one := 1
		j.level.MaxStored = &one
		write(t, db, func(tx *models.Tx) error { return models.UpdateArea(t.Context(), tx, &j.level, console) })
		for _, a := range j.firm().Projects[0].Areas {
			require.Equal(t, a.ID == "L1", a.MaxStored != nil, a.ID)
		}
	})
}

func TestPlanSpans_AreThoseOfThePlan(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		row := j.savePlan(0)
		spans, err := models.PlanSpans(t.Context(), db, row.ID)
		require.NoError(t, err)
		p := j.build()
		require.Len(t, spans, len(p.Tasks))
		plan := anyPlan(p, 0)
		for i := range plan.Tasks {
			got := spans[pattern.TaskKey(plan.Tasks[i].ID)]
			require.True(t, plan.Tasks[i].LateFinish.Equal(got.LateFinish) && plan.Tasks[i].Start.Equal(got.Start), plan.Tasks[i].ID)
		}
	})
}
