// Package played plays an invented job forward through the use cases that pages and the queue call, day by day, on stored firms.
//
//	morning: what comes, what is ordered ─> day: crews work by the issued plan, in a truth of their own ─> evening: reports
//	   ^                                                                                                        │
//	   └───────── issue <── what must hold every night is asserted <── night: re-plan, forecast, ledger <───────┘
//
// The truth (hours, lead times, handovers, broken panes) is drawn here and known to nobody else; the firm learns of it by reports.
// What the core does with such a play is asserted on many jobs in package forecast; here it is that nothing is lost between the
// pages, the database and the core.
package played_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models/dbtest"
	"jambwright/scheduler/problem"
)

// truths are those that are played: in the third one others break panes after dates had come.
var truths = []uint64{0, 5, 12, 21}

// rescued are those of them that are played a second time, with moves put in force.
var rescued = []uint64{5, 21}

// adoptedOn is the night on which moves are put in force.
const adoptedOn = 10

// Whole jobs, thirty to fifty nights each, with everything asserted every night (see night). At the end the bands are held against
// what came, and moves that were put in force in the middle against the same truth without them.
func TestPlayed_AStoredFirmKeepsItsPromisesNightByNight(t *testing.T) {
	t.Parallel()
	worlds := map[uint64]*world{}
	for _, seed := range truths {
		worlds[seed] = playSQLite(t, seed, nil)
	}
	assertShares(t, worlds)
	promised, won := 0.0, 0.0
	for _, seed := range rescued {
		date, days := "", 0.0
		with := playSQLite(t, seed, func(w *world) { date, days = w.recover() })
		sooner := with.finish(date)
		wins := worlds[seed].finish(date).Sub(sooner).Hours() / 24
		assert.Positive(t, wins, "truth %d", seed)
		promised, won = promised+days, won+wins
	}
	// What was promised is of a plan; the truth has other hours, material and walls. Package forecast asserts a third on 48 jobs.
	assert.InDelta(t, 1, won/promised, 0.5, "%.1f days promised, %.1f won", promised, won)
}

// playSQLite plays a job until all is done.
func playSQLite(t *testing.T, seed uint64, tonight func(w *world)) *world {
	t.Helper()
	clock := &dbtest.Hand{}
	w := newWorld(t, dbtest.SQLite(t, clock.Now), clock, seed)
	w.play(60, tonight)
	require.True(t, w.isDone(), "truth %d", seed)
	assert.Positive(t, w.waits, "changes that wait for the news of other work")
	w.assertLearned()
	return w
}

// play plays days with their nights until all is done, at most so many. In the second half nights issue their plans by themselves.
func (w *world) play(most int, tonight func(w *world)) {
	w.t.Helper()
	for w.nights < most && !w.isDone() {
		w.next()
		w.day()
		w.nights++
		byItself := w.nights >= most/2
		if byItself && !w.Project.AutoIssue {
			w.autoIssue()
		}
		does := func(*world) {}
		if w.nights == adoptedOn && tonight != nil {
			does = tonight
		}
		w.night(!byItself, does)
	}
}

// finish is when the last work of a GC date was done.
func (w *world) finish(date string) time.Time {
	w.t.Helper()
	i := slices.IndexFunc(w.doc.GCDates, func(d problem.GCDate) bool { return d.ID == date })
	require.GreaterOrEqual(w.t, i, 0, date)
	came, all := w.came(w.doc.GCDates[i].Tasks)
	require.True(w.t, all, date)
	return came
}

// Ten nights on the other database: the same play, the same assertions.
func TestPlayed_TenNightsOnPostgreSQL(t *testing.T) {
	t.Parallel()
	clock := &dbtest.Hand{}
	w := newWorld(t, dbtest.Postgres(t, clock.Now), clock, truths[0])
	w.play(10, nil)
	assert.Equal(t, 10, w.nights)
	assert.Positive(t, w.waits)
}
