package nightly

import (
	"context"
	"fmt"
	"log/slog"
	"sync"
	"time"

	"github.com/robfig/cron/v3"
)

// catchUpEvery is how often the timer looks for nights that no entry reached and for projects whose hour has changed.
const catchUpEvery = "@every 15m"

// Due is a project as the timer sees it.
type Due struct {
	ProjectID int64
	Schedule  Schedule
	Since     time.Time // when the project was made; nights before it are not missed
	LastNight string    // local date of the newest night that ran or failed for good; empty for none
}

// Projects lists the projects that are planned every night.
type Projects func(ctx context.Context) ([]Due, error)

// Inserter is the queue as the timer needs it.
type Inserter interface {
	Insert(ctx context.Context, args Args) (added bool, err error)
}

// Timer holds a cron entry for each project. Every process runs one; the queue keeps the jobs unique.
type Timer struct {
	cron     *cron.Cron
	projects Projects
	queue    Inserter
	now      func() time.Time
	log      *slog.Logger

	mu      sync.Mutex
	entries map[int64]entry
}

type entry struct {
	id   cron.EntryID
	spec string
}

// NewTimer makes a timer; Start runs it.
func NewTimer(projects Projects, queue Inserter, now func() time.Time, log *slog.Logger) *Timer {
	return &Timer{
		cron: cron.New(), projects: projects, queue: queue, now: now, log: log,
		entries: map[int64]entry{},
	}
}

// Start runs the nights that were missed, sets the entries and keeps both up until ctx ends.
func (t *Timer) Start(ctx context.Context) error {
	if err := t.CatchUp(ctx); err != nil {
		return err
	}
	if _, err := t.cron.AddFunc(catchUpEvery, func() { t.logged(t.CatchUp(ctx)) }); err != nil {
		return fmt.Errorf("set the catch-up: %w", err)
	}
	t.cron.Start()
	go func() {
		<-ctx.Done()
		t.cron.Stop()
	}()
	return nil
}

// CatchUp inserts the latest night of each project that is due and neither ran nor failed for good, and brings the cron
// entries up to date. Of several missed nights only the latest runs: one re-plan reads all that came in.
func (t *Timer) CatchUp(ctx context.Context) error {
	t.mu.Lock()
	defer t.mu.Unlock()
	projects, err := t.projects(ctx)
	if err != nil {
		return fmt.Errorf("list the projects that are planned every night: %w", err)
	}
	now := t.now()
	seen := map[int64]bool{}
	for _, p := range projects {
		seen[p.ProjectID] = true
		if night, at := p.Schedule.LastDue(now); p.LastNight < night && at.After(p.Since) {
			if err := t.insert(ctx, p.ProjectID, night); err != nil {
				return err
			}
		}
		if err := t.set(ctx, p); err != nil {
			return err
		}
	}
	for id, e := range t.entries {
		if !seen[id] {
			t.cron.Remove(e.id)
			delete(t.entries, id)
		}
	}
	return nil
}

// set makes the project's cron entry, anew when its hour has changed.
func (t *Timer) set(ctx context.Context, p Due) error {
	spec := p.Schedule.CronSpec()
	old, there := t.entries[p.ProjectID]
	if there && old.spec == spec {
		return nil
	}
	id, err := t.cron.AddFunc(spec, func() {
		night, _ := p.Schedule.LastDue(t.now())
		t.logged(t.insert(ctx, p.ProjectID, night))
	})
	if err != nil {
		return fmt.Errorf("set the night of project %d at %q: %w", p.ProjectID, spec, err)
	}
	if there {
		t.cron.Remove(old.id)
	}
	t.entries[p.ProjectID] = entry{id: id, spec: spec}
	return nil
}

func (t *Timer) insert(ctx context.Context, projectID int64, night string) error {
	added, err := t.queue.Insert(ctx, Args{ProjectID: projectID, Night: night})
	if err != nil {
		return err
	}
	if added {
		t.log.Info("night queued", "project", projectID, "night", night)
	}
	return nil
}

func (t *Timer) logged(err error) {
	if err != nil {
		t.log.Error("the nightly timer", "error", err)
	}
}
