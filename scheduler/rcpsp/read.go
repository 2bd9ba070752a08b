package rcpsp

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// Fault is one thing wrong with a file.
type Fault struct {
	// Line counts from 1; it is 0 when the fault belongs to the file as a whole.
	Line int
	// Text says what was found and what was wanted.
	Text string
}

// ReadError lists every fault of a file in the order of its lines.
type ReadError struct {
	Faults []Fault
}

// Error returns one line per fault.
func (e *ReadError) Error() string {
	lines := make([]string, len(e.Faults))
	for i, fault := range e.Faults {
		lines[i] = fault.Text
		if fault.Line > 0 {
			lines[i] = fmt.Sprintf("line %d: %s", fault.Line, fault.Text)
		}
	}
	return strings.Join(lines, "\n")
}

// The headings that open the three sections of a file.
const (
	relationsHeading  = "PRECEDENCE RELATIONS:"
	requestsHeading   = "REQUESTS/DURATIONS:"
	capacitiesHeading = "RESOURCEAVAILABILITIES:"
)

// Labels of the header.
const (
	jobsLabel      = "jobs (incl. supersource/sink )"
	renewableLabel = "- renewable"
	nonrenewable   = "- nonrenewable"
	doublyLabel    = "- doubly constrained"
)

// maxLine is the longest line read, in bytes; a job with MaxJobs successors needs less.
const maxLine = 1 << 20

type textLine struct {
	number int
	text   string
}

// reader gathers the sections of a file and the faults found in them.
type reader struct {
	header   []textLine
	sections map[string][]textLine
	faults   []Fault

	jobs       int
	resources  int
	duration   []int32
	capacity   []int32
	request    [][]int32
	successors [][]int32
}

// Read reads one project in the `.sm` text format of the library of Kolisch and Sprecher (1996): one mode per job, only
// renewable resources. It is strict: counts must agree with what is listed, every job must be given once and in order.
// A faulty file gives a *ReadError with all its faults.
func Read(source io.Reader) (*Instance, error) {
	r := &reader{sections: map[string][]textLine{}}
	if err := r.split(source); err != nil {
		return nil, err
	}
	if r.isForeign() {
		return nil, &ReadError{Faults: []Fault{{Text: "neither a header line nor a section of the .sm format is there: " +
			"give a single-mode file of the library, such as j301_1.sm, unpacked"}}}
	}
	r.readHeader()
	if r.jobs > 0 && r.resources > 0 {
		r.readCapacities()
		r.readRequests()
		r.readRelations()
	}
	if len(r.faults) > 0 {
		slices.SortStableFunc(r.faults, func(a, b Fault) int { return a.Line - b.Line })
		return nil, &ReadError{Faults: r.faults}
	}
	in, err := NewInstance(r.duration, r.capacity, r.request, r.successors)
	if err != nil {
		return nil, &ReadError{Faults: wholeFileFaults(err)}
	}
	return in, nil
}

func wholeFileFaults(err error) []Fault {
	var faults []Fault
	for text := range strings.SplitSeq(err.Error(), "\n") {
		faults = append(faults, Fault{Text: text})
	}
	return faults
}

func (r *reader) fault(line int, format string, values ...any) {
	r.faults = append(r.faults, Fault{Line: line, Text: fmt.Sprintf(format, values...)})
}

// split sorts the lines into the header and the three sections. A line of asterisks closes a section.
func (r *reader) split(source io.Reader) error {
	scanner := bufio.NewScanner(source)
	scanner.Buffer(make([]byte, 0, 1<<16), maxLine)
	current := ""
	number := 0
	for scanner.Scan() {
		number++
		text := strings.TrimSpace(scanner.Text())
		switch {
		case text == "":
		case strings.HasPrefix(text, "****"):
			current = ""
		case text == relationsHeading || text == requestsHeading || text == capacitiesHeading:
			if _, twice := r.sections[text]; twice {
				r.fault(number, "section %q is given twice", text)
			}
			current = text
			r.sections[text] = []textLine{}
		case current == "":
			r.header = append(r.header, textLine{number, text})
		default:
			r.sections[current] = append(r.sections[current], textLine{number, text})
		}
	}
	if err := scanner.Err(); err != nil {
		return fmt.Errorf("reading line %d: %w", number+1, err)
	}
	return nil
}

// isForeign reports whether nothing of a file looks like the format, so that listing what it lacks would not help.
func (r *reader) isForeign() bool {
	return len(r.sections) == 0 && !slices.ContainsFunc(r.header, func(line textLine) bool {
		name, _, found := strings.Cut(line.text, ":")
		return found && (strings.TrimSpace(name) == jobsLabel || strings.TrimSpace(name) == renewableLabel)
	})
}

func (r *reader) readHeader() {
	r.jobs = r.headerCount(jobsLabel, 2, MaxJobs)
	r.resources = r.headerCount(renewableLabel, 1, MaxResources)
	r.headerCount(nonrenewable, 0, 0)
	r.headerCount(doublyLabel, 0, 0)
}

// headerCount reads the first number after "label :" and returns 0 after a fault.
func (r *reader) headerCount(label string, least, most int) int {
	for _, line := range r.header {
		name, rest, found := strings.Cut(line.text, ":")
		if !found || strings.TrimSpace(name) != label {
			continue
		}
		fields := strings.Fields(rest)
		if len(fields) == 0 {
			r.fault(line.number, "no number after %q", label)
			return 0
		}
		value, err := strconv.Atoi(fields[0])
		if err != nil || value < least || value > most {
			r.fault(line.number, "%q is %q, wanted a whole number from %d to %d", label, fields[0], least, most)
			return 0
		}
		return value
	}
	r.fault(0, "no header line %q", label)
	return 0
}

