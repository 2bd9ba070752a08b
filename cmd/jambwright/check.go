package main

import (
	"context"
	"fmt"
	"io"

	"jambwright/scheduler/check"
	"jambwright/scheduler/problem"
)

// runCheck holds a plan document against the problem document it was made for and prints every rule that it breaks:
// exit status 1 when there is one, 2 when a document cannot be read.
func runCheck(_ context.Context, args []string, stdout, stderr io.Writer) int {
	flags := newFlags("check", "PROBLEM.json PLAN.json   (one of them may be - for standard input)", stderr)
	files, code, done := parseWithFiles(flags, args, 2)
	if done {
		return code
	}
	p, err := readDocument(files[0], problem.Read)
	if err != nil {
		return refused(stderr, err)
	}
	plan, err := readDocument(files[1], problem.ReadPlan)
	if err != nil {
		return refused(stderr, err)
	}
	violations := check.Plan(p, plan)
	printViolations(stdout, violations)
	if len(violations) > 0 {
		return exitFailed
	}
	fmt.Fprintf(stdout, "the plan holds: %d tasks planned, %d not planned\n", len(plan.Tasks), len(plan.Unplanned))
	return exitDone
}

func printViolations(w io.Writer, violations []check.Violation) {
	for _, v := range violations {
		fmt.Fprintln(w, v)
	}
}
