package pattern

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"jambwright/scheduler/problem"
)

// handoverFor finds the handover of a condition that holds for an area: its own, else the nearest one around it.
func (p *projectBuilder) handoverFor(area string, c Condition) *Handover {
	for _, a := range p.tree.path(area) {
		if h := p.handovers[handoverKey{a.ID, c}]; h != nil {
			return h
		}
	}
	return nil
}

// need links the handover that a task in an area needs, and adds the handover's own task the first time it is needed. A condition
// that nobody listed holds nothing up and is counted for a note.
func (p *projectBuilder) need(task TaskKey, area string, c Condition) {
	h := p.handoverFor(area, c)
	if h == nil {
		p.unlisted[c]++
		return
	}
	if k := (handoverKey{h.Area, c}); !p.wanted[k] {
		p.wanted[k] = true
		p.addHandover(h)
	}
	p.link(HandoverTask(p.pr.Code, h.Area, c), task)
}

// addHandover adds a handover as a task without length, so that plans show its late dates and chains of reasons run through
// it. One that is overdue gets the firm's allowance from the data date; one without any date waits.
func (p *projectBuilder) addHandover(h *Handover) {
	key := HandoverTask(p.pr.Code, h.Area, h.Condition)
	zero := 0
	t := problem.Task{ID: string(key), Kind: string(Handovers), Site: p.pr.Site, DurationMinutes: &zero, Calendar: problem.Always}
	e := Entry{
		Kind: Handovers, Project: p.pr.Code, Area: h.Area, Condition: h.Condition, Trade: h.Trade,
		Promised: copied(h.Promised), Forecast: copied(h.Forecast),
	}
	name := fmt.Sprintf("handover %s %s", h.Area, words(h.Condition))
	date := cmp.Or(h.Forecast, h.Promised)
	actual := p.happened(h.Area+" "+words(h.Condition), "handed over", h.Actual)
	if actual == nil && h.Actual != nil {
		date = h.Actual
	}
	if actual == nil && h.Promised != nil && !h.Promised.After(p.f.DataDate) {
		e.Late = &Late{Party: h.Trade, Promised: *h.Promised}
		p.noteTask(NoteLate, key, h.Area, "%s was promised for %s", name, p.day(*h.Promised))
	}
	switch {
	case actual != nil:
		t.Status = &problem.Status{Started: *actual, Finished: copied(actual)}
	case date == nil:
		p.wait(&t, &e, name+" has no date")
		p.noteWait(&t, &e)
	case date.After(p.f.DataDate):
		t.NotBefore, t.NotBeforeCause = copied(date), name+" ("+p.handoverDates(h)+")"
	default:
		t.NotBefore = p.overdue()
		t.NotBeforeCause = name + " overdue (" + p.handoverDates(h) + ")"
	}
	p.add(t, e)
}

// handoverDates writes the dates known: promised Wed 2 Dec 2026, forecast Fri 4 Dec 2026.
func (p *projectBuilder) handoverDates(h *Handover) string {
	var parts []string
	if h.Promised != nil {
		parts = append(parts, "promised "+p.day(*h.Promised))
	}
	if h.Forecast != nil {
		parts = append(parts, "forecast "+p.day(*h.Forecast))
	}
	return strings.Join(parts, ", ")
}

// overdue is when an answer or handover is expected whose date has passed.
func (p *projectBuilder) overdue() *time.Time {
	at := p.clock.afterDataDate(p.pr.Calendar, p.settings.OverdueHandoverMinutes)
	return &at
}

func (p *projectBuilder) day(t time.Time) string { return p.clock.day(p.pr.Calendar, t) }

// wait holds a task back without a date and says why.
func (p *projectBuilder) wait(t *problem.Task, e *Entry, cause string) {
	t.Waits = true
	if e.Waiting != "" {
		cause = e.Waiting + "; " + cause
	}
	t.NotBefore, t.NotBeforeCause, e.Waiting = nil, cause, cause
}

// holdUntil lets a task start no earlier than an instant. The latest one stands, with its cause.
func (p *projectBuilder) holdUntil(t *problem.Task, at time.Time, cause string) {
	if t.Waits || (t.NotBefore != nil && !at.After(*t.NotBefore)) {
		return
	}
	t.NotBefore, t.NotBeforeCause = &at, cause
}

// noteUnlisted tells which handovers are needed and listed nowhere.
func (p *projectBuilder) noteUnlisted() {
	for _, c := range slices.Sorted(maps.Keys(p.unlisted)) {
		p.noteOf(NoteUnlisted, string(c), "%s %s, and no handover of it is listed for the areas: nothing waits for it",
			needing(p.unlisted[c]), words(c))
	}
}

// needing says how many tasks need something.
func needing(tasks int) string {
	if tasks == 1 {
		return "1 task needs"
	}
	return fmt.Sprintf("%d tasks need", tasks)
}

// words writes a condition as people say it: walls boarded.
func words(c Condition) string { return strings.ReplaceAll(string(c), "_", " ") }

// words writes an item as people say it: frame kit.
func (i Item) words() string { return strings.ReplaceAll(string(i), "_", " ") }
