package nightly

import (
	"context"
	"database/sql"
	"fmt"
	"log/slog"
	"time"

	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver"
	"github.com/riverqueue/river/riverdriver/riverdatabasesql"
	"github.com/riverqueue/river/riverdriver/riversqlite"

	"jambwright/models"
)

// A re-plan of a large firm takes a minute; a job that has run longer hangs. A job whose process was killed starts again
// once it has been running for longer than any job may.
const (
	jobTimeout  = 5 * time.Minute
	rescueAfter = 6 * time.Minute
	maxAttempts = 3
)

// Args name one night of one project. All its fields together are unique in the queue, finished jobs included.
type Args struct {
	ProjectID int64  `json:"project_id" river:"unique"`
	Night     string `json:"night" river:"unique"` // local date, as "2026-11-25"
	Asked     string `json:"asked" river:"unique"` // names a request by hand; empty for the timer, which runs once a night
	By        string `json:"by"`                   // who asked, in words; empty for the timer
}

// Kind names the job in the queue's tables.
func (Args) Kind() string { return "nightly_replan" }

// InsertOpts makes the job unique and bounds its tries.
func (Args) InsertOpts() river.InsertOpts {
	return river.InsertOpts{MaxAttempts: maxAttempts, UniqueOpts: river.UniqueOpts{ByArgs: true}}
}

// Replan is the use case that a job calls. It must call finish inside the transaction that saves the result, so that the
// result and the end of the job land together or not at all.
type Replan func(ctx context.Context, args Args, finish func(ctx context.Context, tx *models.Tx) error) error

// Queue is the job queue in the product's own database. A process that serves pages inserts into it; one that works
// also takes jobs from it.
type Queue struct {
	client *river.Client[*sql.Tx]
	db     *models.DB
}

// Other is work of another kind than nights, in a queue of its own so that it never holds up a night.
type Other struct {
	Queue string
	Add   func(*river.Workers) // adds its worker
}

// NewQueue opens the queue; its tables must have been migrated. With replan nil it only inserts, else it takes nights and
// the other work, one job of each kind at a time.
func NewQueue(db *models.DB, replan Replan, log *slog.Logger, others ...Other) (*Queue, error) {
	config := &river.Config{
		Logger:               log,
		JobTimeout:           jobTimeout,
		RescueStuckJobsAfter: rescueAfter,
		FetchPollInterval:    time.Second,
	}
	if replan != nil {
		workers := river.NewWorkers()
		river.AddWorker(workers, &worker{replan: replan})
		config.Workers = workers
		config.Queues = map[string]river.QueueConfig{river.QueueDefault: {MaxWorkers: 1}}
		for _, other := range others {
			other.Add(workers)
			config.Queues[other.Queue] = river.QueueConfig{MaxWorkers: 1}
		}
	}
	client, err := river.NewClient(driver(db), config)
	if err != nil {
		return nil, fmt.Errorf("open the job queue: %w", err)
	}
	return &Queue{client: client, db: db}, nil
}

func driver(db *models.DB) riverdriver.Driver[*sql.Tx] {
	if db.Dialect() == models.Postgres {
		return riverdatabasesql.New(db.SQL())
	}
	return riversqlite.New(db.SQL())
}

// Start begins to take jobs; ctx ends it.
func (q *Queue) Start(ctx context.Context) error {
	if err := q.client.Start(ctx); err != nil {
		return fmt.Errorf("start the job queue: %w", err)
	}
	return nil
}

// Stop lets the jobs under way finish, or ctx end.
func (q *Queue) Stop(ctx context.Context) error { return q.client.Stop(ctx) }

// Insert adds a night unless it is there already. added tells which.
func (q *Queue) Insert(ctx context.Context, args Args) (added bool, err error) {
	err = q.db.Write(ctx, func(tx *models.Tx) error {
		result, err := q.client.InsertTx(ctx, tx.SQL(), args, nil)
		if err != nil {
			return fmt.Errorf("insert the night of %s of project %d: %w", args.Night, args.ProjectID, err)
		}
		added = !result.UniqueSkippedAsDuplicate
		return nil
	})
	return added && err == nil, err
}

// InsertJob adds a job of another kind in the caller's transaction.
func (q *Queue) InsertJob(ctx context.Context, tx *models.Tx, args river.JobArgs) error {
	if _, err := q.client.InsertTx(ctx, tx.SQL(), args, nil); err != nil {
		return fmt.Errorf("insert a job of kind %s: %w", args.Kind(), err)
	}
	return nil
}

// worker runs a night's job.
type worker struct {
	river.WorkerDefaults[Args]
	replan Replan
}

// Work re-plans and ends the job in the transaction that saves the plan.
func (w *worker) Work(ctx context.Context, job *river.Job[Args]) error {
	return w.replan(ctx, job.Args, func(ctx context.Context, tx *models.Tx) error {
		_, err := river.JobCompleteTx[riverdriver.Driver[*sql.Tx]](ctx, tx.SQL(), job)
		return err
	})
}
