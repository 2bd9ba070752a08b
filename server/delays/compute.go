package delays

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"time"

	"jambwright/models"
	"jambwright/scheduler/ledger"
)

// computeTime bounds how long the missing windows of one project may take.
const computeTime = 4 * time.Minute

// Service computes what is missing of ledgers, one project at a time, and remembers what is under way.
type Service struct {
	db  *models.DB
	log *slog.Logger

	mu    sync.Mutex
	tasks map[int64]*task // by project
}

// task is a computation under way.
type task struct {
	done chan struct{}
	err  error
}

// NewService makes the service.
func NewService(db *models.DB, log *slog.Logger) *Service {
	return &Service{db: db, log: log, tasks: map[int64]*task{}}
}

// Ensure computes the windows of a project that have not been computed, and waits for that until ctx ends. It reports whether
// all are there; a computation that takes longer goes on without the caller.
func (s *Service) Ensure(ctx context.Context, projectID int64) (bool, error) {
	t := s.start(ctx, projectID)
	select {
	case <-t.done:
		return t.err == nil, t.err
	case <-ctx.Done():
		return false, nil
	}
}

// Begin computes what is missing of a project in the background.
func (s *Service) Begin(ctx context.Context, projectID int64) { s.start(ctx, projectID) }

// start begins a computation, or joins the one under way.
func (s *Service) start(ctx context.Context, projectID int64) *task {
	s.mu.Lock()
	defer s.mu.Unlock()
	if t := s.tasks[projectID]; t != nil {
		return t
	}
	t := &task{done: make(chan struct{})}
	s.tasks[projectID] = t
	go func() {
		own, cancel := context.WithTimeout(context.WithoutCancel(ctx), computeTime)
		defer cancel()
		t.err = Complete(own, s.db, projectID)
		if t.err != nil {
			s.log.Error("delay ledger", "project", projectID, "error", t.err)
		}
		s.mu.Lock()
		delete(s.tasks, projectID)
		s.mu.Unlock()
		close(t.done)
	}()
	return t
}

// Complete computes and stores every window of a project that is not stored, oldest first, each in a transaction of its own.
func Complete(ctx context.Context, db *models.DB, projectID int64) error {
	windows, err := Windows(ctx, db, projectID)
	if err != nil || len(windows) == 0 {
		return err
	}
	stored, err := models.LedgersOf(ctx, db, projectID)
	if err != nil {
		return err
	}
	have := map[[2]int64]bool{}
	for _, w := range stored {
		have[[2]int64{w.FromPlanID, w.ToPlanID}] = true
	}
	for i := range windows {
		w := &windows[i]
		if have[[2]int64{w.From.ID, w.To.ID}] {
			continue
		}
		if err := computeOne(ctx, db, projectID, w); err != nil {
			return fmt.Errorf("the ledger from plan %d to plan %d: %w", w.From.ID, w.To.ID, err)
		}
	}
	latest := windows[len(windows)-1].To.ID
	return db.Write(ctx, func(tx *models.Tx) error { return models.DropStaleLedgers(ctx, tx, projectID, latest) })
}

// computeOne computes one window and stores it. Another process that was faster has stored the same.
func computeOne(ctx context.Context, db *models.DB, projectID int64, w *Window) error {
	r, err := readRecords(ctx, db, projectID, w)
	if err != nil {
		return err
	}
	result, err := ledger.Compute(ctx, r.input())
	if err != nil {
		return err
	}
	toSave := r.rows(result)
	err = db.Write(ctx, func(tx *models.Tx) error { return models.SaveLedger(ctx, tx, toSave) })
	if errors.Is(err, models.ErrDuplicate) {
		return nil
	}
	return err
}
