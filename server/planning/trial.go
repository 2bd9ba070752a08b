package planning

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"jambwright/models"
)

// TryNews plans the firm as if the news that record stores were known, and once more as it stands, both from the same
// instant, and compares the two: what differs is the work of the news alone, whatever else became known since the latest
// plan. Nothing is saved. The two plans are made side by side; Before holds the one without the news.
func TryNews(ctx context.Context, db *models.DB, record func(ctx context.Context, tx *models.Tx) error) (*Tried, error) {
	var made, without *Made
	at := db.Now()
	before := &Before{From: at}
	collect := func(ctx context.Context, tx *models.Tx) (err error) {
		if before.locales, err = localesOf(ctx, tx); err != nil {
			return err
		}
		known, err := models.NewsBetween(ctx, tx, at.Add(-time.Minute), at.Add(time.Hour))
		if err != nil {
			return err
		}
		if err := record(ctx, tx); err != nil {
			return err
		}
		after, err := models.NewsBetween(ctx, tx, at.Add(-time.Minute), at.Add(time.Hour))
		before.News = newsBeside(after, known)
		return err
	}
	err := errors.Join(sideBySide(
		func() (err error) { without, err = Make(ctx, db, Options{DataDate: at}); return err },
		func() (err error) { made, err = Make(ctx, db, Options{DataDate: at, Trial: collect}); return err },
	)...)
	if err != nil {
		return nil, fmt.Errorf("try news: %w", err)
	}
	before.Plan = without.Plan
	return &Tried{Made: made, Before: before, Changes: Differences(made, before)}, nil
}

// sideBySide runs work at the same time and returns its errors in order.
func sideBySide(work ...func() error) []error {
	errs, done := make([]error, len(work)), make(chan struct{})
	for i := range work {
		go func() {
			defer func() { done <- struct{}{} }()
			errs[i] = work[i]()
		}()
	}
	for range work {
		<-done
	}
	return errs
}

// newsBeside are the news that are not among the known ones.
func newsBeside(all, known []models.News) []models.News {
	return slices.DeleteFunc(all, func(n models.News) bool {
		return slices.ContainsFunc(known, func(k models.News) bool { return sameNews(&n, &k) })
	})
}

// sameNews reports whether two pieces of news are one stored row.
func sameNews(a, b *models.News) bool {
	switch {
	case a.Handover != nil && b.Handover != nil:
		return a.Handover.ID == b.Handover.ID
	case a.Report != nil && b.Report != nil:
		return a.Report.ID == b.Report.ID
	case a.Material != nil && b.Material != nil:
		return a.Material.ID == b.Material.ID
	}
	return false
}
