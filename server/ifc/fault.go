package ifc

import (
	"fmt"
	"strings"
)

// Fault is one place where a file cannot be read. Entity 0 means that the line belongs to none.
type Fault struct {
	Line    int
	Entity  uint32
	Message string // what is wrong
	Remedy  string // what to do about it
}

// Error shows a fault on one line.
func (f Fault) Error() string {
	place := fmt.Sprintf("line %d", f.Line)
	if f.Entity != 0 {
		place += fmt.Sprintf(", entity #%d", f.Entity)
	}
	if f.Remedy == "" {
		return place + ": " + f.Message
	}
	return place + ": " + f.Message + "; " + f.Remedy
}

// Faults are all faults of a file, in the order of its lines. Of a broken file the first mostFaults are listed.
type Faults []Fault

// Error shows the faults line by line.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i := range f {
		lines[i] = f[i].Error()
	}
	return strings.Join(lines, "\n")
}

// mostFaults is how many faults are listed before the rest of a file is given up.
const mostFaults = 20

// exportLess is the remedy for files beyond the bounds.
const exportLess = "export doors, windows and storeys only, or one building at a time"

// exportAgain is the remedy for files that break the grammar.
const exportAgain = "the file is damaged: export or send it again"
