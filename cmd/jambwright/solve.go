package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"jambwright/scheduler/rcpsp"
)

// defaultSchedules is the effort when neither a schedule count nor a time is given.
const defaultSchedules = 5000

// allFiles is the pattern of a directory's instances.
const allFiles = "*.sm"

// solveSettings are the flags of the solve command.
type solveSettings struct {
	schedules int64
	seed      uint64
	limit     time.Duration
	best      string
	workers   int
	only      string
}

// solved is the printed result of one instance.
type solved struct {
	Instance     string  `json:"instance"`
	Makespan     int32   `json:"makespan"`
	CriticalPath int32   `json:"critical_path"`
	LowerBound   int32   `json:"lower_bound"`
	Proved       bool    `json:"proved"`
	Schedules    int64   `json:"schedules"`
	ElapsedMS    int64   `json:"elapsed_ms"`
	Starts       []int32 `json:"starts"`
}

// unusable marks a fault of the input, as against one of the program.
type unusable struct{ error }

func (u unusable) Unwrap() error { return u.error }

// runSolve solves one file and prints one JSON object, or solves a directory of files and prints how far the makespans
// are from the critical path and from the best published ones.
func runSolve(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	settings, path, code, done := parseSolve(args, stderr)
	if done {
		return code
	}
	info, err := os.Stat(path)
	if err != nil {
		return refused(stderr, err)
	}
	if !info.IsDir() && (settings.best != "" || settings.only != allFiles) {
		err = unusable{fmt.Errorf("--best and --only are for a directory, %s is a file: leave them out, or name its directory", path)}
	} else if info.IsDir() {
		err = solveSet(ctx, path, settings, stdout)
	} else {
		err = solveOne(ctx, path, settings, stdout)
	}
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &unusable{}):
		return refused(stderr, err)
	default:
		return failed(stderr, err)
	}
}

func parseSolve(args []string, stderr io.Writer) (settings solveSettings, path string, code int, done bool) {
	flags := newFlags("solve", "FILE.sm | DIR --best BEST.csv   [--schedules N] [--seed S] [--time 5s]", stderr)
	flags.Int64Var(&settings.schedules, "schedules", 0, "complete generations, forward or backward (default 5000 without --time)")
	flags.Uint64Var(&settings.seed, "seed", 1, "seed of the search's random choices")
	flags.DurationVar(&settings.limit, "time", 0, "wall-clock limit per instance; 0 means no limit")
	flags.StringVar(&settings.best, "best", "", "`CSV` with instance, lower_bound, upper_bound: the best published bounds of the directory's instances")
	flags.IntVar(&settings.workers, "workers", 1, "instances of a directory solved at the same time, at most one a processor")
	flags.StringVar(&settings.only, "only", allFiles, "`PATTERN` of the file names to solve in a directory, such as *_[1-3].sm")
	paths, code, done := parseWithFiles(flags, args, 1)
	if done {
		return settings, "", code, true
	}
	if settings.schedules < 0 || settings.limit < 0 || settings.workers < 1 {
		fmt.Fprintf(stderr, "jambwright: --schedules is %d, --time %v and --workers %d, want 0 or more, 0 or more and 1 or more\n",
			settings.schedules, settings.limit, settings.workers)
		return settings, "", exitUsage, true
	}
	settings.workers = min(settings.workers, runtime.GOMAXPROCS(0))
	if settings.schedules == 0 && settings.limit == 0 {
		settings.schedules = defaultSchedules
	}
	return settings, paths[0], exitDone, false
}

func solveOne(ctx context.Context, path string, settings solveSettings, stdout io.Writer) error {
	result, err := solveFile(ctx, path, settings)
	if err != nil {
		return err
	}
	return json.NewEncoder(stdout).Encode(result)
}

func instanceName(path string) string {
	return strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
}

func readInstance(path string) (*rcpsp.Instance, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	instance, err := rcpsp.Read(file)
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read:\n%w", path, err)
	}
	return instance, nil
}

// solveFile reads and solves one instance. The time limit counts from after the file has been read.
func solveFile(ctx context.Context, path string, settings solveSettings) (solved, error) {
	instance, err := readInstance(path)
	if err != nil {
		return solved{}, unusable{err}
	}
	began := time.Now()
	options := rcpsp.Options{
		Schedules: settings.schedules,
		Seed:      settings.seed,
		Stop: func() bool {
			return ctx.Err() != nil || settings.limit > 0 && time.Since(began) >= settings.limit
		},
	}
	if settings.limit > 0 {
		if options.Expected, err = expectedSchedules(instance, settings.limit); err != nil {
			return solved{}, fmt.Errorf("%s: %w", path, err)
		}
	}
	result, err := rcpsp.Solve(instance, options)
	if err != nil {
		return solved{}, fmt.Errorf("%s: %w", path, err)
	}
	return solved{
		Instance:     instanceName(path),
		Makespan:     result.Makespan,
		CriticalPath: result.CriticalPath,
		LowerBound:   result.LowerBound,
		Proved:       result.Proved,
		Schedules:    result.Schedules,
		ElapsedMS:    time.Since(began).Milliseconds(),
		Starts:       result.Starts,
	}, nil
}

// paceSchedules are made to learn the machine's pace: some ten milliseconds of work on 120 jobs.
const paceSchedules = 500

// expectedSchedules estimates how many schedules of an instance fit into a time. The time spent on it is part of the
// limit. Runs under a time limit therefore depend on the machine; runs under a schedule limit alone do not.
func expectedSchedules(instance *rcpsp.Instance, limit time.Duration) (int64, error) {
	began := time.Now()
	result, err := rcpsp.Solve(instance, rcpsp.Options{
		Schedules: paceSchedules,
		Stop:      func() bool { return time.Since(began) >= limit/10 },
	})
	if err != nil {
		return 0, err
	}
	pace := float64(result.Schedules) / max(1e-6, time.Since(began).Seconds())
	return max(1, int64(pace*limit.Seconds())), nil
}
