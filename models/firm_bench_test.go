package models_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
)

// Reading the firm for the planner and keeping its plan, by number of openings.
func BenchmarkFirm(b *testing.B) {
	for _, openings := range []int{100, 1_000} {
		j := newJob(b, dbtest.SQLite(b, dbtest.Clock))
		j.addMany(openings - len(j.openings))
		p := j.build()
		b.Run(fmt.Sprintf("snapshot/openings=%d", openings), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, err := models.Snapshot(b.Context(), j.db, dbtest.Now)
				require.NoError(b, err)
			}
		})
		b.Run(fmt.Sprintf("save/tasks=%d", len(p.Tasks)), func(b *testing.B) {
			b.ReportAllocs()
			plan := anyPlan(p, 0)
			for b.Loop() {
				write(b, j.db, func(tx *models.Tx) error {
					_, err := models.SavePlan(b.Context(), tx, models.PlanToSave{Problem: p, Plan: plan, Because: models.MadeByPerson, Actor: console})
					return err
				})
			}
		})
	}
}
