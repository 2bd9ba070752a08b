package reporting_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/server/jobtest"
	"jambwright/server/reporting"
)

// An hour before the clock of the tests' databases.
func hourAgo() time.Time { return dbtest.Now.Add(-time.Hour) }

func number(n int) *int                   { return &n }
func size(l length.Length) *length.Length { return &l }
func submit(t *testing.T, j *jobtest.Job, r reporting.Report) (already bool) {
	t.Helper()
	already, err := reporting.Submit(t.Context(), j.DB, r)
	require.NoError(t, err)
	return already
}

// faults are the fields that a refused report was refused for.
func faults(t *testing.T, j *jobtest.Job, r reporting.Report) []string {
	t.Helper()
	_, err := reporting.Submit(t.Context(), j.DB, r)
	var refused reporting.Faults
	require.ErrorAs(t, err, &refused)
	var fields []string
	for _, f := range refused {
		fields = append(fields, f.Field)
		assert.Contains(t, refused.Error(), f.Message)
	}
	return fields
}

func TestSubmit_EachKindChangesWhatItSpeaksOf(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		j.Plan()
		until := dbtest.Now.AddDate(0, 0, 3)
		at := hourAgo()
		of := func(task string, kind models.ReportKind) reporting.Report {
			return reporting.Report{ClientID: task + string(kind), TaskKey: task, Kind: kind, At: at, Reporter: "Tam Osk"}
		}
		const frame = "SC/A/frame"

		require.False(t, submit(t, j, of(frame, models.ReportStart)))
		require.NotNil(t, j.Task(frame).StartedAt)
		assert.True(t, at.Equal(*j.Task(frame).StartedAt))

		part := of(frame, models.ReportPartDone)
		part.At, part.Remaining = at.Add(10*time.Minute), number(90)
		submit(t, j, part)
		assert.Equal(t, 90, *j.Task(frame).RemainingMinutes)

		hours := of(frame, models.ReportHours)
		hours.Labour = number(135)
		submit(t, j, hours)
		assert.Equal(t, 135, j.Task(frame).LabourReported)

		hold := of(frame, models.ReportHold)
		hold.At, hold.Cause, hold.Party, hold.Until = at.Add(20*time.Minute), "  wall out of plumb ", "other trade", &until
		submit(t, j, hold)
		held := j.Task(frame)
		assert.True(t, held.Held)
		assert.Equal(t, "wall out of plumb", held.HoldCause)
		assert.True(t, until.Equal(*held.HeldUntil))

		lifted := of(frame, models.ReportReleaseHold)
		lifted.At = at.Add(30 * time.Minute)
		submit(t, j, lifted)
		assert.False(t, j.Task(frame).Held)

		measured := of(frame, models.ReportMeasured)
		measured.Width, measured.Height = size(36*length.Inch), size(84*length.Inch)
		submit(t, j, measured)
		openings, err := models.OpeningsOf(t.Context(), db, j.Project.ID)
		require.NoError(t, err)
		require.Equal(t, "A", openings[0].Mark)
		assert.Equal(t, 36*length.Inch, openings[0].MeasuredWidth)

		punch := of(frame, models.ReportPunch)
		punch.Note = "scratch on the head"
		submit(t, j, punch)

		damaged := of(frame, models.ReportDamaged)
		damaged.Item, damaged.Cause = pattern.FrameKit, "bent in the dock"
		submit(t, j, damaged)

		done := of(frame, models.ReportDone)
		done.At = at.Add(40 * time.Minute)
		submit(t, j, done)
		finished := j.Task(frame)
		require.NotNil(t, finished.FinishedAt)
		assert.Nil(t, finished.RemainingMinutes)
		reports, err := models.ReportsOf(t.Context(), db, finished.ID)
		require.NoError(t, err)
		assert.Len(t, reports, 9)
	})
}

func TestSubmit_AReportSentTwiceCountsOnceWhateverCameAfterIt(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		j.Plan()
		start := reporting.Report{ClientID: "one", TaskKey: "SC/A/frame", Kind: models.ReportStart, At: hourAgo(), Reporter: "Tam Osk"}
		done := start
		done.ClientID, done.Kind, done.At = "two", models.ReportDone, hourAgo().Add(30*time.Minute)
		assert.False(t, submit(t, j, start))
		assert.False(t, submit(t, j, done))
		assert.True(t, submit(t, j, start), "its answer was lost; the work has been done since")
		assert.True(t, submit(t, j, done))
		assert.Equal(t, 2, j.Count("field_reports"))
	})
}

