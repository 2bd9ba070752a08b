package models

import (
	"context"
	"time"
)

// KeptPurpose is what a kept form waits for.
type KeptPurpose string

// The purposes.
const (
	KeptImport KeptPurpose = "import" // a sheet that was read and not yet applied
	KeptMove   KeptPurpose = "move"   // a move that was tried and not yet accepted
	// KeptHandover is news of a handover that was tried and not yet recorded.
	KeptHandover KeptPurpose = "handover"
	KeptReport   KeptPurpose = "report" // of damage or a hold, tried and not yet sent
)

// KeptForm is what a person sent and has yet to confirm. It lies in the database, so that any replica can go on with it;
// its token is stored as a hash only.
type KeptForm struct {
	TokenHash string `gorm:"primaryKey"`
	Purpose   KeptPurpose
	UserID    int64
	About     JSON[map[string]string] // what the body is, by the caller's own names
	Body      []byte
	ExpiresAt time.Time
}

// Keep stores a form for its person until it expires and returns the token that names it.
func Keep(ctx context.Context, tx *Tx, form *KeptForm) (token string, err error) {
	if err := tx.in(ctx).Where("expires_at <= ?", tx.Now()).Delete(&KeptForm{}).Error; err != nil {
		return "", wrap(err, "delete expired forms")
	}
	token, err = newToken()
	if err != nil {
		return "", err
	}
	form.TokenHash, form.ExpiresAt = hashToken(token), Instant(form.ExpiresAt)
	return token, create(ctx, tx, "kept form", form)
}

// Kept reads a kept form of a person; it is ErrNotFound when it has expired, was dropped or belongs to someone else.
func Kept(ctx context.Context, r Reader, token string, purpose KeptPurpose, userID int64) (*KeptForm, error) {
	var form KeptForm
	err := r.in(ctx).Where("token_hash = ? AND purpose = ? AND user_id = ? AND expires_at > ?",
		hashToken(token), purpose, userID, r.Now()).Take(&form).Error
	if err != nil {
		return nil, wrap(err, "find a kept form for %s", purpose)
	}
	return &form, nil
}

// DropKept removes a kept form, if it is there.
func DropKept(ctx context.Context, tx *Tx, token string) error {
	return wrap(tx.in(ctx).Where("token_hash = ?", hashToken(token)).Delete(&KeptForm{}).Error, "drop a kept form")
}
