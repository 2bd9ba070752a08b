package main

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"jambwright/scheduler/rcpsp"
)

const solveUsage = `usage: jambwright solve FILE.sm [--schedules N] [--seed S] [--time 5s]
       jambwright solve DIR --best BEST.csv [--schedules N] [--seed S] [--time 5s] [--workers N] [--only PATTERN]

Solves resource-constrained project scheduling instances in the .sm text format. One file prints one JSON object; a
directory prints how far the makespans are from the critical path and from the best published ones.
`

// defaultSchedules is the effort when neither a schedule count nor a time is given.
const defaultSchedules = 5000

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

// runSolve is the solve command: 0 when all went well, 1 when an instance could not be read or solved, 2 for wrong use.
func runSolve(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	settings, path, err := parseSolve(args)
	if err != nil {
		if !errors.Is(err, flag.ErrHelp) {
			fmt.Fprintf(stderr, "solve: %v\n\n", err)
		}
		fmt.Fprint(stderr, solveUsage)
		return 2
	}
	info, err := os.Stat(path)
	if err != nil {
		fmt.Fprintf(stderr, "solve: %v\n", err)
		return 1
	}
	if info.IsDir() {
		err = solveSet(ctx, path, settings, stdout)
	} else {
		err = solveOne(ctx, path, settings, stdout)
	}
	if err != nil {
		fmt.Fprintf(stderr, "solve: %v\n", err)
		return 1
	}
	return 0
}

// parseSolve reads flags before and after the path, so that `solve FILE --seed 3` and `solve --seed 3 FILE` both work.
func parseSolve(args []string) (solveSettings, string, error) {
	var settings solveSettings
	flags := flag.NewFlagSet("solve", flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	flags.Int64Var(&settings.schedules, "schedules", 0, "complete generations, forward or backward")
	flags.Uint64Var(&settings.seed, "seed", 1, "seed of the random numbers")
	flags.DurationVar(&settings.limit, "time", 0, "wall-clock limit per instance")
	flags.StringVar(&settings.best, "best", "", "CSV with the best published bounds")
	flags.IntVar(&settings.workers, "workers", 1, "instances solved at the same time")
	flags.StringVar(&settings.only, "only", "", "file name pattern of the instances to solve, such as *_[1-3].sm")
	var paths []string
	for rest := args; ; {
		if err := flags.Parse(rest); err != nil {
			return settings, "", err
		}
		rest = flags.Args()
		if len(rest) == 0 {
			break
		}
		paths = append(paths, rest[0])
		rest = rest[1:]
	}
	switch {
	case len(paths) != 1:
		return settings, "", fmt.Errorf("want one file or directory, got %d: %s", len(paths), strings.Join(paths, " "))
	case settings.schedules < 0:
		return settings, "", fmt.Errorf("--schedules is %d, want 0 or more", settings.schedules)
	case settings.limit < 0:
		return settings, "", fmt.Errorf("--time is %v, want 0 or more", settings.limit)
	case settings.workers < 1:
		return settings, "", fmt.Errorf("--workers is %d, want 1 or more", settings.workers)
	}
	if settings.schedules == 0 && settings.limit == 0 {
		settings.schedules = defaultSchedules
	}
	return settings, paths[0], nil
}

func solveOne(ctx context.Context, path string, settings solveSettings, stdout io.Writer) error {
	result, err := solveFile(ctx, path, settings)
	if err != nil {
		return err
	}
	return json.NewEncoder(stdout).Encode(result)
}

// solveFile reads and solves one instance. The time limit counts from after the file has been read.
func solveFile(ctx context.Context, path string, settings solveSettings) (solved, error) {
	file, err := os.Open(path)
	if err != nil {
		return solved{}, err
	}
	defer file.Close()
	instance, err := rcpsp.Read(file)
	if err != nil {
		return solved{}, fmt.Errorf("%s:\n%w", path, err)
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
		Instance:     strings.TrimSuffix(filepath.Base(path), filepath.Ext(path)),
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
