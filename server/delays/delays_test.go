package delays_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/ledger"
	"jambwright/server/delays"
	"jambwright/server/jobtest"
	"jambwright/server/planning"
	"jambwright/server/reporting"
)

// story is the small job on a clock of its own.
type story struct {
	*jobtest.Job
	t     *testing.T
	clock *dbtest.Hand
}

// eachStory runs a test on both databases.
func eachStory(t *testing.T, test func(t *testing.T, s *story)) {
	t.Helper()
	dbtest.EachByHand(t, func(t *testing.T, db *models.DB, clock *dbtest.Hand) {
		test(t, &story{Job: jobtest.Load(t, db), t: t, clock: clock})
	})
}

// later moves the clock on.
func (s *story) later(d time.Duration) { s.clock.Later(d) }

// zone is that of the job's site.
func (s *story) zone() *time.Location {
	s.t.Helper()
	zone, err := time.LoadLocation(jobtest.Zone)
	require.NoError(s.t, err)
	return zone
}

// issue plans and issues.
func (s *story) issue() *models.Plan {
	s.t.Helper()
	row := s.Plan()
	require.NoError(s.t, planning.Issue(s.t.Context(), s.DB, row.ID, []int64{s.Project.ID}, jobtest.Actor()))
	return row
}

// slipWalls moves the forecast of the job's only handover, which the framing waits for.
func (s *story) slipWalls(to models.Date) {
	s.t.Helper()
	ctx := s.t.Context()
	handovers, err := models.Handovers(ctx, s.DB, s.Project.ID)
	require.NoError(s.t, err)
	h := handovers[0]
	require.NoError(s.t, s.DB.Write(ctx, func(tx *models.Tx) error {
		return models.RecordHandoverChange(ctx, tx, h.ID, h.Version, models.HandoverNews{
			Promised: h.Promised, Forecast: &to, Cause: "studs late", Source: "site walk",
		}, jobtest.Actor())
	}))
}

func (s *story) read(run string) *delays.Statement {
	s.t.Helper()
	require.NoError(s.t, delays.Complete(s.t.Context(), s.DB, s.Project.ID))
	statement, err := delays.Read(s.t.Context(), s.DB, s.Project.ID, run)
	require.NoError(s.t, err)
	for i := range statement.Dates {
		d := &statement.Dates[i]
		if d.Measured() {
			require.Zero(s.t, d.Untold(), "the lines of %s add up", d.GCDate.Name)
			require.Equal(s.t, int(d.After.Sub(*d.Before)/time.Minute), d.Moved)
		}
	}
	return statement
}

// find is the first line of a cause.
func find(t *testing.T, s *delays.Statement, cause ledger.Cause) *delays.Line {
	t.Helper()
	for i := range s.Dates {
		for k := range s.Dates[i].Lines {
			if s.Dates[i].Lines[k].Cause == cause {
				return &s.Dates[i].Lines[k]
			}
		}
	}
	t.Fatalf("no line of cause %s in %+v", cause, s.Dates)
	return nil
}

func TestStatement_NamesTheHandoverThatMovedTheDateWithItsRecord(t *testing.T) {
	t.Parallel()
	eachStory(t, func(t *testing.T, s *story) {
		s.issue()
		s.later(time.Hour)
		s.slipWalls(models.NewDate(2027, 1, 15))
		s.later(time.Hour)
		s.issue()

		statement := s.read(delays.All)
		require.Len(t, statement.Dates, 1)
		line := find(t, statement, ledger.OtherTrade)
		assert.Equal(t, statement.Dates[0].Moved, line.Minutes, "nothing else moved it")
		assert.Greater(t, line.Minutes, 14*24*60)
		assert.Equal(t, "Partitions", line.Party)
		assert.Equal(t, "walls boarded on Level 1: forecast date Fri 15 Jan", line.Text)
		require.Len(t, line.Evidence, 1)
		assert.Equal(t, models.EvidenceHandover, line.Evidence[0].Kind)
		assert.NotNil(t, line.Evidence[0].HandoverID)
		assert.Equal(t, delays.Proposal{Excusable: true, Compensable: true, Known: true}, line.Standing())
		assert.False(t, statement.Running)
	})
}

func TestStatement_RunsWithTheDraftUntilThatIsIssuedAndDropsOvertakenOnes(t *testing.T) {
	t.Parallel()
	eachStory(t, func(t *testing.T, s *story) {
		assert.Empty(t, s.read(delays.All).Windows, "nothing is issued")
		s.issue()
		assert.Empty(t, s.read(delays.All).Windows, "nothing follows yet")
		s.later(time.Hour)
		s.slipWalls(models.NewDate(2027, 1, 15))
		s.later(time.Hour)
		s.Plan()
		first := s.read(delays.All)
		assert.True(t, first.Running)
		key := find(t, first, ledger.OtherTrade).Key

		s.later(time.Hour)
		s.Plan()
		second := s.read(delays.All)
		assert.Equal(t, key, find(t, second, ledger.OtherTrade).Key, "the event keeps its name from draft to draft")
		assert.Equal(t, 1, s.Count("ledger_windows"), "the overtaken draft's ledger is dropped")
	})
}

