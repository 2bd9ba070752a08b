package models_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/ledger"
)

// ledgerToSave is a ledger between two plans with two lines that touch the job's GC date.
func (j *job) ledgerToSave(from, to int64) *models.LedgerToSave {
	before, after := dbtest.Now.AddDate(0, 0, 10), dbtest.Now.AddDate(0, 0, 13)
	other := 1
	return &models.LedgerToSave{
		Window: models.LedgerWindow{ProjectID: j.project.ID, FromPlanID: from, ToPlanID: to, Replans: 7},
		Lines: []models.LedgerLine{
			{LineKey: "walls", Cause: ledger.OtherTrade, Kind: ledger.Handover, At: dbtest.Now, Text: "walls late", Party: "Partitions", Evidence: models.List[models.Evidence]{{Kind: models.EvidenceHandover, ID: 3, Text: "walls late"}}},
			{LineKey: "glass", Cause: ledger.Supplier, Kind: ledger.Lead, At: dbtest.Now, Text: "glass late", Party: "Ninefold Glass"},
		},
		Dates: []models.LedgerDate{{
			GCDateID: j.date.ID, ForecastBefore: &before, ForecastAfter: &after, MovedMinutes: 3 * 24 * 60, AloneMinutes: 4 * 24 * 60,
			Parts: []models.LedgerPart{
				{LineID: 0, Minutes: 3 * 24 * 60, AloneMinutes: 3 * 24 * 60, Concurrent: models.List[int]{1}},
				{LineID: 1, AloneMinutes: 24 * 60, Concurrent: models.List[int]{0}, CountedWith: &other},
			},
		}},
	}
}

func TestLedger_IsStoredOnceAndReadBackInOrder(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx, j := t.Context(), newJob(t, db)
		first, second := j.savePlan(0), j.savePlan(30*time.Minute)
		_, err := models.LedgerOf(ctx, db, j.project.ID, first.ID, second.ID)
		require.ErrorIs(t, err, models.ErrNotFound)
		write(t, db, func(tx *models.Tx) error { return models.SaveLedger(ctx, tx, j.ledgerToSave(first.ID, second.ID)) })
		err = db.Write(ctx, func(tx *models.Tx) error { return models.SaveLedger(ctx, tx, j.ledgerToSave(first.ID, second.ID)) })
		require.ErrorIs(t, err, models.ErrDuplicate)

		w, err := models.LedgerOf(ctx, db, j.project.ID, first.ID, second.ID)
		require.NoError(t, err)
		assert.Equal(t, dbtest.Now, w.ComputedAt)
		dates, err := models.LedgerDates(ctx, db, []int64{w.ID})
		require.NoError(t, err)
		require.Len(t, dates, 1)
		assert.Equal(t, "Level 1 ready", dates[0].GCDate.Name)
		require.Len(t, dates[0].Parts, 2)
		assert.Equal(t, "walls late", dates[0].Parts[0].Line.Text)
		assert.Equal(t, models.List[int]{1}, dates[0].Parts[0].Concurrent)
		assert.Equal(t, 1, *dates[0].Parts[1].CountedWith)
		assert.Equal(t, int64(3), dates[0].Parts[0].Line.Evidence[0].ID)
	})
}

func TestLedger_OfAnOvertakenDraftIsDroppedAndOfIssuedPlansKept(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx, j := t.Context(), newJob(t, db)
		first, issued := j.savePlan(0), j.savePlan(30*time.Minute)
		draft, latest := j.savePlan(time.Hour), j.savePlan(2*time.Hour)
		write(t, db, func(tx *models.Tx) error {
			for _, id := range []int64{first.ID, issued.ID} {
				if _, err := models.IssuePlan(ctx, tx, id, j.project.ID, false, console); err != nil {
					return err
				}
			}
			for _, pair := range [][2]int64{{first.ID, issued.ID}, {issued.ID, draft.ID}, {issued.ID, latest.ID}} {
				if err := models.SaveLedger(ctx, tx, j.ledgerToSave(pair[0], pair[1])); err != nil {
					return err
				}
			}
			return models.DropStaleLedgers(ctx, tx, j.project.ID, latest.ID)
		})
		left, err := models.LedgersOf(ctx, db, j.project.ID)
		require.NoError(t, err)
		require.Len(t, left, 2)
		assert.Equal(t, []int64{issued.ID, latest.ID}, []int64{left[0].ToPlanID, left[1].ToPlanID})
	})
}

