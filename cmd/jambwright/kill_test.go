package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/server/demo"
	"jambwright/server/nightly"
	"jambwright/server/planning"
)

// childVariable makes the test binary act as the program itself: its value is the command line as JSON. So a test can
// kill a whole process at any moment.
const childVariable = "JAMBWRIGHT_TEST_CHILD"

func TestMain(m *testing.M) {
	line := os.Getenv(childVariable)
	if line == "" {
		os.Exit(m.Run())
	}
	var args []string
	if err := json.Unmarshal([]byte(line), &args); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(exitUsage)
	}
	if args[0] == "night" {
		os.Exit(runOneNight(context.Background(), args[1], args[2]))
	}
	os.Exit(dispatch(context.Background(), args, io.Discard, os.Stderr))
}

// runOneNight runs the night of a local date of project 1, as the queue's worker does.
func runOneNight(ctx context.Context, dsn, night string) int {
	db, err := models.Open(ctx, dsn, killNow)
	if err != nil {
		return failed(os.Stderr, err)
	}
	defer db.Close()
	run := planning.NewNightly(db, slog.New(slog.DiscardHandler))
	run.Schedules, run.Samples = 20, 10 // what is killed need not be good, only whole
	err = run.Run(ctx, nightly.Args{ProjectID: 1, Night: night}, func(context.Context, *models.Tx) error { return nil })
	if err != nil {
		return failed(os.Stderr, err)
	}
	return exitDone
}

// killNow is the clock of the killed processes: a Tuesday evening on the demo's site.
func killNow() time.Time { return time.Date(2026, 11, 18, 1, 30, 0, 0, time.UTC) }

// startAndKill runs the program with args and kills it after a while. It reports whether the program had ended before.
func startAndKill(t *testing.T, after time.Duration, args ...string) (ended bool) {
	t.Helper()
	line, err := json.Marshal(args)
	require.NoError(t, err)
	child := exec.CommandContext(t.Context(), os.Args[0])
	child.Env = append(os.Environ(), childVariable+"="+string(line))
	var trouble strings.Builder
	child.Stderr = &trouble
	require.NoError(t, child.Start())
	timer := time.AfterFunc(after, func() { _ = child.Process.Kill() })
	err = child.Wait()
	timer.Stop()
	var exit *exec.ExitError
	if err == nil {
		return true
	}
	require.ErrorAs(t, err, &exit)
	status, isUnix := exit.Sys().(syscall.WaitStatus)
	require.True(t, isUnix && status.Signaled(), "it ended by itself: %v: %s", err, trouble.String())
	return false
}

// databaseArgs are the flags that name a test database.
func databaseArgs(dsn string) []string {
	if strings.HasPrefix(dsn, "postgres") {
		return []string{"--database", dsn}
	}
	return []string{"--data", filepath.Dir(dsn)}
}

// killMoments are the ages at which processes are killed: they lie close together where the work is done.
func killMoments() []time.Duration {
	var moments []time.Duration
	for ms := 20; ms < 1500; ms += ms/3 + 5 {
		moments = append(moments, time.Duration(ms)*time.Millisecond)
	}
	return append(moments, time.Minute)
}

func TestImport_KilledAtAnyMomentLeavesAllOfTheSheetOrNothing(t *testing.T) {
	t.Parallel()
	sheet := filepath.Join(t.TempDir(), "openings.csv")
	const rows = 1200
	var text strings.Builder
	text.WriteString("Mark,Level,Zone,Type,Width,Height\n")
	for i := range rows {
		fmt.Fprintf(&text, "D-%04d,Level %d,East,HM door and frame,3'-0\",7'-0\"\n", i, i/100)
	}
	require.NoError(t, os.WriteFile(sheet, []byte(text.String()), 0o600))
	dbtest.EachDSN(t, func(t *testing.T, dsn string) {
		if !strings.HasPrefix(dsn, "postgres") { // the command names its file itself
			require.NoError(t, os.Rename(dsn, filepath.Join(filepath.Dir(dsn), "jambwright.db")))
			dsn = filepath.Join(filepath.Dir(dsn), "jambwright.db")
		}
		whole := false
		for i, moment := range killMoments() {
			name := fmt.Sprintf("Job %d", i)
			args := append([]string{"import"}, databaseArgs(dsn)...)
			ended := startAndKill(t, moment, append(args, "--project", name, "openings", sheet)...)
			n, audited := importedOpenings(t, dsn, name)
			require.Contains(t, []int{0, rows}, n, "killed after %s", moment)
			require.Equal(t, n > 0, audited, "the audit line lands with the rows, killed after %s", moment)
			require.True(t, !ended || n == rows, "it ended well and saved nothing")
			whole = whole || n == rows
		}
		require.True(t, whole, "the last run is never killed")
	})
}