func TestStatement_WindowsJoinAndAConfirmationHoldsInAll(t *testing.T) {
	t.Parallel()
	eachStory(t, func(t *testing.T, s *story) {
		ctx := t.Context()
		s.issue()
		s.later(time.Hour)
		s.slipWalls(models.NewDate(2027, 1, 15))
		s.later(time.Hour)
		s.issue()
		one := s.read(delays.All)
		line := find(t, one, ledger.OtherTrade)
		confirm := &models.LedgerConfirmation{GCDateID: one.Dates[0].GCDate.ID, LineKey: line.Key, Party: "Partitions Ltd", Excusable: true, Note: "told on site"}
		require.NoError(t, s.DB.Write(ctx, func(tx *models.Tx) error {
			require.ErrorIs(t, delays.MayConfirm(ctx, tx, s.Project.ID, confirm.GCDateID, "no such line"), models.ErrNotFound)
			require.NoError(t, delays.MayConfirm(ctx, tx, s.Project.ID, confirm.GCDateID, line.Key))
			return models.Confirm(ctx, tx, s.Project.ID, confirm, jobtest.Actor())
		}))

		s.later(time.Hour)
		_, err := reporting.Submit(ctx, s.DB, reporting.Report{
			ClientID: "r", TaskKey: "SC/A/punch", Kind: models.ReportHold, At: s.clock.Now(), Cause: "no answer on hardware",
			Party: "general contractor", Until: new(time.Date(2027, 3, 1, 12, 0, 0, 0, time.UTC)), Reporter: "Tam Osk",
		})
		require.NoError(t, err)
		s.later(time.Hour)
		s.issue()

		all := s.read(delays.All)
		require.Len(t, all.Windows, 2)
		assert.Equal(t, one.Dates[0].Before, all.Dates[0].Before)
		again := find(t, all, ledger.OtherTrade)
		require.NotNil(t, again.Confirmed)
		assert.Equal(t, "Partitions Ltd", again.Confirmed.Party)
		assert.Equal(t, again.Minutes, all.Dates[0].ExcusableMin)
		assert.Zero(t, all.Dates[0].PayableMin)
		held := find(t, all, ledger.GCChange)
		assert.Positive(t, held.Minutes)
		assert.Contains(t, held.Text, "no answer on hardware")

		last := s.read(all.Windows[1].Run())
		assert.Equal(t, all.Dates[0].Moved-one.Dates[0].Moved, last.Dates[0].Moved)
	})
}

// Nobody said a word, and the day passed on which the plan counted on the walls.
func TestStatement_AHandoverThatDidNotComeIsTheTradesWithoutAnyReport(t *testing.T) {
	t.Parallel()
	eachStory(t, func(t *testing.T, s *story) {
		s.issue()
		s.later(40 * 24 * time.Hour)
		s.issue()
		line := find(t, s.read(delays.All), ledger.OtherTrade)
		assert.Positive(t, line.Minutes)
		assert.Equal(t, models.NewDate(2026, 11, 30), models.DateIn(line.At, s.zone()), "the day promised")
		assert.Equal(t, "walls boarded on Level 1: now counted on for Tue 5 Jan 2027, the plan in force counted on Mon 30 Nov 2026", line.Text)
		assert.Empty(t, line.Evidence)
	})
}

func TestStatement_WorkThatNobodyBeganIsOurs(t *testing.T) {
	t.Parallel()
	eachStory(t, func(t *testing.T, s *story) {
		s.issue()
		s.later(6 * 24 * time.Hour)
		ctx := t.Context()
		handovers, err := models.Handovers(ctx, s.DB, s.Project.ID)
		require.NoError(t, err)
		h, came := handovers[0], models.NewDate(2026, 11, 30)
		require.NoError(t, s.DB.Write(ctx, func(tx *models.Tx) error {
			return models.RecordHandoverChange(ctx, tx, h.ID, h.Version, models.HandoverNews{Promised: h.Promised, Actual: &came, Source: "site walk"}, jobtest.Actor())
		}))
		s.later(34 * 24 * time.Hour)
		s.issue()
		statement := s.read(delays.All)
		line := find(t, statement, ledger.OwnWork)
		assert.Equal(t, statement.Dates[0].Moved, line.Minutes)
		assert.Equal(t, ledger.Progress, line.Kind)
		require.NotEmpty(t, line.Evidence, "it says which work")
		assert.Contains(t, line.Evidence[0].Text, "not reported begun")
	})
}

