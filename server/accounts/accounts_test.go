package accounts_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/server/accounts"
)

const (
	right = "four words and a door"
	wrong = "four words and a wall"
)

// each runs body on both databases with a service whose clock the test moves and one account, iris@example.test.
func each(t *testing.T, body func(t *testing.T, db *models.DB, s *accounts.Service, c *dbtest.Hand)) {
	t.Helper()
	dbtest.EachByHand(t, func(t *testing.T, db *models.DB, clock *dbtest.Hand) {
		s, err := accounts.New(db)
		require.NoError(t, err)
		_, err = s.Create(t.Context(), accounts.NewAccount{
			Name: "Iris Vale", SignInName: "iris@example.test", Password: right, Role: models.ProjectManager,
		}, "test")
		require.NoError(t, err)
		body(t, db, s, clock)
	})
}

func TestSignIn_TakesTheRightPasswordOnlyAndTellsNotWhatIsWrong(t *testing.T) {
	t.Parallel()
	each(t, func(t *testing.T, db *models.DB, s *accounts.Service, _ *dbtest.Hand) {
		ctx := t.Context()
		user, err := s.SignIn(ctx, " IRIS@example.test ", right, "192.0.2.1")
		require.NoError(t, err)
		assert.Equal(t, "Iris Vale", user.Name)

		_, wrongPassword := s.SignIn(ctx, "iris@example.test", wrong, "192.0.2.1")
		_, noSuchName := s.SignIn(ctx, "nobody@example.test", wrong, "192.0.2.1")
		require.ErrorIs(t, wrongPassword, accounts.ErrWrong)
		require.ErrorIs(t, noSuchName, accounts.ErrWrong)
		assert.Equal(t, wrongPassword.Error(), noSuchName.Error())

		for _, password := range []string{"", strings.Repeat("x", accounts.MaxPassword+1)} {
			_, err := s.SignIn(ctx, "iris@example.test", password, "192.0.2.1")
			require.ErrorIs(t, err, accounts.ErrWrong, "%d characters", len(password))
		}

		user.Active = false
		require.NoError(t, db.Write(ctx, func(tx *models.Tx) error {
			return models.UpdateUser(ctx, tx, user, models.Actor{Name: "test"})
		}))
		_, err = s.SignIn(ctx, "iris@example.test", right, "192.0.2.1")
		require.ErrorIs(t, err, accounts.ErrWrong, "a closed account")
	})
}

func TestSignIn_EightWrongTriesCloseTheAccountForAWhileFromEveryAddress(t *testing.T) {
	t.Parallel()
	each(t, func(t *testing.T, db *models.DB, s *accounts.Service, c *dbtest.Hand) {
		ctx := t.Context()
		for range 8 {
			_, err := s.SignIn(ctx, "iris@example.test", wrong, "192.0.2.1")
			require.ErrorIs(t, err, accounts.ErrWrong)
		}
		other, err := accounts.New(db) // another process, which has seen none of the tries
		require.NoError(t, err)
		var many *accounts.TooManyError
		_, err = other.SignIn(ctx, "iris@example.test", right, "192.0.2.2")
		require.ErrorAs(t, err, &many)
		assert.Positive(t, many.Wait)

		c.Later(many.Wait + time.Second)
		_, err = other.SignIn(ctx, "iris@example.test", right, "192.0.2.2")
		require.NoError(t, err)
		n, err := models.CountSignInFailures(ctx, db, "iris@example.test", time.Time{})
		require.NoError(t, err)
		assert.Zero(t, n, "a success forgets the failures")
	})
}

func TestSignIn_OneAddressMayNotTryManyAccounts(t *testing.T) {
	t.Parallel()
	each(t, func(t *testing.T, _ *models.DB, s *accounts.Service, c *dbtest.Hand) {
		ctx := t.Context()
		var many *accounts.TooManyError
		tries := 0
		for ; tries < 100; tries++ {
			_, err := s.SignIn(ctx, strings.Repeat("a", tries+1), "", "192.0.2.1")
			if !errors.Is(err, accounts.ErrWrong) {
				require.ErrorAs(t, err, &many)
				break
			}
		}
		assert.Equal(t, 10, tries, "a burst for people who mistype")
		_, err := s.SignIn(ctx, "iris@example.test", right, "192.0.2.1")
		require.ErrorAs(t, err, &many, "the right password from that address waits too")
		_, err = s.SignIn(ctx, "iris@example.test", right, "192.0.2.2")
		require.NoError(t, err, "another address does not")
		c.Later(many.Wait + time.Second)
		_, err = s.SignIn(ctx, "iris@example.test", right, "192.0.2.1")
		require.NoError(t, err)
	})
}

func TestCreate_RefusesAPasswordTooShortOrTooLong(t *testing.T) {
	t.Parallel()
	each(t, func(t *testing.T, db *models.DB, s *accounts.Service, _ *dbtest.Hand) {
		for _, password := range []string{"short", "ééééééééééé", strings.Repeat("x", 257)} {
			_, err := s.Create(t.Context(), accounts.NewAccount{
				Name: "Oren", SignInName: "oren@example.test", Password: password, Role: models.Foreman,
			}, "test")
			require.ErrorIs(t, err, accounts.ErrPasswordLength)
		}
		n, err := models.CountUsers(t.Context(), db)
		require.NoError(t, err)
		assert.Equal(t, 1, n)
		_, err = s.Create(t.Context(), accounts.NewAccount{
			Name: "Iris", SignInName: "Iris@Example.Test", Password: right, Role: models.Foreman,
		}, "test")
		require.ErrorIs(t, err, models.ErrDuplicate, "names to sign in with are told apart without case")
	})
}

