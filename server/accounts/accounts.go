package accounts

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"jambwright/models"
)

// Failures stored for one account within the window stop further tries, from whatever address and process.
const (
	maxFailures   = 8
	failureWindow = 15 * time.Minute
)

// linkLife is how long a one-time link works.
const linkLife = 48 * time.Hour

// ErrWrong says that name and password do not belong together; it does not say which is wrong.
var ErrWrong = errors.New("name or password is not right")

// TooManyError says that too many tries failed; the next one makes sense after Wait.
type TooManyError struct{ Wait time.Duration }

// Error says how long to wait.
func (e *TooManyError) Error() string {
	return fmt.Sprintf("too many tries: the next one makes sense in %s", e.Wait.Round(time.Second))
}

// Service lets people in. It is safe for concurrent use.
type Service struct {
	db      *models.DB
	hasher  *hasher
	address *addressLimiter
}

// New makes the service on an open database.
func New(db *models.DB) (*Service, error) {
	h, err := newHasher()
	if err != nil {
		return nil, err
	}
	return &Service{db: db, hasher: h, address: newAddressLimiter(db.Now)}, nil
}

// SignIn finds the account that name and password belong to. The errors to tell people of are ErrWrong and
// *TooManyError.
func (s *Service) SignIn(ctx context.Context, name, password, address string) (*models.User, error) {
	if !s.address.allow(address) {
		return nil, &TooManyError{Wait: everyPerAddress}
	}
	failures, err := models.CountSignInFailures(ctx, s.db, name, s.db.Now().Add(-failureWindow))
	if err != nil {
		return nil, err
	}
	if failures >= maxFailures {
		return nil, &TooManyError{Wait: failureWindow}
	}
	user, err := models.UserByEmail(ctx, s.db, name)
	if err != nil && !errors.Is(err, models.ErrNotFound) {
		return nil, err
	}
	stored := ""
	if user != nil && user.Active {
		stored = user.PasswordHash
	}
	matches, err := s.hasher.matches(ctx, password, stored)
	if err != nil {
		return nil, err
	}
	if !matches || stored == "" {
		return nil, errors.Join(ErrWrong, s.db.Write(ctx, func(tx *models.Tx) error {
			return models.RecordSignInFailure(ctx, tx, name, address)
		}))
	}
	return user, s.db.Write(ctx, func(tx *models.Tx) error { return models.ForgetSignInFailures(ctx, tx, name) })
}

// NewAccount is what is needed to make an account. SignInName is what the person signs in with, usually an e-mail
// address.
type NewAccount struct {
	Name       string
	SignInName string
	Password   string // empty: the account waits for its invitation link
	Role       models.Role
	CrewID     *int64
	ProjectIDs []int64
}

// Create makes an account. actor is who does it, in words.
func (s *Service) Create(ctx context.Context, a NewAccount, actor string) (*models.User, error) {
	user, err := s.user(ctx, a)
	if err != nil {
		return nil, err
	}
	err = s.db.Write(ctx, func(tx *models.Tx) error {
		return models.CreateUser(ctx, tx, user, models.Actor{Name: actor})
	})
	return user, err
}

func (s *Service) user(ctx context.Context, a NewAccount) (*models.User, error) {
	user := &models.User{
		Name: strings.TrimSpace(a.Name), Email: a.SignInName, Role: a.Role, CrewID: a.CrewID, Active: true,
	}
	for _, id := range a.ProjectIDs {
		user.Projects = append(user.Projects, models.UserProject{ProjectID: id})
	}
	if a.Password == "" {
		return user, nil
	}
	hash, err := s.hasher.hash(ctx, a.Password)
	user.PasswordHash = hash
	return user, err
}

// FirstLink makes the one-time link for the first account; the token is "" when there is an account already.
func (s *Service) FirstLink(ctx context.Context) (token string, err error) {
	err = s.db.Write(ctx, func(tx *models.Tx) error {
		n, err := models.CountUsers(ctx, tx)
		if err != nil || n > 0 {
			return err
		}
		token, err = models.CreateLink(ctx, tx, &models.OneTimeLink{
			Purpose: models.LinkFirstAccount, ExpiresAt: tx.Now().Add(linkLife),
		})
		return err
	})
	return token, err
}

