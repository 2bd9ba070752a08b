package planning

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"jambwright/models"
	"jambwright/scheduler/problem"
)

// TryNews plans the firm as if the news that record stores were known, and once more as it stands, both from the same
// instant, and compares the two: what differs is the work of the news alone, whatever else became known since the latest
// plan. Nothing is saved. The two plans are made side by side; Before holds the one without the news.
func TryNews(ctx context.Context, db *models.DB, record func(ctx context.Context, tx *models.Tx) error) (*Tried, error) {
	return tryBeside(ctx, db, record)
}

// TryLimits plans as TryNews does, for a change of what a site takes in and stores. What its limits hold or let go, and what
// follows that, has because as its cause; what else moves is the crews' order.
func TryLimits(ctx context.Context, db *models.DB, store func(ctx context.Context, tx *models.Tx) error, because string) (*Tried, error) {
	tried, err := tryBeside(ctx, db, store)
	if err != nil {
		return nil, err
	}
	tried.Before.revised, tried.Before.because = limited(tried.Before.problem, tried.Problem), because
	tried.Changes = Differences(tried.Made, tried.Before)
	return tried, nil
}

// TryAlone plans as TryNews does, for a revision: what it is about, and what follows that, has its cause, in the words of the news
// that it stores where there are any.
func TryAlone(ctx context.Context, db *models.DB, r Revision) (*Tried, error) {
	tried, err := tryBeside(ctx, db, r.Store)
	if err != nil {
		return nil, err
	}
	told := map[string]bool{}
	for _, e := range eventsOf(tried.Before.News, tried.Index) {
		told[e.Task] = true
	}
	about := append(revised(tried.Before, tried.Made), r.Tasks...)
	tried.Before.revised = slices.DeleteFunc(about, func(key string) bool { return told[key] })
	tried.Before.because = r.Cause
	tried.Changes = Differences(tried.Made, tried.Before)
	return tried, nil
}

func tryBeside(ctx context.Context, db *models.DB, store func(ctx context.Context, tx *models.Tx) error) (*Tried, error) {
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
		if err := store(ctx, tx); err != nil {
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
		return nil, fmt.Errorf("plan with and without a change: %w", err)
	}
	before.Plan, before.problem = without.Plan, without.Problem
	return &Tried{Made: made, Before: before, Changes: Differences(made, before)}, nil
}

// limited lists the unfinished tasks that the limits of two problems hold otherwise: they use other limits or one of another
// capacity, or wait for other work, as deliveries do for room to be stored in.
func limited(before, after *problem.Problem) (keys []string) {
	uses, capacity := map[string]map[string]int{}, map[string]int{}
	for i := range before.Tasks {
		uses[before.Tasks[i].ID] = before.Tasks[i].Uses
	}
	for _, l := range before.Limits {
		capacity[l.ID] = l.Capacity
	}
	was, is := linkSet(before), linkSet(after)
	waits := map[string]bool{} // for other work than before
	for _, link := range slices.Concat(before.Links, after.Links) {
		waits[link.To] = waits[link.To] || was[link] != is[link]
	}
	changed := map[string]bool{}
	for _, l := range after.Limits {
		changed[l.ID] = l.Capacity != capacity[l.ID]
	}
	for i := range after.Tasks {
		t := &after.Tasks[i]
		held := waits[t.ID] || !maps.Equal(uses[t.ID], t.Uses)
		for limit := range t.Uses {
			held = held || changed[limit]
		}
		if held && !t.IsFinished() {
			keys = append(keys, t.ID)
		}
	}
	return keys
}

func linkSet(p *problem.Problem) map[problem.Link]bool {
	set := make(map[problem.Link]bool, len(p.Links))
	for _, link := range p.Links {
		set[link] = true
	}
	return set
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
