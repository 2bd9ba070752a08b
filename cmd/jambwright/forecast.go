package main

import (
	"context"
	"fmt"
	"io"
	"runtime"

	"jambwright/scheduler/forecast"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
)

// runForecast plans a problem document, forecasts its GC dates and writes the forecast document. Faults of the document go
// to stderr, one a line, and nothing is written.
func runForecast(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	var samples, schedules int
	var seed uint64
	var out string
	flags := newFlags("forecast", "FILE.json [--samples N] [--seed S] [--out F] [--schedules N]   (FILE.json may be - for standard input)", stderr)
	flags.IntVar(&samples, "samples", 0, fmt.Sprintf("make this many samples; 0 makes %d to %d, as many as the P80s need", forecast.DefaultLeast, forecast.DefaultMost))
	flags.IntVar(&schedules, "schedules", 0, "budget of the plan that the forecast starts from, as of the plan command")
	flags.Uint64Var(&seed, "seed", 1, "seed of the samples and of the plan's search")
	flags.StringVar(&out, "out", "", "write the forecast to this file, not to standard output")
	files, code, done := parseWithFiles(flags, args, 1)
	if done {
		return code
	}
	const mostSamples = 10_000_000
	if samples < 0 || samples > mostSamples || schedules < 0 {
		fmt.Fprintf(stderr, "jambwright: --samples is %d, want 0 to %d; --schedules is %d, want 0 or more\n", samples, mostSamples, schedules)
		return exitUsage
	}
	p, err := readDocument(files[0], problem.Read)
	if err != nil {
		return refused(stderr, err)
	}
	made, err := plan.Compute(ctx, p, plan.Options{Schedules: schedules, Seed: seed})
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		return failed(stderr, err)
	}
	result, err := forecast.Compute(ctx, p, made, forecast.Options{Least: samples, Most: samples, Seed: seed, Workers: runtime.GOMAXPROCS(0)})
	if err != nil {
		return failed(stderr, err)
	}
	write := func(w io.Writer) error { return forecast.Write(w, result, p.Zone) }
	if out == "" {
		err = write(stdout)
	} else {
		err = writeWhole(out, write)
	}
	if err != nil {
		return failed(stderr, err)
	}
	return exitDone
}
