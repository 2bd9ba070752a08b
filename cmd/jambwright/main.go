// Command jambwright plans the crews of a subcontractor who installs interior glazed fronts, doors and frames.
//
// This package is the edge of the program: it reads flags and environment, makes the clock and the database handle,
// wires the packages together and turns results into exit codes. It holds no rule of the trade.
//
//	exit status  meaning
//	0            done
//	1            the program could not do it (database, network port, a plan that the checker refused)
//	2            the input or the command line is wrong; standard error says where and how to mend it
package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"
	_ "time/tzdata" // sites' zones must resolve on a machine without zone files
)

// Exit codes of every command.
const (
	exitDone   = 0
	exitFailed = 1
	exitUsage  = 2
)

// command is one verb of the program. run writes results to stdout and everything else to stderr.
type command struct {
	name    string
	summary string
	run     func(ctx context.Context, args []string, stdout, stderr io.Writer) int
}

func commands() []command {
	return []command{
		{"demo", "load an invented job into a fresh database, plan it, print the summary and serve", runDemo},
		{"serve", "serve the pages and run the nightly re-plan", runServe},
		{"import", "read a sheet of openings, crews, handovers, suppliers or GC dates", runImport},
		{"plan", "plan a problem document and print the plan document", runPlan},
		{"forecast", "forecast the GC dates of a problem document, with their chances", runForecast},
		{"check", "hold a plan document against its problem document", runCheck},
		{"solve", "solve an academic single-mode instance (.sm) or a folder of them", runSolve},
		{"user", "add an account or a one-time sign-in link", runUser},
		{"migrate", "bring the database to this program's schema", runMigrate},
		{"backup", "copy the embedded database while it is in use", runBackup},
	}
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := dispatch(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// dispatch runs the command that args name. Without a command, or with "help", it prints the list.
func dispatch(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	if len(args) == 0 {
		printUsage(stderr)
		return exitUsage
	}
	switch args[0] {
	case "help", "-h", "--help":
		printUsage(stdout)
		return exitDone
	}
	for _, c := range commands() {
		if c.name == args[0] {
			return c.run(ctx, args[1:], stdout, stderr)
		}
	}
	fmt.Fprintf(stderr, "jambwright: there is no command %q\n\n", args[0])
	printUsage(stderr)
	return exitUsage
}

func printUsage(w io.Writer) {
	fmt.Fprint(w, "usage: jambwright COMMAND [flags] [arguments]\n\n")
	for _, c := range commands() {
		fmt.Fprintf(w, "  %-8s %s\n", c.name, c.summary)
	}
	fmt.Fprint(w, "\n\"jambwright COMMAND -h\" lists a command's flags.\n")
}
