package delays

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"jambwright/scheduler/ledger"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

const dayLayout = "Mon 2 Jan 2006"

// namesShown is how many subjects a sentence names before it counts the rest.
const namesShown = 3

// text says what a line is, in words that will still be true when the rows behind it have changed.
func (r *records) text(line *ledger.Line) string {
	switch line.Kind {
	case ledger.Progress:
		return "Work not begun or not ended when the plan in force had it, and no other cause was reported"
	case ledger.Rest:
		return "Left between the causes above and the later plan's records"
	case ledger.PlannedAnew:
		return "Re-planning: other crews and another order than staying with the plan in force"
	case ledger.NewWork, ledger.GoneWork, ledger.GCDates, ledger.Handover, ledger.Lead, ledger.Hold, ledger.Scope, ledger.Pace,
		ledger.Crews, ledger.Calendars, ledger.Places, ledger.Links, ledger.Decisions:
	}
	if told := r.told(line); told != "" {
		return told
	}
	about := r.names(line.About)
	switch line.Kind {
	case ledger.NewWork:
		return "Work added: " + about
	case ledger.GoneWork:
		return "Work taken out: " + about
	case ledger.GCDates:
		return "GC date changed: " + about
	case ledger.Handover:
		return r.handoverText(line)
	case ledger.Lead:
		return "On its way longer or shorter than the plan counted on: " + about
	case ledger.Hold:
		return "Another earliest start: " + about
	case ledger.Scope:
		return "Other hours, hands or places of work: " + about
	case ledger.Pace:
		return r.paceText(line, about)
	case ledger.Crews:
		return "Crew changed: " + about
	case ledger.Calendars:
		return "Working days changed: calendar " + about
	case ledger.Links:
		return "Order between tasks changed"
	case ledger.Decisions:
		return "Pinned or let go by the operations manager: " + about
	case ledger.Places, ledger.Progress, ledger.Rest, ledger.PlannedAnew:
	}
	return "Areas, travel or shared limits changed"
}

// told joins what the events behind a line say.
func (r *records) told(line *ledger.Line) string {
	var texts []string
	for _, ref := range line.Refs {
		if e, known := r.evidence[ref]; known && !slices.Contains(texts, e.Text) {
			texts = append(texts, e.Text)
		}
	}
	return listed(texts, "; ", "records")
}

// listed joins texts, at most a few, and counts the rest.
func listed(texts []string, between, noun string) string {
	if len(texts) <= namesShown {
		return strings.Join(texts, between)
	}
	return fmt.Sprintf("%s and %d more %s", strings.Join(texts[:namesShown-1], between), len(texts)-namesShown+1, noun)
}

// names are what ids of tasks, crews, calendars and GC dates are called.
func (r *records) names(ids []string) string {
	var texts []string
	for _, id := range ids {
		if name := r.name(id); !slices.Contains(texts, name) {
			texts = append(texts, name)
		}
	}
	return listed(texts, ", ", "of the kind")
}

func (r *records) name(id string) string {
	if crew, known := r.directory.Crews[id]; known {
		return crew.Name
	}
	if name, known := r.directory.Calendars[id]; known {
		return name
	}
	key, err := pattern.TaskKey(id).Parse()
	if err != nil {
		return id
	}
	if key.Project != r.project.Code {
		return "work on another job"
	}
	if key.Kind == pattern.Handovers {
		return words(string(key.Condition)) + " on " + r.area(key)
	}
	switch key.Kind {
	case takeoff.Survey:
		return "survey of " + r.area(key)
	case pattern.Lead:
		return key.Subject + " on its way"
	}
	return string(key.Kind) + " " + key.Subject
}

func (r *records) area(key pattern.Key) string {
	if name := r.directory.Areas[key.Project+"/"+key.Subject]; name != "" {
		return name
	}
	return key.Subject
}

func words(text string) string { return strings.ReplaceAll(text, "_", " ") }

// handoverText tells when a handover came or is to come, against what the plan in force counted on.
func (r *records) handoverText(line *ledger.Line) string {
	id := line.About[0]
	text := r.names(line.About)
	before, after := taskOf(r.earlier, id), taskOf(r.later, id)
	switch {
	case after.IsFinished():
		text += ": handed over " + r.day(*after.Status.Finished)
	case after.Waits:
		text += ": has no date"
	case after.NotBefore != nil:
		text += ": now counted on for " + r.day(*after.NotBefore)
	}
	if before.NotBefore != nil {
		text += ", the plan in force counted on " + r.day(*before.NotBefore)
	}
	return text
}

// paceText tells which crew took how much longer.
func (r *records) paceText(line *ledger.Line, about string) string {
	crew, longer := "", 0
	for _, id := range line.About {
		took, planned, who := r.took(id)
		longer += took - planned
		if who != "" {
			crew = who
		}
	}
	if c, known := r.directory.Crews[crew]; known {
		crew = c.Name
	}
	switch {
	case crew == "":
		return "Took another time than planned: " + about
	case longer >= 0:
		return fmt.Sprintf("%s took %s longer than planned: %s", crew, hours(longer), about)
	}
	return fmt.Sprintf("%s took %s less than planned: %s", crew, hours(-longer), about)
}

// took is the clock time from start to finish of a finished task of one day, and the crew's planned minutes; work over
// several days and work under way answer with the plan, since the clock would count the nights.
func (r *records) took(id string) (took, planned int, crew string) {
	before, after := taskOf(r.earlier, id), taskOf(r.later, id)
	if before == nil || after == nil || after.Status == nil || before.LabourMinutes == nil {
		return 0, 0, ""
	}
	crew = after.Status.Crew
	for i := range r.later.Crews {
		if c := &r.later.Crews[i]; c.ID == crew {
			planned = c.MinutesFor(before)
		}
	}
	took = planned
	if f := after.Status.Finished; f != nil && f.Sub(after.Status.Started) < 12*time.Hour {
		took = int(f.Sub(after.Status.Started) / time.Minute)
	}
	return took, planned, crew
}

func taskOf(p *problem.Problem, id string) *problem.Task {
	for i := range p.Tasks {
		if p.Tasks[i].ID == id {
			return &p.Tasks[i]
		}
	}
	return nil
}

func (r *records) day(t time.Time) string { return t.In(r.zone).Format(dayLayout) }

func hours(minutes int) string {
	if minutes < 60 {
		return fmt.Sprintf("%d min", minutes)
	}
	return fmt.Sprintf("%d h %02d min", minutes/60, minutes%60)
}

// party proposes who answers for a line, in words.
func (r *records) party(line *ledger.Line) string {
	switch line.Cause {
	case ledger.OtherTrade:
		for _, id := range line.About {
			if key, err := pattern.TaskKey(id).Parse(); err == nil && key.Kind == pattern.Handovers {
				if h := r.directory.Handover(key); h != nil && h.Trade != "" {
					return h.Trade
				}
			}
		}
		return "another trade"
	case ledger.Supplier:
		for _, id := range line.About {
			if key, err := pattern.TaskKey(id).Parse(); err == nil {
				if entry := r.directory.Releases[key.Project+"/"+key.Subject]; entry.Supplier != "" {
					return entry.Supplier
				}
			}
		}
		return "supplier"
	case ledger.GCChange:
		return "general contractor"
	case ledger.OwnWork, ledger.CrewShortage, ledger.Replanning:
		return "us"
	case ledger.Weather:
		return "weather"
	case ledger.Unknown:
	}
	return "not known"
}
