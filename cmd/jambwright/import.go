package main

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"

	"jambwright/server/importing"
)

// importRequest is what the command line of import asks for.
type importRequest struct {
	project string
	kind    importing.Kind
	file    string
	check   bool // read and report, save nothing
	asJSON  bool
	options importing.Options
	leave   bool // save the rows that could be read and leave the others out
	yes     bool // answer every question by doing what the sheet says
	where   place
	zone    string // of a project that is begun
}

const importUsage = `usage: jambwright import --project NAME KIND FILE [--check] [--json]

KIND is openings, crews, handovers, suppliers, gcdates or rates; FILE is a .csv or .xlsx file,
for openings also a building model in the text form of IFC (.ifc), or - for standard input.

`

// parseImport reads the arguments; flags may stand before, between and after KIND and FILE.
func parseImport(args []string, stderr io.Writer) (importRequest, error) {
	var r importRequest
	flags := flag.NewFlagSet("import", flag.ContinueOnError)
	flags.SetOutput(stderr)
	flags.Usage = func() {
		fmt.Fprint(stderr, importUsage)
		flags.PrintDefaults()
	}
	flags.StringVar(&r.project, "project", "", "`name` of the project")
	flags.BoolVar(&r.check, "check", false, "read and report, save nothing")
	flags.BoolVar(&r.asJSON, "json", false, "print the rows and errors as JSON")
	flags.BoolVar(&r.leave, "leave-out", false, "leave out rows that cannot be read and save the others")
	flags.BoolVar(&r.yes, "yes", false, "let the sheet change and remove openings that have work on them")
	flags.StringVar(&r.zone, "zone", localZone(), "IANA `zone` of the site, for a project that is begun")
	r.where.flags(flags)
	order := flags.String("dates", "", "`order` of dates such as 03/04/2026: us (month first) or eu (day first); without it they are errors")
	var words []string
	for rest := args; len(rest) > 0; {
		if err := flags.Parse(rest); err != nil {
			return r, err
		}
		if rest = flags.Args(); len(rest) > 0 {
			words, rest = append(words, rest[0]), rest[1:]
		}
	}
	switch strings.ToLower(*order) {
	case "":
	case "us", "mdy":
		r.options.DateOrder = importing.MonthFirst
	case "eu", "dmy":
		r.options.DateOrder = importing.DayFirst
	default:
		return r, fmt.Errorf("--dates %q: write us for month first or eu for day first", *order)
	}
	if len(words) != 2 {
		return r, fmt.Errorf("import takes KIND and FILE, got %d words: %q", len(words), words)
	}
	if r.project == "" && !r.check {
		return r, errors.New("import needs --project NAME to save; with --check it saves nothing")
	}
	var err error
	r.kind, err = importing.ParseKind(words[0])
	r.file = words[1]
	return r, err
}

// readImport reads the file of a request.
func readImport(r importRequest, stdin io.Reader) (*importing.Sheet, error) {
	in, name := stdin, "standard input"
	if r.file != "-" {
		file, err := os.Open(r.file)
		if err != nil {
			return nil, err
		}
		defer file.Close()
		in, name = file, r.file
	}
	s, err := importing.ReadFrom(r.kind, name, in, r.options)
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", name, err)
	}
	return s, nil
}

// checkImport reports what was read of a file without touching any database. It returns exitDone when every row was
// read and exitUsage when there are errors.
func checkImport(r importRequest, s *importing.Sheet, stdout, stderr io.Writer) int {
	if r.asJSON {
		encoder := json.NewEncoder(stdout)
		encoder.SetIndent("", "  ")
		encoder.SetEscapeHTML(false)
		if err := encoder.Encode(importing.NewReport(s)); err != nil {
			fmt.Fprintln(stderr, "jambwright import:", err)
			return exitFailed
		}
	} else {
		printSheet(stdout, s)
	}
	if len(s.Faults) > 0 {
		for _, f := range s.Faults {
			fmt.Fprintln(stderr, f.Error())
		}
		return exitUsage
	}
	return exitDone
}

// printSheet summarises a sheet for a person at a terminal.
func printSheet(w io.Writer, s *importing.Sheet) {
	for _, read := range s.Read {
		fmt.Fprintf(w, "%s: %s\n", s.File, read)
	}
	fmt.Fprintf(w, "%d %s read, %d errors, %d warnings\n", s.Rows(), kindWords(s.Kind), len(s.Faults), len(s.Warnings))
	for _, warning := range s.Warnings {
		fmt.Fprintln(w, "  look at", warning.Error())
	}
	for _, p := range s.Passed {
		fmt.Fprintf(w, "  passed over row %d (%s): %s\n", p.Row, p.Why, p.Text)
	}
	if len(s.Unused) > 0 {
		fmt.Fprintln(w, "  columns not used:", strings.Join(s.Unused, ", "))
	}
}

// kindWords names what a sheet lists, for people.
func kindWords(kind importing.Kind) string {
	if kind == importing.GCDates {
		return "GC dates"
	}
	return string(kind)
}

// runImport reads a sheet and, without --check, saves it.
func runImport(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	request, err := parseImport(args, stderr)
	if errors.Is(err, flag.ErrHelp) {
		return exitDone
	}
	if err != nil {
		fmt.Fprintln(stderr, "jambwright import:", err)
		return exitUsage
	}
	s, err := readImport(request, os.Stdin)
	if err != nil {
		fmt.Fprintln(stderr, "jambwright import:", err)
		return exitUsage
	}
	code := checkImport(request, s, stdout, stderr)
	if request.check || code != exitDone && !request.leave {
		return code
	}
	if request.asJSON {
		stdout = stderr // standard output holds the document alone
	}
	if saved := saveImport(ctx, request, s, stdout, stderr); saved != exitDone {
		return saved
	}
	return code
}
