package buying_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/ordering"
	"jambwright/server/buying"
	"jambwright/server/importing"
	"jambwright/server/intake"
	"jambwright/server/jobtest"
	"jambwright/server/planning"
)

const moreDoors = "Mark,Level,Type,Width,Height,Release,Supplier\nE,Level 1,HM door and frame,3-0,7-0,R8,Pellam Works\nF,Level 1,HM door and frame,3-0,7-0,R9,Pellam Works\n"

// More doors in releases of their own, of which leaves and hardware can be one order with those of the others: tried, it changes
// nothing; done, every item is somewhere once, and the same is refused the second time.
func TestMerged_MovesEveryItemOnce(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx := t.Context()
		job := jobtest.Load(t, db)
		store := intake.NewStore(db, jobtest.Actor(), models.NewProject{Zone: jobtest.Zone})
		preview, err := importing.NewPreview(ctx, store, jobtest.Name, importing.Read(importing.Openings, "more.csv", []byte(moreDoors), importing.Options{}))
		require.NoError(t, err)
		_, err = importing.Apply(ctx, store, preview, importing.Answers{Of: map[string]importing.Answer{importing.AllGone: importing.Keep}})
		require.NoError(t, err)
		job.Plan()

		rules := ordering.MergeRules{StorageDays: ordering.DefaultStorageDays, TruckItems: ordering.DefaultTruckItems}
		board, err := buying.Read(ctx, db)
		require.NoError(t, err)
		merges := board.Merges(job.Project.Code, rules)
		require.NotEmpty(t, merges)
		all, err := models.Releases(ctx, db, job.Project.ID)
		require.NoError(t, err)
		var releases []*models.Release
		for _, code := range merges[0].Codes() {
			i := slices.IndexFunc(all, func(r models.Release) bool { return r.Code == code })
			releases = append(releases, &all[i])
		}
		held := func() (items []string, first int) {
			for i := range all {
				list, err := models.ReleaseItems(ctx, db, all[i].ID)
				require.NoError(t, err)
				for j := range list {
					items = append(items, list[j].Opening.Mark+" "+string(list[j].Kind))
					if all[i].ID == releases[0].ID {
						first++
					}
				}
			}
			slices.Sort(items)
			return items, first
		}
		before, few := held()
		revision := buying.Merged(releases, job.Project, rules, buying.MergeFingerprint(&merges[0]), jobtest.Actor())
		tried, err := planning.TryRevision(ctx, db, revision)
		require.NoError(t, err)
		require.NotEmpty(t, tried.Changes)
		items, still := held()
		require.Equal(t, before, items)
		require.Equal(t, few, still, "a trial moves nothing")

		_, err = planning.Revise(ctx, db, revision, jobtest.Actor())
		require.NoError(t, err)
		items, more := held()
		require.Equal(t, before, items, "none is lost or doubled")
		require.Greater(t, more, few)
		_, err = planning.Revise(ctx, db, revision, jobtest.Actor())
		var faults buying.Faults
		require.ErrorAs(t, err, &faults)
	})
}