// Invite makes a one-time link by which the owner of an account chooses its password.
func (s *Service) Invite(ctx context.Context, userID int64) (token string, err error) {
	err = s.db.Write(ctx, func(tx *models.Tx) error {
		token, err = models.CreateLink(ctx, tx, &models.OneTimeLink{
			Purpose: models.LinkInvitation, UserID: &userID, ExpiresAt: tx.Now().Add(linkLife),
		})
		return err
	})
	return token, err
}

// Welcome is what the owner of a one-time link says.
type Welcome struct {
	Name     string // as others see it
	Password string

	// What the first account alone says.
	SignInName string
	Firm       string
	Units      models.Units
}

// AcceptFirst makes the first account, an operations manager, from its one-time link. It is models.ErrNotFound when the
// link has been used or has expired, or when another link has made the first account: every start without one prints a
// new link.
func (s *Service) AcceptFirst(ctx context.Context, token string, w Welcome) (*models.User, error) {
	user, err := s.user(ctx, NewAccount{
		Name: w.Name, SignInName: w.SignInName, Password: w.Password, Role: models.OperationsManager,
	})
	if err != nil {
		return nil, err
	}
	err = s.db.Write(ctx, func(tx *models.Tx) error {
		if _, err := models.UseLink(ctx, tx, token, models.LinkFirstAccount); err != nil {
			return err
		}
		if err := noAccountYet(ctx, tx); err != nil {
			return err
		}
		if err := models.CreateUser(ctx, tx, user, models.Actor{Name: "one-time link"}); err != nil {
			return err
		}
		settings, err := models.Settings(ctx, tx)
		if err != nil {
			return err
		}
		settings.Name = strings.TrimSpace(w.Firm)
		if w.Units == models.Metric {
			settings.Units = models.Metric
		}
		return models.SaveSettings(ctx, tx, settings, models.ActorOf(user))
	})
	return user, err
}

// noAccountYet is models.ErrNotFound once there is an account: the links of the first account then work no more.
func noAccountYet(ctx context.Context, r models.Reader) error {
	n, err := models.CountUsers(ctx, r)
	if err == nil && n > 0 {
		return fmt.Errorf("a link for the first account, where there are %d: %w", n, models.ErrNotFound)
	}
	return err
}

// AcceptInvitation sets the password of an invited account from its one-time link. It is models.ErrNotFound when the link
// works no more, or the account has been closed meanwhile.
func (s *Service) AcceptInvitation(ctx context.Context, token, password string) (*models.User, error) {
	hash, err := s.hasher.hash(ctx, password)
	if err != nil {
		return nil, err
	}
	var user *models.User
	err = s.db.Write(ctx, func(tx *models.Tx) error {
		link, err := models.UseLink(ctx, tx, token, models.LinkInvitation)
		if err != nil {
			return err
		}
		if user, err = models.UserByID(ctx, tx, *link.UserID); err != nil {
			return err
		}
		if !user.Active {
			return fmt.Errorf("an invitation to the closed account %s: %w", user.Email, models.ErrNotFound)
		}
		return models.SetPassword(ctx, tx, user.ID, hash, models.ActorOf(user))
	})
	return user, err
}

// Invited is the account that an invitation link belongs to, or nil for the link of the first account. It is
// models.ErrNotFound when the link works no more.
func (s *Service) Invited(ctx context.Context, token string) (*models.User, error) {
	_, err := models.PeekLink(ctx, s.db, token, models.LinkFirstAccount)
	if err == nil {
		return nil, noAccountYet(ctx, s.db)
	}
	if !errors.Is(err, models.ErrNotFound) {
		return nil, err
	}
	link, err := models.PeekLink(ctx, s.db, token, models.LinkInvitation)
	if err != nil {
		return nil, err
	}
	return models.UserByID(ctx, s.db, *link.UserID)
}
