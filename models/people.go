package models

import (
	"context"
	"strings"
	"time"

	"gorm.io/gorm"
	"gorm.io/gorm/clause"
)

// CreateUser adds a user with the projects listed in it. Email is brought to lower case.
func CreateUser(ctx context.Context, tx *Tx, u *User, actor Actor) error {
	u.Email = normalizeEmail(u.Email)
	projects := u.Projects
	if err := create(ctx, tx, "user "+u.Email, u); err != nil {
		return err
	}
	for i := range projects {
		projects[i].UserID = u.ID
	}
	if err := createAll(ctx, tx, "projects of user "+u.Email, projects); err != nil {
		return err
	}
	return record(ctx, tx, actor, "create", subject{kind: "user", id: u.ID}, userDetail(u))
}

// UpdateUser changes name, role, crew, activity and projects of a user, if u still has the stored version.
func UpdateUser(ctx context.Context, tx *Tx, u *User, actor Actor) error {
	err := edit[User](ctx, tx, "user "+u.Email, u.ID, u.Version, map[string]any{
		"name": u.Name, "role": u.Role, "crew_id": u.CrewID, "active": u.Active,
	})
	if err != nil {
		return err
	}
	if err := tx.in(ctx).Where("user_id = ?", u.ID).Delete(&UserProject{}).Error; err != nil {
		return wrap(err, "change the projects of user %s", u.Email)
	}
	projects := make([]UserProject, 0, len(u.Projects))
	for _, p := range u.Projects {
		projects = append(projects, UserProject{UserID: u.ID, ProjectID: p.ProjectID})
	}
	if err := createAll(ctx, tx, "projects of user "+u.Email, projects); err != nil {
		return err
	}
	return record(ctx, tx, actor, "change", subject{kind: "user", id: u.ID}, userDetail(u))
}

// SetPassword stores the hash of a new password.
func SetPassword(ctx context.Context, tx *Tx, userID int64, hash string, actor Actor) error {
	result := tx.in(ctx).Model(&User{}).Where("id = ?", userID).
		Updates(map[string]any{"password_hash": hash, "version": gorm.Expr("version + 1"), "updated_at": tx.Now()})
	if result.Error == nil && result.RowsAffected == 0 {
		return wrap(ErrNotFound, "set the password of user %d", userID)
	}
	if result.Error != nil {
		return wrap(result.Error, "set the password of user %d", userID)
	}
	return record(ctx, tx, actor, "set password", subject{kind: "user", id: userID}, nil)
}

func userDetail(u *User) map[string]any {
	return map[string]any{"name": u.Name, "email": u.Email, "role": u.Role, "active": u.Active}
}

// UserByEmail finds the account that a person signs in to, with its projects.
func UserByEmail(ctx context.Context, r Reader, email string) (*User, error) {
	var u User
	err := r.in(ctx).Preload("Projects").Where("email = ?", normalizeEmail(email)).Take(&u).Error
	if err != nil {
		return nil, wrap(err, "find user %s", email)
	}
	return &u, nil
}

// UserByID finds a user with crew and projects.
func UserByID(ctx context.Context, r Reader, id int64) (*User, error) {
	var u User
	if err := r.in(ctx).Preload("Projects").Preload("Crew").Take(&u, id).Error; err != nil {
		return nil, wrap(err, "find user %d", id)
	}
	return &u, nil
}

// Users lists all users by name, with crew and projects.
func Users(ctx context.Context, r Reader) ([]User, error) {
	var users []User
	err := r.in(ctx).Preload("Projects").Preload("Crew").Order("name, id").Find(&users).Error
	return users, wrap(err, "list users")
}

// CountUsers counts all users, inactive ones too.
func CountUsers(ctx context.Context, r Reader) (int, error) {
	var n int64
	err := r.in(ctx).Model(&User{}).Count(&n).Error
	return int(n), wrap(err, "count users")
}

// RecordSignInFailure notes a failed attempt.
func RecordSignInFailure(ctx context.Context, tx *Tx, account, address string) error {
	return create(ctx, tx, "sign-in failure", &SignInFailure{Account: normalizeEmail(account), Address: address, At: tx.Now()})
}

// CountSignInFailures counts the failed attempts on an account since an instant.
func CountSignInFailures(ctx context.Context, r Reader, account string, since time.Time) (int, error) {
	var n int64
	err := r.in(ctx).Model(&SignInFailure{}).
		Where("account = ? AND at >= ?", normalizeEmail(account), Instant(since)).Count(&n).Error
	return int(n), wrap(err, "count sign-in failures of %s", account)
}

// CountSignInFailuresFrom counts the failed attempts from an address since an instant.
func CountSignInFailuresFrom(ctx context.Context, r Reader, address string, since time.Time) (int, error) {
	var n int64
	err := r.in(ctx).Model(&SignInFailure{}).Where("address = ? AND at >= ?", address, Instant(since)).Count(&n).Error
	return int(n), wrap(err, "count sign-in failures from %s", address)
}

// ForgetSignInFailures deletes the failed attempts on an account, after a success.
func ForgetSignInFailures(ctx context.Context, tx *Tx, account string) error {
	err := tx.in(ctx).Where("account = ?", normalizeEmail(account)).Delete(&SignInFailure{}).Error
	return wrap(err, "forget sign-in failures of %s", account)
}

// DeleteExpired removes sessions and links that have expired and sign-in failures older than a day.
func DeleteExpired(ctx context.Context, tx *Tx) error {
	now := tx.Now()
	for _, q := range []*gorm.DB{
		tx.in(ctx).Where("expires_at <= ?", now).Delete(&Session{}),
		tx.in(ctx).Where("expires_at <= ?", now).Delete(&OneTimeLink{}),
		tx.in(ctx).Where("at < ?", now.Add(-24*time.Hour)).Delete(&SignInFailure{}),
	} {
		if q.Error != nil {
			return wrap(q.Error, "delete what has expired")
		}
	}
	return nil
}

func normalizeEmail(email string) string { return strings.ToLower(strings.TrimSpace(email)) }

// lockForUpdate makes PostgreSQL hold a row until the transaction ends; SQLite's immediate transactions hold everything.
func lockForUpdate(g *gorm.DB) *gorm.DB {
	if g.Name() == string(SQLite) {
		return g
	}
	return g.Clauses(clause.Locking{Strength: "UPDATE"})
}
