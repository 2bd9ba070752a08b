package models

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"time"

	"gorm.io/gorm"
	"gorm.io/gorm/clause"
)

// SessionStore keeps signed-in sessions in the sessions table, in the form that the session library asks for. What it
// stores is the hash of a token, so that a copy of the database lets nobody in.
type SessionStore struct{ db *DB }

// NewSessionStore makes the store.
func NewSessionStore(db *DB) *SessionStore { return &SessionStore{db: db} }

// FindCtx returns the data of a session that has not expired.
func (s *SessionStore) FindCtx(ctx context.Context, token string) (data []byte, found bool, err error) {
	var row Session
	err = s.db.in(ctx).Where("token_hash = ? AND expires_at > ?", hashToken(token), s.db.Now()).Take(&row).Error
	if errors.Is(err, gorm.ErrRecordNotFound) {
		return nil, false, nil
	}
	return row.Data, err == nil, wrap(err, "find a session")
}

// CommitCtx stores a session's data, new or changed.
func (s *SessionStore) CommitCtx(ctx context.Context, token string, data []byte, expiry time.Time) error {
	row := Session{TokenHash: hashToken(token), Data: data, ExpiresAt: Instant(expiry)}
	err := s.db.in(ctx).Clauses(clause.OnConflict{
		Columns: []clause.Column{{Name: "token_hash"}}, DoUpdates: clause.AssignmentColumns([]string{"data", "expires_at"}),
	}).Create(&row).Error
	return wrap(err, "store a session")
}

// DeleteCtx removes a session, if there is one.
func (s *SessionStore) DeleteCtx(ctx context.Context, token string) error {
	return wrap(s.db.in(ctx).Where("token_hash = ?", hashToken(token)).Delete(&Session{}).Error, "delete a session")
}

// Find is FindCtx without a context.
func (s *SessionStore) Find(token string) (data []byte, found bool, err error) {
	return s.FindCtx(context.Background(), token)
}

// Commit is CommitCtx without a context.
func (s *SessionStore) Commit(token string, data []byte, expiry time.Time) error {
	return s.CommitCtx(context.Background(), token, data, expiry)
}

// Delete is DeleteCtx without a context.
func (s *SessionStore) Delete(token string) error { return s.DeleteCtx(context.Background(), token) }

// hashToken is the stored form of a token. Tokens are long and random, so a plain hash is enough.
func hashToken(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

// newToken is a random name that nobody can guess.
func newToken() (string, error) {
	random := make([]byte, 32)
	if _, err := rand.Read(random); err != nil {
		return "", wrap(err, "make a token")
	}
	return base64.RawURLEncoding.EncodeToString(random), nil
}

// CreateLink stores a link and returns the token that goes into its address; the token cannot be read again.
func CreateLink(ctx context.Context, tx *Tx, link *OneTimeLink) (token string, err error) {
	if token, err = newToken(); err != nil {
		return "", err
	}
	link.TokenHash, link.ExpiresAt = hashToken(token), Instant(link.ExpiresAt)
	return token, create(ctx, tx, "link for "+string(link.Purpose), link)
}

// UseLink takes a link that works once: it is ErrNotFound when it is of another purpose, expired or used before.
func UseLink(ctx context.Context, tx *Tx, token string, purpose LinkPurpose) (*OneTimeLink, error) {
	var link OneTimeLink
	now := tx.Now()
	result := tx.in(ctx).Model(&OneTimeLink{}).
		Where("token_hash = ? AND purpose = ? AND used_at IS NULL AND expires_at > ?", hashToken(token), purpose, now).
		Update("used_at", now)
	if result.Error != nil {
		return nil, wrap(result.Error, "use a link")
	}
	if result.RowsAffected == 0 {
		return nil, wrap(ErrNotFound, "use a link for %s", purpose)
	}
	err := tx.in(ctx).Where("token_hash = ?", hashToken(token)).Take(&link).Error
	return &link, wrap(err, "use a link")
}

// PeekLink reads a link that still works, without using it: for the form that it opens and for guests, whose link works
// until it expires.
func PeekLink(ctx context.Context, r Reader, token string, purpose LinkPurpose) (*OneTimeLink, error) {
	var link OneTimeLink
	err := r.in(ctx).
		Where("token_hash = ? AND purpose = ? AND used_at IS NULL AND expires_at > ?", hashToken(token), purpose, r.Now()).
		Take(&link).Error
	if err != nil {
		return nil, wrap(err, "find a link for %s", purpose)
	}
	return &link, nil
}
