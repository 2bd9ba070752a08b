package web

import (
	"strings"
	"time"

	"jambwright/scheduler/problem"
)

// Names tells sentences how the things that a reason refers to are called. A map that lacks an identifier, or is nil,
// leaves the identifier itself, so that a sentence is never empty.
type Names struct {
	Tasks     map[string]string   // "framing of D-201"
	Crews     map[string]string   // "Alder"
	Limits    map[string]string   // "the hoist"
	Calendars map[string]string   // "site hours"
	Areas     map[string]string   // "Level 2"
	Handovers map[string]Handover // by the id of the task or cause that stands for it
	Materials map[string]Material
}

// Handover names a condition that another trade owes.
type Handover struct {
	Condition string       // "walls boarded"
	Area      string       // "Level 2"
	Basis     string       // "promised" or "forecast"; empty reads as "expected"
	Day       problem.Date // that was promised or forecast; zero where it is not known
}

// Material names material that has to arrive.
type Material struct {
	What     string       // "glass of release R3"
	Supplier string       // may be empty
	Basis    string       // "promised" or "forecast"; empty reads as "expected"
	Day      problem.Date // that was promised; zero where it is not known
}

// Why is the sentence that says what holds the start of a task of the crew (an identifier, may be empty).
func (f Format) Why(r problem.Reason, crew string, names Names) string {
	switch r.Kind {
	case problem.ReasonPredecessor:
		return "waits for " + named(names.Tasks, r.Ref, "the task before it") + f.until(r, f.doneWord(r))
	case problem.ReasonHandover:
		return "waits for " + handover(r.Ref, names) + f.basis(r, names.Handovers[r.Ref].word())
	case problem.ReasonMaterial:
		return "waits for " + material(r.Ref, names) + f.basis(r, names.Materials[r.Ref].word())
	case problem.ReasonCrew:
		return f.crewIsBusy(r, crew, names)
	case problem.ReasonCapacity:
		return capacity(r.Ref, names) + f.until(r, " until ")
	case problem.ReasonCalendar:
		return "outside working hours" + ofCalendar(r.Ref, names) + f.until(r, " until ")
	case problem.ReasonPin:
		if r.Ref != "" { // nobody pinned it
			return "stays where the issued plan has it" + f.until(r, ", ")
		}
		return "pinned by the operations manager" + f.until(r, " to ")
	case problem.ReasonStatus:
		return "already started" + f.until(r, ", goes on ")
	case problem.ReasonDataDate:
		return "clear to start" + f.until(r, " from ")
	}
	return "waits for " + named(nil, r.Ref, "a cause that was not recorded") + f.until(r, " until ")
}

// doneWord tells work that is done from work that will be.
func (f Format) doneWord(r problem.Reason) string {
	if !f.Now.IsZero() && r.Until.After(f.Now) {
		return ", to be done "
	}
	return ", done "
}

// until adds the instant behind a word when it is known.
func (f Format) until(r problem.Reason, word string) string {
	if r.Until.IsZero() {
		return ""
	}
	return word + f.Until(r.Until)
}

// word is what somebody said of a day on which something comes.
type word struct {
	basis string
	day   problem.Date
}

func (h Handover) word() word { return word{h.Basis, h.Day} }

func (m Material) word() word { return word{m.Basis, m.Day} }

// basis adds what the date of a handover or a delivery rests on: days, since nobody promises minutes.
func (f Format) basis(r problem.Reason, w word) string {
	if r.Until.IsZero() {
		return ", no date yet"
	}
	return ", " + f.dated(r.Until, w)
}

// dated says on what day something is due, and by whose word. Where it comes on another day than the one that was named (a
// promise that passed, a day without work on site), both are said: nobody promised what the plan reckons with.
func (f Format) dated(due time.Time, w word) string {
	day := f.FinishDay(due)
	switch {
	case w.basis == "":
		return "expected " + day
	case w.day == (problem.Date{}) || f.Date(w.day) == day:
		return w.basis + " " + day
	}
	return w.basis + " " + f.Date(w.day) + ", expected " + day
}

// crewIsBusy reads the reference as the task that the crew is on, or as the crew itself.
func (f Format) crewIsBusy(r problem.Reason, crew string, names Names) string {
	if _, isCrew := names.Crews[r.Ref]; isCrew {
		crew = r.Ref
	}
	who := "every crew that could do it"
	if crew != "" {
		who = "crew " + named(names.Crews, crew, crew)
	}
	task, isTask := names.Tasks[r.Ref]
	if !isTask {
		return who + " is busy" + f.until(r, " until ")
	}
	return who + " is on " + task + f.until(r, " until ")
}

func handover(ref string, names Names) string {
	h, known := names.Handovers[ref]
	if !known {
		return named(names.Areas, ref, "a handover")
	}
	if h.Area == "" {
		return h.Condition
	}
	return h.Condition + " on " + h.Area
}

func material(ref string, names Names) string {
	m, known := names.Materials[ref]
	if !known {
		return named(names.Tasks, ref, "material")
	}
	if m.Supplier == "" {
		return m.What
	}
	return m.What + " from " + m.Supplier
}

func capacity(ref string, names Names) string {
	if area, isArea := names.Areas[ref]; isArea {
		return area + " holds as many crews as it may"
	}
	return named(names.Limits, ref, "a shared limit") + " is taken"
}

// ofCalendar names a calendar; those that sites and crews bring along are called hours of theirs already.
func ofCalendar(ref string, names Names) string {
	if name, known := names.Calendars[ref]; known {
		return " of " + strings.TrimPrefix(name, "hours of ")
	}
	return ""
}

// named looks a name up: the name, else the identifier, else the words for nothing at all.
func named(names map[string]string, id, nothing string) string {
	if name, known := names[id]; known {
		return name
	}
	if id == "" {
		return nothing
	}
	return id
}

// Step is the sentence for one task of a driving chain: what it is, when it runs, and what held its start. The chain
// itself says which task came before, so a start held by that very task needs no words.
func (f Format) Step(t problem.PlannedTask, before string, names Names) string {
	var b strings.Builder
	b.WriteString(capital(named(names.Tasks, t.ID, t.ID)))
	if t.Crew != nil && *t.Crew != "" {
		b.WriteString(" by crew " + named(names.Crews, *t.Crew, *t.Crew))
	}
	b.WriteString(", " + f.Between(t.Start, t.Finish))
	if t.Reason.Kind == "" || (t.Reason.Kind == problem.ReasonPredecessor && t.Reason.Ref == before) {
		return b.String() + "."
	}
	crew := ""
	if t.Crew != nil {
		crew = *t.Crew
	}
	return b.String() + ": " + f.Why(t.Reason, crew, names) + "."
}

// Capital returns the sentence with its first letter in upper case.
func (f Format) Capital(text string) string { return capital(text) }

func capital(text string) string {
	for i, r := range text {
		return strings.ToUpper(string(r)) + text[i+len(string(r)):]
	}
	return text
}
