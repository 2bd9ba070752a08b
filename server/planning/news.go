package planning

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"jambwright/models"
	"jambwright/scheduler/compare"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

// Kinds of cause in stored differences, beside the kinds of news. CauseReordered is what nothing but the order of the crews'
// work moves.
const (
	causeNotStarted  = "not_started"
	causeNotFinished = "not_finished"
	causeGoingOn     = "going_on"
	CauseReordered   = "reordered"
	causeMoved       = "moved"   // by a person
	causeRevised     = "revised" // hours, hands or pace changed by a person
	causeScenario    = "scenario"
)

// dayLayout is how texts that are stored name a day.
const dayLayout = "Mon 2 Jan"

// Locale is how the people of a project read: the zone whose days they name, and the units of their lengths.
type Locale struct {
	Zone  *time.Location
	Units models.Units
}

// Describe says in words what a piece of news was: "Alder reported glazing part done, 3 h left". Instants are told as days.
func Describe(n models.News, to Locale) string {
	switch {
	case n.Report != nil:
		return describeReport(n, to)
	case n.Handover != nil:
		return describeHandover(n)
	case n.Material != nil:
		return describeMaterial(n.Material, to.Zone)
	}
	return string(n.Kind)
}

func describeReport(n models.News, to Locale) string {
	r := n.Report
	who := r.Reporter
	if r.Crew != nil {
		who += " (" + r.Crew.Name + ")"
	}
	return who + " reported " + reportWords(r, subjectOf(&r.Task, n.Area), to)
}

// ReportWords says in words what a report says of its task: "glaze 204 part done, 3 h left". The report's task with its
// opening must be loaded.
func ReportWords(r *models.FieldReport, to Locale) string {
	return reportWords(r, subjectOf(&r.Task, ""), to)
}

// subjectOf is a task with what it is done on, as far as that is known: "glaze 204", "survey of Level 2 / East", "order of
// release R3", "delivery of release R3".
func subjectOf(t *models.Task, area string) string {
	switch {
	case t.Opening != nil:
		return string(t.Kind) + " " + t.Opening.Mark
	case t.Release != nil && t.Kind == takeoff.Deliver:
		return "delivery of release " + t.Release.Code
	case t.Release != nil:
		return string(t.Kind) + " of release " + t.Release.Code
	case area != "":
		return string(t.Kind) + " of " + area
	}
	return string(t.Kind)
}

func reportWords(r *models.FieldReport, subject string, to Locale) string {
	what := map[models.ReportKind]string{
		models.ReportStart: "started", models.ReportDone: "done", models.ReportHours: "hours spent",
		models.ReportReleaseHold: "hold lifted", models.ReportPunch: "punch item: " + r.Note,
	}[r.Kind]
	switch r.Kind {
	case models.ReportPartDone:
		what = "part done"
		if r.RemainingMinutes != nil {
			what += fmt.Sprintf(", %s left", hours(*r.RemainingMinutes))
		}
	case models.ReportHold:
		what = "held: " + r.Cause
		if r.Until != nil {
			what += ", expected " + r.Until.In(to.Zone).Format(dayLayout)
		}
	case models.ReportDamaged:
		what = "damaged " + strings.ReplaceAll(string(r.ItemKind), "_", " ")
		if r.Cause+r.Note != "" {
			what += ": " + strings.TrimSpace(r.Cause+" "+r.Note)
		}
	case models.ReportMeasured:
		if r.Width != nil && r.Height != nil {
			what = "measured " + to.Units.Write(*r.Width) + " x " + to.Units.Write(*r.Height)
		}
		if r.Withdraws != nil {
			what = "took back: " + what
		}
		if r.Cause != "" {
			what += ", held: " + r.Cause
		}
	}
	return subject + " " + what
}

func hours(minutes int) string {
	switch {
	case minutes < 60:
		return fmt.Sprintf("%d min", minutes)
	case minutes%60 == 0:
		return fmt.Sprintf("%d h", minutes/60)
	}
	return fmt.Sprintf("%d h %d min", minutes/60, minutes%60)
}

func describeHandover(n models.News) string {
	c, place := n.Handover, n.Area
	condition := strings.ReplaceAll(string(c.Handover.Condition), "_", " ")
	if c.Field == models.FieldActual && c.NewDate != nil {
		return fmt.Sprintf("%s on %s: handed over on %s", condition, place, dateWords(c.NewDate))
	}
	text := fmt.Sprintf("%s on %s: %s date %s", condition, place, c.Field, dateWords(c.NewDate))
	if c.OldDate != nil {
		text += ", was " + dateWords(c.OldDate)
	}
	return text
}