func TestInvite_LetsTheOwnerChooseThePasswordOnce(t *testing.T) {
	t.Parallel()
	each(t, func(t *testing.T, _ *models.DB, s *accounts.Service, c *dbtest.Hand) {
		ctx := t.Context()
		oren, err := s.Create(ctx, accounts.NewAccount{Name: "Oren Pike", SignInName: "oren", Role: models.Foreman}, "test")
		require.NoError(t, err)
		_, err = s.SignIn(ctx, "oren", "", "192.0.2.1")
		require.ErrorIs(t, err, accounts.ErrWrong, "an account without a password lets nobody in")

		token, err := s.Invite(ctx, oren.ID)
		require.NoError(t, err)
		invited, err := s.Invited(ctx, token)
		require.NoError(t, err)
		assert.Equal(t, oren.ID, invited.ID)
		_, err = s.AcceptInvitation(ctx, token, "short")
		require.ErrorIs(t, err, accounts.ErrPasswordLength)
		_, err = s.AcceptFirst(ctx, token, accounts.Welcome{Name: "x", SignInName: "x", Password: right})
		require.ErrorIs(t, err, models.ErrNotFound, "an invitation makes no first account")

		_, err = s.AcceptInvitation(ctx, token, right)
		require.NoError(t, err)
		_, err = s.SignIn(ctx, "oren", right, "192.0.2.1")
		require.NoError(t, err)
		_, err = s.AcceptInvitation(ctx, token, wrong)
		require.ErrorIs(t, err, models.ErrNotFound, "used before")
		_, err = s.Invited(ctx, token)
		require.ErrorIs(t, err, models.ErrNotFound)

		late, err := s.Invite(ctx, oren.ID)
		require.NoError(t, err)
		c.Later(48 * time.Hour)
		_, err = s.AcceptInvitation(ctx, late, wrong)
		require.ErrorIs(t, err, models.ErrNotFound, "expired")
	})
}

func TestInvite_OfAnAccountClosedMeanwhileWorksNoMore(t *testing.T) {
	t.Parallel()
	each(t, func(t *testing.T, db *models.DB, s *accounts.Service, _ *dbtest.Hand) {
		ctx := t.Context()
		oren, err := s.Create(ctx, accounts.NewAccount{Name: "Oren Pike", SignInName: "oren", Role: models.Foreman}, "test")
		require.NoError(t, err)
		token, err := s.Invite(ctx, oren.ID)
		require.NoError(t, err)
		oren.Active = false
		require.NoError(t, db.Write(ctx, func(tx *models.Tx) error {
			return models.UpdateUser(ctx, tx, oren, models.Actor{Name: "test"})
		}))
		_, err = s.AcceptInvitation(ctx, token, right)
		require.ErrorIs(t, err, models.ErrNotFound)
		stored, err := models.UserByID(ctx, db, oren.ID)
		require.NoError(t, err)
		assert.Empty(t, stored.PasswordHash)
	})
}

func TestFirstLink_MakesOneAccountOnlyHoweverManyLinksWerePrinted(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx := t.Context()
		s, err := accounts.New(db)
		require.NoError(t, err)
		var tokens []string
		for range 2 { // the program was started twice before anybody followed the link
			token, err := s.FirstLink(ctx)
			require.NoError(t, err)
			require.NotEmpty(t, token)
			tokens = append(tokens, token)
		}
		invited, err := s.Invited(ctx, tokens[0])
		require.NoError(t, err)
		require.Nil(t, invited, "the first account has no owner yet")

		first := accounts.Welcome{
			Name: "Iris Vale", SignInName: "Iris@example.test", Password: right, Firm: " Marrow Openings ", Units: models.Metric,
		}
		user, err := s.AcceptFirst(ctx, tokens[1], first)
		require.NoError(t, err)
		assert.Equal(t, models.OperationsManager, user.Role)
		settings, err := models.Settings(ctx, db)
		require.NoError(t, err)
		assert.Equal(t, "Marrow Openings", settings.Name)
		assert.Equal(t, models.Metric, settings.Units)

		for _, token := range append(tokens, "made up") {
			_, err := s.AcceptFirst(ctx, token, accounts.Welcome{Name: "Other", SignInName: "other@example.test", Password: right})
			require.ErrorIs(t, err, models.ErrNotFound)
			_, err = s.Invited(ctx, token)
			require.ErrorIs(t, err, models.ErrNotFound)
		}
		n, err := models.CountUsers(ctx, db)
		require.NoError(t, err)
		assert.Equal(t, 1, n)
		token, err := s.FirstLink(ctx)
		require.NoError(t, err)
		assert.Empty(t, token, "where there is an account no link is made")
	})
}
