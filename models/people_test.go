package models_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
)

var console = models.Actor{Name: "console"}

func write(t testing.TB, db *models.DB, work func(tx *models.Tx) error) {
	t.Helper()
	require.NoError(t, db.Write(t.Context(), work))
}

func addUser(t *testing.T, db *models.DB, email string) *models.User {
	t.Helper()
	u := &models.User{Name: "Iris Tarn", Email: email, Role: models.OperationsManager, Active: true}
	write(t, db, func(tx *models.Tx) error { return models.CreateUser(t.Context(), tx, u, console) })
	return u
}

func TestUsers_AreFoundByEmailInAnyCase(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		made := addUser(t, db, " Iris@Example.test ")
		found, err := models.UserByEmail(t.Context(), db, "IRIS@example.TEST")
		require.NoError(t, err)
		assert.Equal(t, made.ID, found.ID)
		assert.Equal(t, dbtest.Now, found.CreatedAt)
		assert.EqualValues(t, 1, found.Version)

		_, err = models.UserByEmail(t.Context(), db, "nobody@example.test")
		require.ErrorIs(t, err, models.ErrNotFound)

		entries, err := models.AuditOf(t.Context(), db, "user", made.ID, 10)
		require.NoError(t, err)
		require.Len(t, entries, 1)
		assert.Equal(t, "console", entries[0].Actor)
		assert.Equal(t, "iris@example.test", entries[0].Detail.V["email"])
	})
}

func TestUsers_RefuseTheSameEmailTwice(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		addUser(t, db, "iris@example.test")
		err := db.Write(t.Context(), func(tx *models.Tx) error {
			u := &models.User{Name: "Other", Email: "IRIS@example.test", Role: models.Foreman}
			return models.CreateUser(t.Context(), tx, u, console)
		})
		require.ErrorIs(t, err, models.ErrDuplicate)
		assert.ErrorContains(t, err, "iris@example.test")
	})
}

func TestUsers_RefuseAnUnknownRole(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		err := db.Write(t.Context(), func(tx *models.Tx) error {
			return models.CreateUser(t.Context(), tx, &models.User{Name: "X", Email: "x", Role: "king"}, console)
		})
		require.ErrorIs(t, err, models.ErrRefused)
	})
}

func TestUpdateUser_RefusesAStaleVersionAndShowsTheStoredRow(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		mine := addUser(t, db, "iris@example.test")
		theirs := *mine
		theirs.Name = "Iris Tarn-Osk"
		write(t, db, func(tx *models.Tx) error { return models.UpdateUser(t.Context(), tx, &theirs, console) })

		mine.Name = "I. Tarn"
		err := db.Write(t.Context(), func(tx *models.Tx) error { return models.UpdateUser(t.Context(), tx, mine, console) })
		var stale *models.ErrStale
		require.ErrorAs(t, err, &stale)
		assert.EqualValues(t, 1, stale.Read)
		assert.EqualValues(t, 2, stale.Version)
		assert.Equal(t, "Iris Tarn-Osk", stale.Current.(*models.User).Name)
	})
}

func TestSessions_AreFoundByTokenUntilTheyExpire(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		store := models.NewSessionStore(db)
		require.NoError(t, store.Commit("token", []byte("one"), dbtest.Now.Add(time.Hour)))
		require.NoError(t, store.Commit("token", []byte("two"), dbtest.Now.Add(time.Hour)))
		require.NoError(t, store.Commit("old", []byte("x"), dbtest.Now))

		data, found, err := store.Find("token")
		require.NoError(t, err)
		assert.True(t, found)
		assert.Equal(t, "two", string(data))
		_, found, err = store.Find("old")
		require.NoError(t, err)
		assert.False(t, found, "expired at this instant")

		var stored int
		require.NoError(t, db.SQL().QueryRowContext(t.Context(), "SELECT count(*) FROM sessions WHERE token_hash = 'token'").Scan(&stored))
		assert.Zero(t, stored, "the token itself must not be stored")

		require.NoError(t, store.Delete("token"))
		require.NoError(t, store.Delete("token"), "deleting what is gone is no fault")
		_, found, err = store.Find("token")
		require.NoError(t, err)
		assert.False(t, found)
	})
}

func TestLinks_WorkOnceForTheirPurposeUntilTheyExpire(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		var token, expired string
		write(t, db, func(tx *models.Tx) (err error) {
			token, err = models.CreateLink(t.Context(), tx, &models.OneTimeLink{
				Purpose: models.LinkFirstAccount, ExpiresAt: dbtest.Now.Add(time.Hour),
			})
			require.NoError(t, err)
			expired, err = models.CreateLink(t.Context(), tx, &models.OneTimeLink{
				Purpose: models.LinkFirstAccount, ExpiresAt: dbtest.Now,
			})
			return err
		})
		use := func(token string, purpose models.LinkPurpose) error {
			return db.Write(t.Context(), func(tx *models.Tx) error {
				_, err := models.UseLink(t.Context(), tx, token, purpose)
				return err
			})
		}
		require.ErrorIs(t, use(token, models.LinkPassword), models.ErrNotFound)
		require.ErrorIs(t, use(expired, models.LinkFirstAccount), models.ErrNotFound)
		require.NoError(t, use(token, models.LinkFirstAccount))
		require.ErrorIs(t, use(token, models.LinkFirstAccount), models.ErrNotFound)
	})
}

func TestSignInFailures_AreCountedByAccountSinceAnInstant(t *testing.T) {
	t.Parallel()
	now := dbtest.Now
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		for range 2 {
			write(t, db, func(tx *models.Tx) error {
				return models.RecordSignInFailure(t.Context(), tx, "Iris", "192.0.2.7")
			})
		}
		n, err := models.CountSignInFailures(t.Context(), db, "iris", now)
		require.NoError(t, err)
		assert.Equal(t, 2, n)
		n, err = models.CountSignInFailures(t.Context(), db, "iris", now.Add(time.Microsecond))
		require.NoError(t, err)
		assert.Zero(t, n)
	})
}