func TestComplete_ComputesAWindowOnce(t *testing.T) {
	t.Parallel()
	eachStory(t, func(t *testing.T, s *story) {
		s.issue()
		s.later(time.Hour)
		s.slipWalls(models.NewDate(2027, 1, 15))
		s.later(time.Hour)
		s.issue()
		service := delays.NewService(s.DB, quiet())
		for range 3 {
			ready, err := service.Ensure(t.Context(), s.Project.ID)
			require.NoError(t, err)
			assert.True(t, ready)
		}
		assert.Equal(t, 1, s.Count("ledger_windows"))
	})
}

func TestNotices_AreDueByTheCalendarAndWarnAWeekBefore(t *testing.T) {
	t.Parallel()
	eachStory(t, func(t *testing.T, s *story) {
		ctx := t.Context()
		ten := 10
		require.NoError(t, s.DB.Write(ctx, func(tx *models.Tx) error {
			return models.SaveTerms(ctx, tx, &models.DelayTerms{ProjectID: s.Project.ID, TradeDays: &ten, FloatOwner: models.FloatFirstUse}, jobtest.Actor())
		}))
		s.issue()
		s.later(time.Hour)
		s.slipWalls(models.NewDate(2027, 1, 15)) // Wednesday 25 November on site
		s.later(time.Hour)
		s.issue()
		notice := func() *delays.Notice { return find(t, s.read(delays.All), ledger.OtherTrade).Notice }
		warned := func() int {
			list, err := delays.Warnings(ctx, s.DB, nil)
			require.NoError(t, err)
			return len(list)
		}
		require.Equal(t, models.NewDate(2026, 12, 5), notice().Deadline)
		assert.Equal(t, delays.NoticeOpen, notice().State)
		assert.Zero(t, warned())
		s.later(3 * 24 * time.Hour)
		assert.Equal(t, delays.NoticeDueSoon, notice().State)
		assert.Equal(t, "due Sat 5 Dec 2026, in 7 days", notice().Words())
		assert.Equal(t, 1, warned())
		s.later(8 * 24 * time.Hour)
		assert.Equal(t, delays.NoticeOverdue, notice().State)
		assert.Equal(t, "overdue by 1 day, it was due Sat 5 Dec 2026", notice().Words())
		none, err := delays.Warnings(ctx, s.DB, []int64{})
		require.NoError(t, err)
		assert.Empty(t, none, "of the projects that the reader has")

		key := find(t, s.read(delays.All), ledger.OtherTrade).Key
		require.NoError(t, s.DB.Write(ctx, func(tx *models.Tx) error {
			require.ErrorIs(t, delays.MaySend(ctx, tx, s.Project.ID, key, models.NewDate(2026, 12, 24)), delays.ErrNotYet)
			require.NoError(t, delays.MaySend(ctx, tx, s.Project.ID, key, models.NewDate(2026, 12, 6)))
			return models.SendNotice(ctx, tx, &models.DelayNotice{ProjectID: s.Project.ID, LineKey: key, SentOn: models.NewDate(2026, 12, 6), Reference: "L-12"}, jobtest.Actor())
		}))
		assert.Equal(t, delays.NoticeLate, notice().State)
		assert.Equal(t, "sent Sun 6 Dec 2026, after it was due Sat 5 Dec 2026, reference L-12", notice().Words())
		assert.Zero(t, warned())
	})
}

// What the contract says of float and pacing changes words only.
func TestTerms_ChangeWhatIsSaidAndNothingThatIsMeasured(t *testing.T) {
	t.Parallel()
	d := &delays.DateLedger{Moved: 3 * 24 * 60, LatenessAdded: 24 * 60}
	span := func(minutes int) string { return time.Duration(minutes * int(time.Minute)).String() }
	seen := map[string]bool{}
	for _, owner := range []models.FloatOwner{models.FloatFirstUse, models.FloatOfGC, models.FloatOurs} {
		text := delays.FloatWords(&models.DelayTerms{FloatOwner: owner}, d, span)
		assert.Contains(t, text, "48h0m0s of it used days that the date had to spare, 24h0m0s make it late")
		seen[text] = true
	}
	assert.Len(t, seen, 3)
	own := &delays.Line{Cause: ledger.OwnWork, Alone: 60, Concurrent: []string{"walls"}}
	assert.Contains(t, delays.PacingWords(&models.DelayTerms{Pacing: true}, own), "recognises pacing")
	assert.Contains(t, delays.PacingWords(&models.DelayTerms{}, own), "does not recognise it")
	own.Minutes = 60
	assert.Empty(t, delays.PacingWords(&models.DelayTerms{Pacing: true}, own), "it moved the date itself")
}
