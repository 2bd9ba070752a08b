package models_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/length"
	"jambwright/scheduler/takeoff"
)

func TestBeginProject_MakesSiteCalendarAndAFreeCode(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		begin := func(n models.NewProject) (p *models.Project, err error) {
			err = db.Write(t.Context(), func(tx *models.Tx) error {
				p, err = models.BeginProject(t.Context(), tx, n, console)
				return err
			})
			return p, err
		}
		first, err := begin(models.NewProject{Name: "North Court", Zone: "America/Denver"})
		require.NoError(t, err)
		assert.Equal(t, "NC", first.Code)
		second, err := begin(models.NewProject{Name: "Near Corner"})
		require.NoError(t, err)
		assert.Equal(t, "NC2", second.Code)
		assert.Equal(t, "America/Denver", second.Zone, "the firm's, which the first project set")
		_, err = begin(models.NewProject{Name: "Other", Code: "NC"})
		require.ErrorIs(t, err, models.ErrDuplicate)
		_, err = begin(models.NewProject{Name: "Other", Zone: "Mars/North"})
		require.ErrorContains(t, err, "Mars/North")

		found, err := models.ProjectByName(t.Context(), db, "near corner")
		require.NoError(t, err)
		assert.Equal(t, second.ID, found.ID)
		rows, err := models.Projects(t.Context(), db)
		require.NoError(t, err)
		assert.Len(t, rows, 2)
	})
}

func TestSaveGCDates_ChangesByNameAndRemoves(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		due := models.NewDate(2026, 12, 22)
		write(t, db, func(tx *models.Tx) error {
			return models.SaveGCDates(t.Context(), tx, j.project.ID, []models.GCDateInput{
				{Name: "LEVEL 1  ready", Area: &models.AreaName{Level: "Level 1"}, Kind: takeoff.Punch, Due: due},
				{Name: "All done", Due: due.AddDays(30)},
			}, console)
		})
		rows, err := models.GCDates(t.Context(), db, j.project.ID)
		require.NoError(t, err)
		require.Len(t, rows, 2)
		assert.Equal(t, "L1-ready", rows[0].Code, "the code never changes")
		assert.Equal(t, due, rows[0].Due)
		assert.Equal(t, "All-done", rows[1].Code)
		assert.Nil(t, rows[1].AreaID)
		write(t, db, func(tx *models.Tx) error {
			return models.RemoveGCDates(t.Context(), tx, j.project.ID, []int64{rows[0].ID}, console)
		})
		assert.Len(t, j.firm().Projects[0].GCDates, 1)
	})
}

func TestSaveOpenings_ChangesByMarkAndKeepsWhatWasMeasured(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		width, height := 71*length.Inch, 95*length.Inch
		j.report("NC/101/frame", models.FieldReport{ClientID: "a", Kind: models.ReportMeasured, Width: &width, Height: &height})
		row := j.openings[0]
		row.ID, row.Items, row.Width, row.Room = 0, nil, 80*length.Inch, "Board room"
		write(t, db, func(tx *models.Tx) error {
			return models.SaveOpenings(t.Context(), tx, j.project.ID, []models.OpeningInput{{Row: row, Area: models.AreaName{Level: "Level 1", Zone: "East"}}}, console)
		})
		rows, err := models.OpeningsOf(t.Context(), db, j.project.ID)
		require.NoError(t, err)
		require.Len(t, rows, 3)
		assert.Equal(t, 80*length.Inch, rows[0].Width)
		assert.Equal(t, "Board room", rows[0].Room)
		assert.Equal(t, width, rows[0].MeasuredWidth)
		assert.Len(t, rows[0].Items, 4)
	})
}

func TestRemoveHandovers_LetsNoTaskWaitForThem(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.inForce()
		write(t, db, func(tx *models.Tx) error {
			return models.RemoveHandovers(t.Context(), tx, j.project.ID, []int64{j.walls.ID}, console)
		})
		j.inForce()
		assert.NotContains(t, missingKeys(j.work(models.WorkQuery{})["NC/101/frame"]), "NC/L1/walls_boarded")
	})
}