func TestSubmit_SaysAllThatIsWrongAtOnceAndKeepsNothing(t *testing.T) {
	t.Parallel()
	j := jobtest.Load(t, dbtest.SQLite(t, dbtest.Clock))
	j.Plan()
	assert.Equal(t, []string{"report_id", "task", "date", "hours", "cause", "kind"}, faults(t, j, reporting.Report{
		Labour: number(-1), Cause: strings.Repeat("x", 1001), Kind: "guess",
	}))
	good := reporting.Report{ClientID: "a", TaskKey: "SC/A/frame", At: hourAgo(), Reporter: "Tam Osk"}
	before := hourAgo().Add(-time.Hour)
	for name, c := range map[string]struct {
		edit func(r *reporting.Report)
		want string
	}{
		"the future":               {func(r *reporting.Report) { r.Kind, r.At = models.ReportStart, dbtest.Now.Add(11*time.Minute) }, "date"},
		"years ago":                {func(r *reporting.Report) { r.Kind, r.At = models.ReportStart, dbtest.Now.AddDate(-2, 0, 0) }, "date"},
		"part done of what":        {func(r *reporting.Report) { r.Kind = models.ReportPartDone }, "remaining"},
		"more than two weeks left": {func(r *reporting.Report) { r.Kind, r.Remaining = models.ReportPartDone, number(6001) }, "remaining"},
		"no hours":                 {func(r *reporting.Report) { r.Kind = models.ReportHours }, "hours"},
		"a hold without a cause":   {func(r *reporting.Report) { r.Kind, r.Cause = models.ReportHold, " " }, "cause"},
		"an answer before the question": {func(r *reporting.Report) {
			r.Kind, r.Cause, r.Until = models.ReportHold, "no power", &before
		}, "expected"},
		"damage to nothing":  {func(r *reporting.Report) { r.Kind = models.ReportDamaged }, "item"},
		"damage to no item":  {func(r *reporting.Report) { r.Kind, r.Item = models.ReportDamaged, "ladder" }, "item"},
		"a size of one side": {func(r *reporting.Report) { r.Kind, r.Width = models.ReportMeasured, size(36*length.Inch) }, "height"},
		"damage to many":     {func(r *reporting.Report) { r.TaskKey, r.Kind, r.Item = shared(j), models.ReportDamaged, pattern.Glass }, "kind"},
		"a size of many": {func(r *reporting.Report) {
			r.TaskKey, r.Kind, r.Width, r.Height = shared(j), models.ReportMeasured, size(length.Foot), size(length.Foot)
		}, "kind"},
	} {
		r := good
		c.edit(&r)
		assert.Equal(t, []string{c.want}, faults(t, j, r), name)
	}
	assert.Zero(t, j.Count("field_reports"))
	_, err := reporting.Submit(t.Context(), j.DB, reporting.Report{ClientID: "b", TaskKey: "SC/Z/frame", Kind: models.ReportStart, At: hourAgo()})
	require.ErrorIs(t, err, models.ErrNotFound)
}

// shared is the key of a survey of several openings.
func shared(j *jobtest.Job) string { return "SC/L1/survey" }

func TestSubmit_RefusesWhatContradictsTheWorkDone(t *testing.T) {
	t.Parallel()
	j := jobtest.Load(t, dbtest.SQLite(t, dbtest.Clock))
	j.Plan()
	denver, err := time.LoadLocation(jobtest.Zone)
	require.NoError(t, err)
	r := reporting.Report{ClientID: "a", TaskKey: "SC/A/frame", Kind: models.ReportStart, At: hourAgo().In(denver), Reporter: "Tam Osk"}
	submit(t, j, r)

	early := r
	early.ClientID, early.Kind, early.At = "b", models.ReportDone, r.At.Add(-time.Minute)
	_, err = reporting.Submit(t.Context(), j.DB, early)
	require.ErrorContains(t, err, "it was started on Wed 25 Nov 11:00 MST", "in the zone of the one who reports")

	done := r
	done.ClientID, done.Kind, done.At = "c", models.ReportDone, r.At.Add(time.Minute)
	submit(t, j, done)
	again := r
	again.ClientID, again.At = "d", r.At.Add(2*time.Minute)
	assert.Equal(t, []string{"kind"}, faults(t, j, again))
}

// A foreman and the manager may both report the same order done; the first one's date stands.
func TestSubmit_WorkReportedDoneTwiceKeepsItsFirstDate(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		j.Plan()
		releases, err := models.Releases(t.Context(), db, j.Project.ID)
		require.NoError(t, err)
		require.NotEmpty(t, releases)
		order := string(pattern.OrderTask(j.Project.Code, releases[0].Code))
		for i, id := range []string{"first", "second"} {
			submit(t, j, reporting.Report{
				ClientID: id, TaskKey: order, Kind: models.ReportDone, At: hourAgo().Add(time.Duration(i) * time.Minute), Reporter: "Tam Osk",
			})
		}
		releases, err = models.Releases(t.Context(), db, j.Project.ID)
		require.NoError(t, err)
		require.NotNil(t, releases[0].OrderedAt)
		assert.True(t, hourAgo().Equal(*releases[0].OrderedAt), releases[0].OrderedAt)
		assert.Equal(t, 1, j.Count("material_changes"))
	})
}
