package web

import "strings"

// TrialEffect is what a trial re-plan shows of news that are not stored yet.
type TrialEffect struct {
	Unplanned string // why there is nothing to compare, in a sentence; empty when there is
	Dates     []DateEffect
	Moved     []MovedTask
	Openings  int // whose work moves
}

// Later and Sooner count the tasks that move each way.
func (e TrialEffect) Later() int {
	return e.count(func(m MovedTask) bool { return m.After.After(m.Before) })
}

// Sooner counts the tasks that move to an earlier start.
func (e TrialEffect) Sooner() int {
	return e.count(func(m MovedTask) bool { return m.After.Before(m.Before) && !m.After.IsZero() })
}

func (e TrialEffect) count(which func(MovedTask) bool) (n int) {
	for _, m := range e.Moved {
		if which(m) {
			n++
		}
	}
	return n
}

// Turns counts the tasks that move only since their crews take their work at other times.
func (e TrialEffect) Turns() int { return e.count(func(m MovedTask) bool { return m.Turn }) }

// Summary says in a sentence how much moves.
func (e TrialEffect) Summary(f Format) string {
	if len(e.Moved) == 0 {
		return "No work moves."
	}
	text := f.Of(len(e.Moved), "task moves", "tasks move")
	if e.Openings > 0 {
		text += " on " + f.Of(e.Openings, "opening", "openings")
	}
	var ways []string
	if n := e.Later(); n > 0 {
		ways = append(ways, f.Number(n)+" later")
	}
	if n := e.Sooner(); n > 0 {
		ways = append(ways, f.Number(n)+" sooner")
	}
	if len(ways) > 0 {
		text += ": " + strings.Join(ways, ", ")
	}
	text += "."
	if n := e.Turns(); n > 0 {
		text += " " + f.Of(n, "of them moves", "of them move") + " only since crews take their work at other times around it."
	}
	return text
}