func TestConfirm_IsChangedByItsVersionAndLeavesATrail(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx, j := t.Context(), newJob(t, db)
		confirm := func(version int64, excusable, compensable bool) error {
			c := &models.LedgerConfirmation{GCDateID: j.date.ID, LineKey: "walls", Party: "Partitions", Excusable: excusable, Compensable: compensable}
			c.Version = version
			return db.Write(ctx, func(tx *models.Tx) error { return models.Confirm(ctx, tx, j.project.ID, c, console) })
		}
		require.NoError(t, confirm(0, true, true))
		require.ErrorIs(t, confirm(0, true, true), models.ErrDuplicate, "a second first one")
		require.NoError(t, confirm(1, true, false))
		var stale *models.ErrStale
		require.ErrorAs(t, confirm(1, false, false), &stale)
		require.ErrorIs(t, confirm(2, false, true), models.ErrRefused, "money without time")
		all, err := models.ConfirmationsOf(ctx, db, []int64{j.date.ID})
		require.NoError(t, err)
		got := all[j.date.ID]["walls"]
		assert.True(t, got.Excusable)
		assert.False(t, got.Compensable)
		trail, err := models.AuditOf(ctx, db, "delay", got.ID, 10)
		require.NoError(t, err)
		assert.Len(t, trail, 2)
	})
}

func TestUnnoticedLines_AreThoseThatCostTimeAndOfWhichNoNoticeWasSent(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx, j := t.Context(), newJob(t, db)
		first, second := j.savePlan(0), j.savePlan(30*time.Minute)
		toSave := j.ledgerToSave(first.ID, second.ID)
		toSave.Lines = append(toSave.Lines, models.LedgerLine{LineKey: "gain", Cause: ledger.OtherTrade, Kind: ledger.Handover, At: dbtest.Now, Text: "floor early"})
		toSave.Dates[0].Parts = append(toSave.Dates[0].Parts, models.LedgerPart{LineID: 2, Minutes: -60, AloneMinutes: -60})
		write(t, db, func(tx *models.Tx) error { return models.SaveLedger(ctx, tx, toSave) })
		unnoticed := func(projects []int64) (keys []string) {
			lines, err := models.UnnoticedLines(ctx, db, projects)
			require.NoError(t, err)
			for i := range lines {
				keys = append(keys, lines[i].LineKey)
			}
			return keys
		}
		assert.Empty(t, unnoticed(nil), "no terms, no notice")
		terms := &models.DelayTerms{ProjectID: j.project.ID, TradeDays: new(7), FloatOwner: models.FloatOurs}
		write(t, db, func(tx *models.Tx) error { return models.SaveTerms(ctx, tx, terms, console) })
		assert.ElementsMatch(t, []string{"walls", "glass"}, unnoticed(nil))
		assert.Empty(t, unnoticed([]int64{}))
		write(t, db, func(tx *models.Tx) error {
			return models.SendNotice(ctx, tx, &models.DelayNotice{ProjectID: j.project.ID, LineKey: "walls", SentOn: models.NewDate(2026, 11, 25)}, console)
		})
		assert.Equal(t, []string{"glass"}, unnoticed([]int64{j.project.ID}))
		require.ErrorIs(t, models.FindLedgerLine(ctx, db, j.project.ID, &j.date.ID, "other"), models.ErrNotFound)
		require.NoError(t, models.FindLedgerLine(ctx, db, j.project.ID, &j.date.ID, "walls"))

		var stale *models.ErrStale
		terms.Version = 4
		err := db.Write(ctx, func(tx *models.Tx) error { return models.SaveTerms(ctx, tx, terms, console) })
		require.ErrorAs(t, err, &stale)
		terms.Version, terms.Pacing = 1, true
		write(t, db, func(tx *models.Tx) error { return models.SaveTerms(ctx, tx, terms, console) })
		again, err := models.TermsOf(ctx, db, j.project.ID)
		require.NoError(t, err)
		assert.True(t, again.Pacing)
		assert.Equal(t, 7, *again.TradeDays)
		assert.Equal(t, int64(2), again.Version)
	})
}
