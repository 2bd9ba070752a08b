package problem

import (
	"fmt"
	"slices"
	"strings"
)

// presence says whether a field may be left out. A null counts as left out, unless null is a value of its own.
type presence int

const (
	optional presence = iota
	required
	nullable // must be there, may be null
)

// field describes one field of an object that is read into a T. read takes the value at the walker's position.
type field[T any] struct {
	name     string
	presence presence
	read     func(*walker, *T)
}

// object reads one object by its fields and reports unknown, repeated and missing ones. A schema has at most 64.
func object[T any](w *walker, fields []field[T]) (into T) {
	if w.peek() != '{' {
		w.wrongType("an object")
		return into
	}
	w.pos++
	var seen, given uint64 // bit per field: its name came up; it had a value
	for !w.accept('}') {
		w.accept(',')
		name := w.text()
		w.accept(':')
		w.enter(step{name: name})
		at := slices.IndexFunc(fields, func(f field[T]) bool { return f.name == name })
		switch isNull := w.peek() == 'n'; {
		case at < 0:
			w.skip()
			w.fault("unknown field", suggestField(name, fields))
		case seen&(1<<at) != 0:
			w.skip()
			w.fault("field is given twice", "")
		case isNull:
			w.skip()
			seen |= 1 << at
			if fields[at].presence == nullable {
				given |= 1 << at
			}
		default:
			fields[at].read(w, &into)
			seen |= 1 << at
			given |= 1 << at
		}
		w.leave()
	}
	reportMissing(w, fields, given)
	return into
}

func reportMissing[T any](w *walker, fields []field[T], given uint64) {
	for at, f := range fields {
		if f.presence == optional || given&(1<<at) != 0 {
			continue
		}
		w.enter(step{name: f.name})
		w.fault("required field is missing", "")
		w.leave()
	}
}

// list reads a list of elements. An empty list gives a slice of no elements that is not nil.
func list[T any](w *walker, element func(*walker) T) []T {
	if w.peek() != '[' {
		w.wrongType("a list")
		return nil
	}
	w.pos++
	into := []T{}
	for !w.accept(']') {
		w.accept(',')
		w.enter(step{index: len(into)})
		into = append(into, element(w))
		w.leave()
	}
	return into
}

// objects is the element reader of a list of objects, or the reader of a single one.
func objects[T any](fields []field[T]) func(*walker) T {
	return func(w *walker) T { return object(w, fields) }
}

// table reads an object whose names are identifiers.
func table[V any](w *walker, value func(*walker) V) map[string]V {
	if w.peek() != '{' {
		w.wrongType("an object")
		return nil
	}
	w.pos++
	into := map[string]V{}
	for !w.accept('}') {
		w.accept(',')
		name := w.text()
		w.accept(':')
		w.enter(step{name: name})
		if _, twice := into[name]; twice {
			w.skip()
			w.fault("field is given twice", "")
		} else {
			into[name] = value(w)
		}
		w.leave()
	}
	return into
}

// parsed reads a text that has a form of its own, such as a date.
func parsed[T any](parse func(string) (T, error)) func(*walker) T {
	return func(w *walker) (value T) {
		if w.peek() != '"' {
			w.wrongType("text")
			return value
		}
		value, err := parse(w.text())
		if err != nil {
			w.fault(err.Error(), "")
		}
		return value
	}
}

// oneOf reads a text that must be one of a few words.
func oneOf[T ~string](words ...T) func(*walker) T {
	return func(w *walker) T {
		if w.peek() != '"' {
			w.wrongType("text")
			return ""
		}
		word := T(w.text())
		if !slices.Contains(words, word) {
			names := make([]string, len(words))
			for i, known := range words {
				names[i] = string(known)
			}
			w.fault(fmt.Sprintf("%q is not known", word), "write one of "+strings.Join(names, ", "))
			return ""
		}
		return word
	}
}

func suggestField[T any](name string, fields []field[T]) string {
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.name
	}
	if near := nearest(name, names); near != "" {
		return "did you mean " + near + "?"
	}
	return "known here: " + strings.Join(names, ", ")
}
