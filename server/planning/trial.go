package planning

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"jambwright/models"
)

// errTrialOver ends the transaction of a trial, so that nothing of it is kept.
var errTrialOver = errors.New("the trial is over")

// TryNews plans the firm as it would stand if record's changes were stored, and once more as it stands, both from the same
// instant, and compares the two: what differs is the work of the news alone, whatever else became known since the latest
// plan. record runs in a transaction that is undone.
//
// Before holds the plan without the news, News what record stored. The two plans are made side by side.
func TryNews(ctx context.Context, db *models.DB, record func(tx *models.Tx) error) (*Tried, error) {
	made, without := &Made{ReadAt: db.Now()}, &Made{ReadAt: db.Now()}
	before := &Before{From: made.ReadAt}
	err := db.Write(ctx, func(tx *models.Tx) (err error) {
		dataDate := made.ReadAt.Truncate(time.Minute)
		if without.Firm, err = models.Snapshot(ctx, tx, dataDate); err != nil {
			return err
		}
		if before.zones, err = zonesOf(ctx, tx); err != nil {
			return err
		}
		known, err := models.NewsBetween(ctx, tx, made.ReadAt.Add(-time.Minute), made.ReadAt.Add(time.Hour))
		if err != nil {
			return err
		}
		if err := record(tx); err != nil {
			return err
		}
		if made.Firm, err = models.Snapshot(ctx, tx, dataDate); err != nil {
			return err
		}
		after, err := models.NewsBetween(ctx, tx, made.ReadAt.Add(-time.Minute), made.ReadAt.Add(time.Hour))
		if err != nil {
			return err
		}
		before.News = newsBeside(after, known)
		return errTrialOver
	})
	if !errors.Is(err, errTrialOver) {
		return nil, fmt.Errorf("try news: %w", err)
	}
	if err := errors.Join(sideBySide(
		func() error { return without.compute(ctx, db, Options{}) },
		func() error { return made.compute(ctx, db, Options{}) },
	)...); err != nil {
		return nil, err
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
