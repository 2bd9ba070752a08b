package problem

import "strings"

// Fault is one thing wrong with a document: where, what (with the values found), and what to do about it when that is
// known.
type Fault struct {
	Place   string // such as tasks[3].labour_minutes; empty for the document as a whole
	Message string
	Remedy  string // may be empty
}

// String is the fault on one line: "place: message; remedy".
func (f Fault) String() string {
	var line strings.Builder
	if f.Place != "" {
		line.WriteString(f.Place + ": ")
	}
	line.WriteString(f.Message)
	if f.Remedy != "" {
		line.WriteString("; " + f.Remedy)
	}
	return line.String()
}

// Faults is everything wrong with a document, in the order of its sections. It is an error, so that a caller can show
// it whole or pick it apart with errors.As.
type Faults []Fault

// Error lists the faults, one a line.
func (fs Faults) Error() string {
	var lines strings.Builder
	for i, f := range fs {
		if i > 0 {
			lines.WriteByte('\n')
		}
		lines.WriteString(f.String())
	}
	return lines.String()
}

// Err is the faults as an error, nil when there are none.
func (fs Faults) Err() error {
	if len(fs) == 0 {
		return nil
	}
	return fs
}