func dateWords(d *models.Date) string {
	if d == nil {
		return "not known"
	}
	return d.At(0, time.UTC).Format(dayLayout)
}

func describeMaterial(c *models.MaterialChange, zone *time.Location) string {
	what, supplier := "", ""
	switch {
	case c.Release != nil:
		what, supplier = "release "+c.Release.Code, c.Release.Supplier.Name
	case c.Item != nil:
		what = "remade " + strings.ReplaceAll(string(c.Item.Kind), "_", " ")
		if c.Item.Opening != nil {
			what += " of " + c.Item.Opening.Mark
		}
		if c.Item.Supplier != nil {
			supplier = c.Item.Supplier.Name
		}
	}
	if supplier != "" {
		what += " from " + supplier
	}
	return what + ": " + MaterialWords(c, zone)
}

// MaterialWords says in words what a line of a material's history says: "promised Mon 7 Dec, was Fri 4 Dec". Instants are told
// as days of the zone.
func MaterialWords(c *models.MaterialChange, zone *time.Location) string {
	next := dayOf(c.NewValue, zone)
	if next == "" {
		next = "taken back"
	}
	text := fmt.Sprintf("%s %s", c.Field, next)
	if c.OldValue != "" {
		text += ", was " + dayOf(c.OldValue, zone)
	}
	return text
}

// dayOf shortens a stored date, or an instant as the zone has it, to the day.
func dayOf(value string, zone *time.Location) string {
	if t, err := time.Parse(time.DateOnly, value); err == nil {
		return t.Format(dayLayout)
	}
	if t, err := time.Parse(time.RFC3339, value); err == nil {
		return t.In(zone).Format(dayLayout)
	}
	return value
}

// eventsOf are the news as compare wants them; the ref is the index of the news. Damage to an opening's item is also news
// of the tasks of its remake, which have no report of their own.
func eventsOf(news []models.News, index *pattern.Index) []compare.Event {
	var events []compare.Event
	for i, n := range news {
		ref := fmt.Sprint(i)
		for _, key := range n.Tasks {
			events = append(events, compare.Event{Task: key, Ref: ref})
		}
		if n.Report == nil || n.Report.Kind != models.ReportDamaged || n.Report.Task.Opening == nil {
			continue
		}
		for j := range index.Tasks {
			e := &index.Tasks[j]
			if e.Remake && e.Project == projectOf(n.Report.Task.Key) && isAbout(e, n.Report.Task.Opening.Mark) {
				events = append(events, compare.Event{Task: string(e.Key), Ref: ref})
			}
		}
	}
	slices.SortStableFunc(events, func(a, b compare.Event) int { return rulesBefore(news, a, b) })
	return events
}

// rulesBefore sorts the news of one task: what the plan goes by comes first. Of reports alike it is the last one.
func rulesBefore(news []models.News, a, b compare.Event) int {
	i, errA := strconv.Atoi(a.Ref)
	k, errB := strconv.Atoi(b.Ref)
	if errA != nil || errB != nil {
		return 0
	}
	happened := func(n *models.News) (at time.Time) {
		if n.Report != nil {
			at = n.Report.At
		}
		return at
	}
	return cmp.Or(rank(&news[i])-rank(&news[k]), happened(&news[k]).Compare(happened(&news[i])))
}

// rank is low for what the plan goes by. Of a handover that is the day it came before what we expect, that before what is promised,
// and that before an expectation that was dropped. Of work it is that it is done, before what stops it, before what is left of
// it, before that it was begun; hours and punch items move nothing.
func rank(n *models.News) int {
	switch {
	case n.Handover != nil:
		return rankOfHandover(n.Handover)
	case n.Report != nil:
		return rankOfReport(n.Report)
	}
	return 0
}

func rankOfHandover(c *models.HandoverChange) int {
	switch {
	case c.Field == models.FieldActual:
		return 0
	case c.Field == models.FieldForecast && c.NewDate != nil:
		return 1
	case c.Field == models.FieldPromised:
		return 2
	}
	return 3
}

func rankOfReport(r *models.FieldReport) int {
	switch r.Kind {
	case models.ReportDone:
		return 0
	case models.ReportHold, models.ReportReleaseHold, models.ReportDamaged:
		return 1
	case models.ReportMeasured:
		if r.Cause != "" {
			return 1
		}
	case models.ReportPartDone:
		return 2
	case models.ReportStart:
		return 3
	case models.ReportHours, models.ReportPunch:
	}
	return 4
}

func projectOf(key string) string {
	k, err := pattern.TaskKey(key).Parse()
	if err != nil {
		return ""
	}
	return k.Project
}

func isAbout(e *pattern.Entry, mark string) bool {
	return e.Opening == mark || slices.Contains(e.Openings, mark)
}
