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
	"time"

	"jambwright/scheduler/check"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
)

// planSettings are the arguments of the plan command.
type planSettings struct {
	file      string // "-" is the standard input
	schedules int
	seed      uint64
	limit     time.Duration
	out       string // "" is the standard output
	why       string // task to answer 'why not sooner' for, "" for none
}

// runPlan plans a problem document without any database and writes the plan document. Every fault of the document goes
// to stderr, one a line, and nothing is written. A plan that the independent checker rejects is not written either: the
// fault is then the program's own, and the violations go to stderr.
func runPlan(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	var s planSettings
	flags := newFlags("plan", "FILE.json [--schedules N] [--seed S] [--out PLAN.json] [--time 60s] [--why TASK]   (FILE.json may be - for standard input)", stderr)
	flags.IntVar(&s.schedules, "schedules", 0, "budget of complete schedules to try; 0 chooses one that suits the document's size")
	flags.Uint64Var(&s.seed, "seed", 1, "seed of the search's random choices")
	flags.DurationVar(&s.limit, "time", 0, "stop the search after this long, whatever the budget; 0 means no limit")
	flags.StringVar(&s.out, "out", "", "write the plan to this file, not to standard output")
	flags.StringVar(&s.why, "why", "", "print why this task does not start sooner, and what would have to give, in place of the plan")
	files, code, done := parseWithFiles(flags, args, 1)
	if done {
		return code
	}
	if s.schedules < 0 || s.limit < 0 {
		fmt.Fprintf(stderr, "jambwright: --schedules is %d and --time %v, want 0 or more\n", s.schedules, s.limit)
		return exitUsage
	}
	s.file = files[0]
	return planDocument(ctx, s, stdout, stderr)
}

func planDocument(ctx context.Context, s planSettings, stdout, stderr io.Writer) int {
	p, err := readDocument(s.file, problem.Read)
	if err != nil {
		return refused(stderr, err)
	}
	result, err := compute(ctx, p, s)
	if err != nil {
		return failed(stderr, err)
	}
	if violations := check.Plan(p, result); len(violations) > 0 {
		fmt.Fprintf(stderr, "jambwright: the plan breaks %d rules and is not written; this is a fault of the program:\n", len(violations))
		printViolations(stderr, violations)
		return exitFailed
	}
	write := func(w io.Writer) error { return problem.WritePlan(w, result, p.Zone) }
	switch {
	case s.out != "":
		err = writeWhole(s.out, write)
	case s.why == "":
		err = write(stdout)
	}
	if err != nil {
		return failed(stderr, err)
	}
	if s.why != "" {
		return explain(p, result, s.why, stdout, stderr)
	}
	return exitDone
}

// explain prints what would have to give for a task to start sooner.
func explain(p *problem.Problem, result *problem.Plan, task string, stdout, stderr io.Writer) int {
	sooner, err := plan.NewSooner(p, result)
	if err != nil {
		return failed(stderr, err)
	}
	ladder, err := sooner.Ladder(task)
	if err != nil {
		fmt.Fprintf(stderr, "jambwright: --why: %v\n", err)
		return exitUsage
	}
	zone, err := problem.LoadZone(p.Zone)
	if err != nil {
		return failed(stderr, err)
	}
	ladder.In(zone)
	encoder := json.NewEncoder(stdout)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(ladder); err != nil {
		return failed(stderr, err)
	}
	return exitDone
}

func compute(ctx context.Context, p *problem.Problem, s planSettings) (*problem.Plan, error) {
	started := time.Now()
	options := plan.Options{Schedules: s.schedules, Seed: s.seed}
	if s.limit > 0 {
		options.Stop = func() bool { return time.Since(started) > s.limit }
	}
	result, err := plan.Compute(ctx, p, options)
	if err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, fmt.Errorf("planning was interrupted: %w", err)
	}
	result.Run.ElapsedMS = time.Since(started).Milliseconds()
	return result, nil
}

// parseWithFiles reads flags before, between and after exactly n file names.
func parseWithFiles(flags *flag.FlagSet, args []string, n int) (files []string, code int, done bool) {
	for rest := args; ; {
		if code, done := parse(flags, rest); done {
			return nil, code, true
		}
		rest = flags.Args()
		if len(rest) == 0 {
			break
		}
		files, rest = append(files, rest[0]), rest[1:]
	}
	if len(files) != n {
		fmt.Fprintf(flags.Output(), "jambwright: want %d file names, got %d: %q\n", n, len(files), files)
		flags.Usage()
		return nil, exitUsage, true
	}
	return files, exitDone, false
}

// readDocument reads a file, or the standard input for "-".
func readDocument[T any](path string, read func(io.Reader) (*T, error)) (*T, error) {
	if path == "-" {
		return read(os.Stdin)
	}
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	document, err := read(file)
	if err != nil {
		return nil, documentError{path, err}
	}
	return document, nil
}

// documentError says which file could not be used.
type documentError struct {
	path string
	err  error
}

func (e documentError) Error() string { return e.path + ": " + e.err.Error() }
func (e documentError) Unwrap() error { return e.err }

// refused reports input that cannot be used: the faults of a document one a line under its name.
func refused(stderr io.Writer, err error) int {
	var faults problem.Faults
	if !errors.As(err, &faults) {
		fmt.Fprintf(stderr, "jambwright: %v\n", err)
		return exitUsage
	}
	name := "the document"
	if document := (documentError{}); errors.As(err, &document) {
		name = document.path
	}
	count := "1 fault"
	if len(faults) != 1 {
		count = fmt.Sprintf("%d faults", len(faults))
	}
	fmt.Fprintf(stderr, "jambwright: %s has %s:\n%v\n", name, count, faults)
	return exitUsage
}

// writeWhole writes a file so that it is there whole or not at all.
func writeWhole(path string, write func(io.Writer) error) (err error) {
	file, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			file.Close()
			err = errors.Join(err, os.Remove(file.Name()))
		}
	}()
	if err = write(file); err != nil {
		return err
	}
	if err = file.Chmod(0o644); err != nil {
		return err
	}
	if err = file.Close(); err != nil {
		return err
	}
	return os.Rename(file.Name(), path)
}