// rowsOf returns the lines of a section below its title lines. It reports a missing section and a wrong count.
func (r *reader) rowsOf(heading string, titles, wanted int) []textLine {
	lines, found := r.sections[heading]
	if !found {
		r.fault(0, "no section %q", heading)
		return nil
	}
	if len(lines) < titles {
		r.fault(0, "section %q ends within its title lines", heading)
		return nil
	}
	lines = lines[titles:]
	if len(lines) != wanted {
		r.fault(0, "section %q has %d lines of data, wanted %d", heading, len(lines), wanted)
	}
	return lines[:min(len(lines), wanted)]
}

// numbers reads all fields of a line as whole numbers from 0 to MaxCapacity; ok is false after a fault.
func (r *reader) numbers(line textLine) (values []int32, ok bool) {
	ok = true
	for _, field := range strings.Fields(line.text) {
		value, err := strconv.Atoi(field)
		if err != nil || value < 0 || value > MaxCapacity {
			r.fault(line.number, "%q is not a whole number from 0 to %d", field, MaxCapacity)
			ok = false
			continue
		}
		values = append(values, int32(value))
	}
	return values, ok
}

func (r *reader) readCapacities() {
	for _, line := range r.rowsOf(capacitiesHeading, 1, 1) {
		values, ok := r.numbers(line)
		if ok && len(values) != r.resources {
			r.fault(line.number, "%d capacities for %d resources", len(values), r.resources)
			continue
		}
		if ok {
			r.capacity = values
		}
	}
}

func (r *reader) readRequests() {
	r.duration = make([]int32, r.jobs)
	r.request = make([][]int32, r.jobs)
	for job := range r.request {
		r.request[job] = make([]int32, r.resources)
	}
	horizon := 0
	for job, line := range r.rowsOf(requestsHeading, 2, r.jobs) {
		values, ok := r.numbers(line)
		if !ok || !r.checkJobAndMode(line, values, job, 3+r.resources) {
			continue
		}
		r.duration[job] = values[2]
		horizon += int(values[2])
		copy(r.request[job], values[3:])
		r.checkUnits(line, job)
	}
	if horizon > MaxHorizon {
		r.fault(0, "durations add up to %d periods, the limit is %d", horizon, MaxHorizon)
	}
}

// checkJobAndMode tests the columns that every line of jobs opens with: the job number and one mode.
func (r *reader) checkJobAndMode(line textLine, values []int32, job, columns int) bool {
	switch {
	case len(values) != columns:
		r.fault(line.number, "%d numbers, wanted %d", len(values), columns)
	case int(values[0]) != job+1:
		r.fault(line.number, "job number %d, wanted %d", values[0], job+1)
	case values[1] != 1:
		r.fault(line.number, "job %d: %d modes or mode %d, only a single mode 1 is read", job+1, values[1], values[1])
	default:
		return true
	}
	return false
}

func (r *reader) checkUnits(line textLine, job int) {
	if (job == 0 || job == r.jobs-1) && r.duration[job] != 0 {
		r.fault(line.number, "job %d is a dummy and needs duration 0, got %d", job+1, r.duration[job])
	}
	for k, capacity := range r.capacity { // none after a fault in their line
		if units := r.request[job][k]; units > capacity {
			r.fault(line.number, "job %d asks for %d units of resource %d, which has %d", job+1, units, k+1, capacity)
		}
	}
}

func (r *reader) readRelations() {
	r.successors = make([][]int32, r.jobs)
	lines := r.rowsOf(relationsHeading, 1, r.jobs)
	before := len(r.faults)
	for job, line := range lines {
		values, ok := r.numbers(line)
		if !ok {
			continue
		}
		columns := 3
		if len(values) > 2 {
			columns += int(values[2])
		}
		if !r.checkJobAndMode(line, values, job, columns) {
			continue
		}
		for _, number := range values[3:] {
			r.addSuccessor(line, job, number)
		}
	}
	if len(lines) == r.jobs && len(r.faults) == before {
		r.checkConnected(lines)
	}
}

// checkConnected requires the source to precede and the sink to follow every other job.
func (r *reader) checkConnected(lines []textLine) {
	hasPredecessor := make([]bool, r.jobs)
	for _, list := range r.successors {
		for _, next := range list {
			hasPredecessor[next] = true
		}
	}
	for job, line := range lines {
		if job > 0 && !hasPredecessor[job] {
			r.fault(line.number, "job %d: no predecessor; only the source, job 1, may have none", job+1)
		}
		if job < r.jobs-1 && len(r.successors[job]) == 0 {
			r.fault(line.number, "job %d: no successor; only the sink, job %d, may have none", job+1, r.jobs)
		}
	}
}

func (r *reader) addSuccessor(line textLine, job int, number int32) {
	switch {
	case int(number) > r.jobs:
		r.fault(line.number, "job %d: successor %d does not exist, jobs run from 1 to %d", job+1, number, r.jobs)
	case int(number) <= job+1:
		r.fault(line.number, "job %d: successor %d does not have a higher number", job+1, number)
	case slices.Contains(r.successors[job], number-1):
		r.fault(line.number, "job %d: successor %d is listed twice", job+1, number)
	default:
		r.successors[job] = append(r.successors[job], number-1)
	}
}
