package takeoff

import (
	"fmt"
	"strings"

	"jambwright/scheduler/length"
)

// Working is a calculation in plain words and numbers, so that a person can check a quantity by hand. It is data: the
// page decides whether lengths read in feet and inches or in millimetres.
type Working []Part

// Part is a piece of text, or a length to be written in the reader's own units when IsLength is set.
type Part struct {
	Text     string
	Length   length.Length
	IsLength bool
}

// Text writes the working with one way of writing lengths.
func (w Working) Text(write func(length.Length) string) string {
	var b strings.Builder
	for _, p := range w {
		if p.IsLength {
			b.WriteString(write(p.Length))
		} else {
			b.WriteString(p.Text)
		}
	}
	return b.String()
}

// String writes the working with lengths in feet and inches.
func (w Working) String() string { return w.Text(length.Length.FeetInches) }

// work builds a working: lengths become parts of their own, everything else is printed.
func work(pieces ...any) Working {
	var w Working
	var text strings.Builder
	flush := func() {
		if text.Len() > 0 {
			w = append(w, Part{Text: text.String()})
			text.Reset()
		}
	}
	for _, piece := range pieces {
		if l, ok := piece.(length.Length); ok {
			flush()
			w = append(w, Part{Length: l, IsLength: true})
			continue
		}
		fmt.Fprint(&text, piece)
	}
	flush()
	return w
}

// join puts several workings into one, with a separator between them.
func join(separator string, parts ...Working) Working {
	var w Working
	for i, p := range parts {
		if i > 0 && len(p) > 0 {
			w = append(w, Part{Text: separator})
		}
		w = append(w, p...)
	}
	return w
}
