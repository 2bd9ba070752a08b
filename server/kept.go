package server

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"jambwright/models"
)

// keptFor is how long a tried change or a read sheet waits to be confirmed.
const keptFor = 2 * time.Hour

// keepTried stores what a person tried, as JSON, until it is confirmed, and returns the token that names it. about is what else is to
// be known of it, nil for nothing.
func (s *Server) keepTried(ctx context.Context, p *person, purpose models.KeptPurpose, tried any, about map[string]string) (token string, err error) {
	body, err := json.Marshal(tried)
	if err != nil {
		return "", fmt.Errorf("keep a tried %s: %w", purpose, err)
	}
	err = s.db.Write(ctx, func(tx *models.Tx) error {
		token, err = models.Keep(ctx, tx, &models.KeptForm{
			Purpose: purpose, UserID: p.user.ID, Body: body, ExpiresAt: tx.Now().Add(keptFor), About: models.JSON[map[string]string]{V: about},
		})
		return err
	})
	return token, err
}

// readTried reads what a person tried into a value, with what else is known of it. gone is what to tell when it is no longer there.
func (s *Server) readTried(ctx context.Context, p *person, purpose models.KeptPurpose, token, gone string, into any) (about map[string]string, err error) {
	kept, err := models.Kept(ctx, s.db, token, purpose, p.user.ID)
	if isNotFound(err) {
		return nil, notFound(gone)
	}
	if err != nil {
		return nil, err
	}
	if err := json.Unmarshal(kept.Body, into); err != nil {
		return nil, fmt.Errorf("read a tried %s: %w", purpose, err)
	}
	return kept.About.V, nil
}
