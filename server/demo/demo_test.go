package demo_test

import (
	"log/slog"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/ledger"
	"jambwright/server"
	"jambwright/server/delays"
	"jambwright/server/demo"
	"jambwright/web"
)

// at is a Tuesday evening on site, the week before a holiday.
func at() time.Time { return time.Date(2026, 11, 17, 19, 30, 0, 0, time.FixedZone("CST", -6*3600)) }

func TestLoad_GivesThreePeopleAJobWithTroubleInIt(t *testing.T) {
	t.Parallel()
	dbtest.EachDSN(t, func(t *testing.T, dsn string) {
		ctx := t.Context()
		clock := demo.NewClock(at)
		db, err := models.Open(ctx, dsn, clock.Now)
		require.NoError(t, err)
		t.Cleanup(func() { require.NoError(t, db.Close()) })
		require.NoError(t, demo.Load(ctx, db, clock, slog.New(slog.DiscardHandler)))

		rows, err := models.ProjectRows(ctx, db)
		require.NoError(t, err)
		require.Len(t, rows, 1)
		require.GreaterOrEqual(t, rows[0].Openings, 160)
		require.Positive(t, rows[0].Held)

		nights, err := models.Nights(ctx, db, nil, 10)
		require.NoError(t, err)
		require.Len(t, nights, 1)
		require.Equal(t, models.NightOK, nights[0].Status, nights[0].Error)
		require.Greater(t, nights[0].Reports, 2, "today's reports and the bad day's two")
		require.Less(t, nights[0].Reports, 150, "not the whole past")
		require.Equal(t, 1, nights[0].Handovers)
		require.Positive(t, nights[0].Materials)
		require.Positive(t, nights[0].Moved)
		require.Positive(t, nights[0].DatesLate, "one GC date is at risk")

		statement, err := delays.Read(ctx, db, rows[0].ID, delays.All)
		require.NoError(t, err)
		causes := map[ledger.Cause]bool{}
		for i := range statement.Dates {
			require.Zero(t, statement.Dates[i].Untold(), "the causes of %s add up", statement.Dates[i].GCDate.Name)
			for k := range statement.Dates[i].Lines {
				causes[statement.Dates[i].Lines[k].Cause] = true
			}
		}
		require.GreaterOrEqual(t, len(causes), 3, "several parties move the dates")

		handovers, err := models.ReadHandoverBoard(ctx, db, rows[0].ID, nil)
		require.NoError(t, err)
		twice, early := 0, 0
		for i := range handovers.Handovers {
			story := handovers.Handovers[i].Story()
			if days, known := story.Outcome(); known && days < 0 {
				early++
			}
			if story.Slips() > 1 {
				twice++
			}
		}
		require.Positive(t, early, "a trade came early")
		require.Positive(t, twice, "a promise slipped twice")
		openings, err := models.ListOpenings(ctx, db, models.OpeningQuery{ProjectID: rows[0].ID})
		require.NoError(t, err)
		leaning := 0
		for i := range openings.Openings {
			for _, task := range openings.Openings[i].Tasks {
				if task.Held && task.HoldParty == "Partitions" && strings.Contains(task.HoldCause, `5/16" out of plumb, 1/8" allowed`) {
					leaning++
				}
			}
		}
		require.Equal(t, 1, leaning, "an opening is out of plumb, and its walls' trade is to put it right")

		book, err := models.ReadRateBook(ctx, db)
		require.NoError(t, err)
		learned := map[string]float64{}
		for _, e := range book.Experience {
			learned[string(e.Kind)+" "+e.Crew] = e.Learned.Factor
		}
		require.Greater(t, learned["frame "], 1.05, "framing takes more than the table says")
		require.Less(t, learned["frame Alder"], learned["frame Cedar"], "one crew is quicker than another")
		require.Contains(t, learned, "glaze ")
		require.Contains(t, learned, "hang ")

		summary, err := server.Summarize(ctx, db)
		require.NoError(t, err)
		require.Len(t, summary.Crews, 8)
		require.GreaterOrEqual(t, len(summary.Dates), 4)
		clear, waiting := 0, 0
		for _, crew := range summary.Crews {
			for _, task := range crew.Tasks {
				switch task.State {
				case web.StateClear:
					clear++
				case web.StateWaiting:
					waiting++
					require.NotEmpty(t, task.Why, "%s waits without a reason", task.Key)
				}
			}
		}
		require.Positive(t, clear)
		require.Positive(t, waiting)
		for _, d := range summary.Dates {
			require.NotNil(t, d.Forecast, "%s: %v", d.Name, d.Missing)
			require.NotEmpty(t, d.Chain, d.Name)
		}
	})
}
