package importing

import (
	"errors"
	"fmt"
)

// refusal is why a text cannot be read, with what to write instead.
type refusal struct{ message, remedy string }

func (r refusal) Error() string { return r.message + "; " + r.remedy }

// refuse makes the error for a text that cannot be read, or that can be read in two ways.
func refuse(remedy, format string, args ...any) error {
	return refusal{message: fmt.Sprintf(format, args...), remedy: remedy}
}

// explain takes an error of a reader apart into what is wrong and what to do. An error without a remedy of its own gets
// the given one.
func explain(err error, otherwise string) (message, remedy string) {
	var r refusal
	if errors.As(err, &r) {
		return r.message, r.remedy
	}
	return err.Error(), otherwise
}

// Error shows a fault on one line: file, worksheet, row, column, value, what is wrong and what to do.
func (f Fault) Error() string {
	place := f.File
	if f.Sheet != "" {
		place += ", sheet " + f.Sheet
	}
	if f.Row > 0 {
		place += fmt.Sprintf(", row %d", f.Row)
	}
	if f.Column != "" {
		place += fmt.Sprintf(", column %q", f.Column)
	}
	if f.Value != "" {
		place += fmt.Sprintf(", value %q", f.Value)
	}
	return place + ": " + f.Explanation()
}

// Explanation is the message and the remedy in one sentence.
func (f Fault) Explanation() string {
	if f.Remedy == "" {
		return f.Message
	}
	return f.Message + "; " + f.Remedy
}
