package delays_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/scheduler/ledger"
	"jambwright/scheduler/pattern"
	"jambwright/server/delays"
	"jambwright/server/jobtest"
	"jambwright/server/planning"
	"jambwright/server/reporting"
)

// A hold that is told while the plan is being made is not in that plan: it is the next window's affair.
func TestStatement_WhatCameWhileThePlanWasMadeIsNotItsCause(t *testing.T) {
	t.Parallel()
	eachStory(t, func(t *testing.T, s *story) {
		ctx := t.Context()
		s.issue()
		report := func(r reporting.Report) {
			s.later(time.Minute)
			r.ClientID, r.TaskKey, r.At, r.Kind, r.Reporter = r.Party, "SC/A/frame", s.clock.Now(), models.ReportHold, "Tam Osk"
			_, err := reporting.Submit(ctx, s.DB, r)
			require.NoError(t, err)
		}
		soon, until := s.clock.Now().AddDate(0, 0, 20), s.clock.Now().AddDate(0, 0, 40)
		report(reporting.Report{Cause: "no drawing of the frame", Party: "our office", Until: &soon})
		s.later(time.Hour)
		made, err := planning.Make(ctx, s.DB, planning.Options{Schedules: 1})
		require.NoError(t, err)
		before, err := planning.ReadBefore(ctx, s.DB, made.ReadAt)
		require.NoError(t, err)
		report(reporting.Report{Cause: "no answer on the frame", Party: "general contractor", Until: &until})
		s.later(time.Minute)
		require.NoError(t, s.DB.Write(ctx, func(tx *models.Tx) error {
			row, err := planning.Save(ctx, tx, made, before, models.MadeByNight, jobtest.Actor())
			if err != nil {
				return err
			}
			_, err = models.IssuePlan(ctx, tx, row.ID, s.Project.ID, true, jobtest.Actor())
			return err
		}))
		first := s.read(delays.All)
		require.Len(t, first.Windows, 1)
		require.Positive(t, first.Dates[0].Moved)
		for i := range first.Dates[0].Lines {
			require.NotEqual(t, ledger.GCChange, first.Dates[0].Lines[i].Cause, first.Dates[0].Lines[i].Text)
		}
		s.later(time.Hour)
		s.issue()
		require.Contains(t, find(t, s.read(delays.All), ledger.GCChange).Text, "no answer on the frame")
	})
}

// A phone without signal tells in the evening what broke in the morning. The plan of noon knew nothing of it.
func TestStatement_DamageToldLateIsTheCauseOfItsRemake(t *testing.T) {
	t.Parallel()
	eachStory(t, func(t *testing.T, s *story) {
		broke := s.clock.Now()
		s.later(time.Hour)
		s.issue()
		s.later(time.Hour)
		_, err := reporting.Submit(t.Context(), s.DB, reporting.Report{
			ClientID: "broken", TaskKey: "SC/B/glaze", Kind: models.ReportDamaged, At: broke, Item: pattern.Glass,
			Cause: "corner broken in the crate", Party: "supplier", Reporter: "Tam Osk",
		})
		require.NoError(t, err)
		remakes, err := models.Remakes(t.Context(), s.DB, s.Project.ID)
		require.NoError(t, err)
		require.Len(t, remakes, 1)
		promised := models.NewDate(2027, 1, 15)
		require.NoError(t, s.DB.Write(t.Context(), func(tx *models.Tx) error {
			return models.RecordMaterial(t.Context(), tx, models.MaterialNews{ItemID: &remakes[0].ID, Promised: &promised}, jobtest.Actor())
		}))
		s.later(time.Hour)
		s.issue()
		line := find(t, s.read(delays.All), ledger.Supplier)
		assert.Positive(t, line.Minutes)
		assert.Contains(t, line.Text, "damaged glass: corner broken in the crate")
	})
}