// importedOpenings counts the openings of a project and tells whether its import is in the audit trail.
func importedOpenings(t *testing.T, dsn, project string) (n int, audited bool) {
	t.Helper()
	db, err := models.Open(t.Context(), dsn, killNow)
	require.NoError(t, err)
	defer func() { require.NoError(t, db.Close()) }()
	if db.Dialect() == models.SQLite {
		var verdict string
		require.NoError(t, db.SQL().QueryRowContext(t.Context(), "PRAGMA integrity_check").Scan(&verdict))
		require.Equal(t, "ok", verdict)
	}
	p, err := models.ProjectByName(t.Context(), db, project)
	if errors.Is(err, models.ErrNotFound) {
		return 0, false
	}
	require.NoError(t, err)
	openings, err := models.OpeningsOf(t.Context(), db, p.ID)
	require.NoError(t, err)
	trail, err := models.AuditTrail(t.Context(), db, &p.ID, 10_000)
	require.NoError(t, err)
	for _, entry := range trail {
		audited = audited || entry.Action == "import openings"
	}
	return len(openings), audited
}

func TestNight_KilledAtAnyMomentLeavesAWholePlanOrNoneAndRunsOnce(t *testing.T) {
	t.Parallel()
	dbtest.EachDSN(t, func(t *testing.T, dsn string) {
		clock := demo.NewClock(killNow)
		db, err := models.Open(t.Context(), dsn, clock.Now)
		require.NoError(t, err)
		t.Cleanup(func() { require.NoError(t, db.Close()) })
		require.NoError(t, demo.Load(t.Context(), db, clock, slog.New(slog.DiscardHandler)))
		for i, moment := range killMoments() {
			night := time.Date(2027, 1, 1+i, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
			before := plans(t, db)
			ended := startAndKill(t, moment, "night", dsn, night)
			made := plans(t, db) - before
			require.Contains(t, []int{0, 1}, made, "killed after %s", moment)
			require.True(t, !ended || made == 1, "it ended well without a plan")
			requireWholePlans(t, db)
			require.True(t, startAndKill(t, time.Minute, "night", dsn, night), "the night runs again after a restart")
			require.Equal(t, before+1, plans(t, db), "once a night, killed after %s", moment)
		}
	})
}

func plans(t *testing.T, db *models.DB) (n int) {
	t.Helper()
	require.NoError(t, db.SQL().QueryRowContext(t.Context(), "SELECT COUNT(*) FROM plans").Scan(&n))
	return n
}

// requireWholePlans checks that every plan has its documents, its tasks, its GC dates, and that every good night has its
// plan.
func requireWholePlans(t *testing.T, db *models.DB) {
	t.Helper()
	for what, query := range map[string]string{
		"plans without documents":    "SELECT COUNT(*) FROM plans p WHERE NOT EXISTS (SELECT 1 FROM plan_documents d WHERE d.plan_id = p.id)",
		"plans without tasks":        "SELECT COUNT(*) FROM plans p WHERE NOT EXISTS (SELECT 1 FROM plan_tasks t WHERE t.plan_id = p.id)",
		"plans without GC dates":     "SELECT COUNT(*) FROM plans p WHERE NOT EXISTS (SELECT 1 FROM plan_dates d WHERE d.plan_id = p.id)",
		"good nights without a plan": "SELECT COUNT(*) FROM nights WHERE status = 'ok' AND plan_id IS NULL",
		"plans of no night":          "SELECT COUNT(*) FROM plans p WHERE made_because = 'night' AND NOT EXISTS (SELECT 1 FROM nights n WHERE n.plan_id = p.id)",
	} {
		var n int
		require.NoError(t, db.SQL().QueryRowContext(t.Context(), query).Scan(&n), what)
		require.Zero(t, n, what)
	}
}