func TestKeptForms_BelongToOnePersonUntilTheyExpire(t *testing.T) {
	t.Parallel()
	now := dbtest.Now
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		u := addUser(t, db, "iris@example.test")
		var token string
		write(t, db, func(tx *models.Tx) (err error) {
			token, err = models.Keep(t.Context(), tx, &models.KeptForm{
				Purpose: models.KeptImport, UserID: u.ID, Body: []byte("rows"), ExpiresAt: now.Add(time.Hour),
			})
			return err
		})
		form, err := models.Kept(t.Context(), db, token, models.KeptImport, u.ID)
		require.NoError(t, err)
		assert.Equal(t, "rows", string(form.Body))
		_, err = models.Kept(t.Context(), db, token, models.KeptImport, u.ID+1)
		require.ErrorIs(t, err, models.ErrNotFound)
		_, err = models.Kept(t.Context(), db, token, models.KeptMove, u.ID)
		require.ErrorIs(t, err, models.ErrNotFound)
		write(t, db, func(tx *models.Tx) error { return models.DropKept(t.Context(), tx, token) })
		_, err = models.Kept(t.Context(), db, token, models.KeptImport, u.ID)
		require.ErrorIs(t, err, models.ErrNotFound)
	})
}

func TestPeople_PasswordsFailuresAndExpiry(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		u := addUser(t, db, "iris@example.test")
		ctx := t.Context()
		var guest string
		j := newJob(t, db)
		write(t, db, func(tx *models.Tx) (err error) {
			if err := models.SetPassword(ctx, tx, u.ID, "hash", models.ActorOf(u)); err != nil {
				return err
			}
			require.ErrorIs(t, models.SetPassword(ctx, tx, 999, "hash", console), models.ErrNotFound)
			require.NoError(t, models.RecordSignInFailure(ctx, tx, "iris@example.test", "192.0.2.7"))
			guest, err = models.CreateLink(ctx, tx, &models.OneTimeLink{Purpose: models.LinkGuest, ProjectID: &j.project.ID, ExpiresAt: dbtest.Now.Add(time.Hour)})
			return err
		})
		stored, err := models.UserByID(ctx, db, u.ID)
		require.NoError(t, err)
		assert.Equal(t, "hash", stored.PasswordHash)
		users, err := models.Users(ctx, db)
		require.NoError(t, err)
		assert.Len(t, users, 1)
		n, err := models.CountUsers(ctx, db)
		require.NoError(t, err)
		assert.Equal(t, 1, n)

		for range 2 { // a guest's link works until it expires
			link, err := models.PeekLink(ctx, db, guest, models.LinkGuest)
			require.NoError(t, err)
			assert.Equal(t, j.project.ID, *link.ProjectID)
		}
		failures, err := models.CountSignInFailuresFrom(ctx, db, "192.0.2.7", dbtest.Now)
		require.NoError(t, err)
		assert.Equal(t, 1, failures)
		require.NoError(t, models.NewSessionStore(db).Commit("old", []byte("x"), dbtest.Now))
		write(t, db, func(tx *models.Tx) error { return models.DeleteExpired(ctx, tx) })
		var sessions int
		require.NoError(t, db.SQL().QueryRowContext(ctx, "SELECT count(*) FROM sessions").Scan(&sessions))
		assert.Zero(t, sessions)
		write(t, db, func(tx *models.Tx) error { return models.ForgetSignInFailures(ctx, tx, "IRIS@example.test") })
		failures, err = models.CountSignInFailures(ctx, db, "iris@example.test", time.Time{})
		require.NoError(t, err)
		assert.Zero(t, failures)
		trail, err := models.AuditTrail(ctx, db, nil, 1000)
		require.NoError(t, err)
		assert.NotEmpty(t, trail)
	})
}
