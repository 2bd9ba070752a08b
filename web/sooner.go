package web

import (
	"strings"
	"time"

	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
)

// SoonerPage says of each unfinished task of one opening why it does not start sooner, and what would have to give.
// GET /openings/{id}/sooner.
type SoonerPage struct {
	Chrome
	ID        string
	Mark      string
	Project   string
	ProjectID string
	MadeAt    time.Time // of the plan in force; zero without one
	Tasks     []SoonerTask
}

// SoonerTask is the answer for one task.
type SoonerTask struct {
	Key    string // of the task: the section's anchor
	Kind   TaskKind
	Shared string   // "release R3" when the task is shared
	Lines  []string // sentences, the first says when it starts
}

// Sooner turns a ladder into sentences: when the task starts, what holds it, what it could do if that gave, and so on.
func (f Format) Sooner(l *plan.Ladder, names Names) []string {
	crew := ""
	if l.Crew != "" {
		crew = "crew " + named(names.Crews, l.Crew, l.Crew)
	}
	starts, could := "Starts ", " could start "
	if l.Resumes {
		starts, could = "Goes on ", " could go on "
	}
	first := starts + f.Moment(l.Start)
	if crew != "" {
		first += " by " + crew
	}
	lines := []string{first + "."}
	subject := "it"
	if crew != "" {
		subject = crew
	}
	if l.Late != nil {
		return append(lines, capital(f.holds(l.Floor, l.Crew, names))+". By what is known now it cannot start before "+f.Moment(*l.Late)+"; the next plan moves it.")
	}
	if l.Free != nil {
		lines = append(lines, capital(subject)+could+f.Moment(*l.Free)+" with all other work where it is: nothing holds it until then but the order of the plan.")
	}
	for i := range l.Steps {
		lines = append(lines, f.soonerStep(&l.Steps[i], i > 0 || l.Free != nil, subject+could, l, names))
	}
	lines = append(lines, f.floor(l, names))
	lines = append(lines, f.soonerHours(l, subject+could, names)...)
	for _, other := range l.Others {
		lines = append(lines, "Crew "+named(names.Crews, other.Crew, other.Crew)+" could start it "+f.Moment(other.Could)+", with all other work where it is.")
	}
	return lines
}

// soonerStep is one rung: what holds, and what could be if it gave.
func (f Format) soonerStep(step *plan.Step, further bool, could string, l *plan.Ladder, names Names) string {
	var held, given []string
	for _, hold := range step.Causes {
		held = append(held, f.holds(hold, l.Crew, names))
		given = append(given, f.gives(hold))
	}
	text := capital(strings.Join(held, ", and "))
	if further {
		text = "Before that, " + strings.Join(held, ", and ")
	}
	condition := given[0]
	switch {
	case len(given) > 1:
		condition = "if all of that gave"
	case further:
		condition += " too"
	}
	return text + ". " + capital(condition) + ", " + could + f.Moment(step.Could) + ", " + sooner(l.Start.Sub(step.Could)) + " sooner than planned."
}

// sooner is a span of time in whole days, or in hours and minutes when it is less.
func sooner(span time.Duration) string {
	const day = 24 * time.Hour
	if span < day {
		return Format{}.Hours(int(span / time.Minute))
	}
	if days := int(span / day); days > 1 {
		return Format{}.Number(days) + " days"
	}
	return "a day"
}

// holds says what a cause is and until when it holds.
func (f Format) holds(h plan.Hold, crew string, names Names) string {
	r := problem.Reason(h)
	switch h.Kind {
	case problem.ReasonPredecessor:
		return named(names.Tasks, h.Ref, "the task before it") + " holds it" + f.until(r, " until ")
	case problem.ReasonHandover:
		return handover(h.Ref, names) + " is " + f.dated(r.Until, names.Handovers[h.Ref].word())
	case problem.ReasonMaterial:
		return material(h.Ref, names) + " is " + f.dated(r.Until, names.Materials[h.Ref].word())
	case problem.ReasonCrew:
		return "crew " + named(names.Crews, h.Ref, crew) + " has other work" + f.until(r, " until ")
	case problem.ReasonPin:
		if h.Ref != "" {
			return "it stays where the issued plan has it"
		}
		return "it is pinned" + f.until(r, " to ")
	case problem.ReasonCalendar:
		if _, known := names.Calendars[h.Ref]; !known && h.Ref != "" {
			return "it may not start before " + f.Until(h.Until) + " (" + h.Ref + ")"
		}
	}
	return f.Why(r, crew, names)
}

// gives is the condition under which a cause holds no longer.
func (f Format) gives(h plan.Hold) string {
	switch h.Kind {
	case problem.ReasonPredecessor:
		return "if that were done sooner"
	case problem.ReasonHandover, problem.ReasonMaterial:
		return "if it came sooner"
	case problem.ReasonCrew:
		return "if the crew were free"
	case problem.ReasonCapacity:
		return "if there were room for one more"
	case problem.ReasonPin:
		if h.Ref != "" {
			return "moved from there"
		}
		return "without the pin"
	}
	return "if it might"
}

// floor says what cannot give.
func (f Format) floor(l *plan.Ladder, names Names) string {
	h := l.Floor
	before := "Before " + f.Until(h.Until) + " "
	switch h.Kind {
	case problem.ReasonDataDate:
		return before + "nothing can start: the plan begins there."
	case problem.ReasonStatus:
		return "It is under way, and what is left of it cannot go on sooner than that."
	case problem.ReasonCrew:
		return "Crew " + named(names.Crews, h.Ref, l.Crew) + " cannot be there before " + f.Until(h.Until) + "."
	case problem.ReasonCalendar:
		if _, known := names.Calendars[h.Ref]; known || h.Ref == "" {
			return before + "there are no working hours left for it."
		}
	}
	return "And before that, " + f.holds(h, l.Crew, names) + "."
}

// soonerHours says what a day off worked, or a crew that is not away, would do.
func (f Format) soonerHours(l *plan.Ladder, could string, names Names) (lines []string) {
	for _, h := range l.Hours {
		if h.Day != nil {
			lines = append(lines, "If "+f.Date(*h.Day)+" were worked, "+could+f.Moment(h.Could)+".")
			continue
		}
		lines = append(lines, "If crew "+named(names.Crews, l.Crew, l.Crew)+" were not away, it could start "+f.Moment(h.Could)+".")
	}
	return lines
}
