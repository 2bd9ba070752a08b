package delays

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"time"

	"jambwright/models"
	"jambwright/scheduler/ledger"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
)

// evidenceShown is how many records a line keeps for work that has one for each task.
const evidenceShown = 8

// rows turns a computed ledger into rows. GC dates of other projects are left out, and so are lines that touch none of the
// project's.
func (r *records) rows(result *ledger.Result) *models.LedgerToSave {
	out := &models.LedgerToSave{Window: models.LedgerWindow{
		ProjectID: r.project.ID, FromPlanID: r.window.From.ID, ToPlanID: r.window.To.ID, Replans: result.Replans,
	}}
	var dates []*ledger.Date
	for i := range result.Dates {
		if key := result.Dates[i].ID; strings.HasPrefix(key, pattern.GCDateID(r.project.Code, "")) && r.dates[key] != 0 {
			dates = append(dates, &result.Dates[i])
		}
	}
	place := r.lines(out, result, dates)
	for _, d := range dates {
		out.Dates = append(out.Dates, r.date(d, place))
	}
	return out
}

// lines adds the lines that touch some date, and answers with their places.
func (r *records) lines(out *models.LedgerToSave, result *ledger.Result, dates []*ledger.Date) map[int]int {
	place := map[int]int{}
	for i := range result.Lines {
		touches := func(d *ledger.Date) bool {
			return slices.Contains(d.Lost, i) || slices.ContainsFunc(d.Parts, func(p ledger.Part) bool { return p.Line == i })
		}
		if !slices.ContainsFunc(dates, touches) {
			continue
		}
		line := result.Lines[i]
		if line.Kind != ledger.GCDates && r.isElsewhere(&line) {
			line.Cause = ledger.CrewShortage
		}
		place[i] = len(out.Lines)
		out.Lines = append(out.Lines, models.LedgerLine{
			LineKey: r.key(&line), Cause: line.Cause, Kind: line.Kind, At: line.At,
			Text: r.text(&line), Party: r.party(&line), Evidence: r.evidenceOf(&line),
		})
	}
	return place
}

// isElsewhere reports whether a line is about the work of other projects only.
func (r *records) isElsewhere(line *ledger.Line) bool {
	tasks := 0
	for _, id := range line.About {
		key, err := pattern.TaskKey(id).Parse()
		if err != nil || key.Project == r.project.Code {
			return false
		}
		tasks++
	}
	return tasks > 0
}

// key names a line's event for good: by its records, or where there are none by what it is about since which plan.
func (r *records) key(line *ledger.Line) string {
	parts := []string{string(line.Cause)}
	if len(line.Refs) > 0 {
		parts = append(parts, line.Refs...)
	} else {
		parts = append(parts, string(line.Kind), fmt.Sprint(r.window.From.ID))
		parts = append(parts, line.About...)
	}
	sum := sha256.Sum256([]byte(strings.Join(parts, "\x00")))
	return hex.EncodeToString(sum[:12])
}

// evidenceOf are the records of a line: those of its events, or for our own work the reports on it and what is missing.
func (r *records) evidenceOf(line *ledger.Line) (list models.List[models.Evidence]) {
	for _, ref := range line.Refs {
		if e, known := r.evidence[ref]; known {
			list = append(list, e)
		}
	}
	if line.Kind == ledger.Pace {
		for _, id := range line.About {
			if told := r.work[id]; len(told) > 0 && len(list) < evidenceShown {
				list = append(list, told[len(told)-1])
			}
		}
	}
	if line.Kind == ledger.Progress {
		list = append(list, r.notBegun()...)
	}
	return list
}

// notBegun lists crew work of the project that the plan in force began before the later data date and that was begun later or
// not at all, the earliest first.
func (r *records) notBegun() (list models.List[models.Evidence]) {
	state := map[string]*problem.Task{}
	for i := range r.later.Tasks {
		state[r.later.Tasks[i].ID] = &r.later.Tasks[i]
	}
	tasks := slices.Clone(r.earlierPlan.Tasks)
	slices.SortStableFunc(tasks, func(a, b problem.PlannedTask) int { return a.Start.Compare(b.Start) })
	for i := range tasks {
		now, planned := state[tasks[i].ID], tasks[i].Start
		if now == nil || tasks[i].Crew == nil || !r.isOurs(tasks[i].ID) || !planned.Before(r.later.DataDate) || len(list) == evidenceShown {
			continue
		}
		text := fmt.Sprintf("%s: planned to begin %s, ", r.name(tasks[i].ID), r.moment(planned))
		switch {
		case now.Status == nil:
			text += "not reported begun"
		case now.Status.Started.After(planned):
			text += "begun " + r.moment(now.Status.Started)
		default:
			continue
		}
		list = append(list, models.Evidence{Kind: models.EvidenceTask, OpeningID: r.openingOf(tasks[i].ID), Text: text})
	}
	return list
}

func (r *records) moment(t time.Time) string { return t.In(r.zone).Format(dayLayout + " 15:04") }

func (r *records) openingOf(task string) *int64 {
	key, err := pattern.TaskKey(task).Parse()
	if err != nil {
		return nil
	}
	if o, known := r.openings[key.Subject]; known {
		return &o.ID
	}
	return nil
}

// date is a GC date with its parts; parts name lines by place until they are stored.
func (r *records) date(d *ledger.Date, place map[int]int) models.LedgerDate {
	row := models.LedgerDate{
		GCDateID: r.dates[d.ID], DueBefore: known(d.DueBefore), DueAfter: known(d.DueAfter), ForecastBefore: d.Before,
		ForecastAfter: d.After, MovedMinutes: d.Moved, AloneMinutes: d.AloneSum,
	}
	for _, p := range d.Parts {
		part := models.LedgerPart{LineID: int64(place[p.Line]), Minutes: p.Minutes, AloneMinutes: p.Alone}
		if at, there := place[p.CountedWith]; p.CountedWith >= 0 && there {
			part.CountedWith = &at
		}
		for _, other := range p.Concurrent {
			if at, there := place[other]; there {
				part.Concurrent = append(part.Concurrent, at)
			}
		}
		row.Parts = append(row.Parts, part)
	}
	for _, line := range d.Lost {
		row.Parts = append(row.Parts, models.LedgerPart{LineID: int64(place[line]), Lost: true})
	}
	return row
}

func known(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	t = models.Instant(t)
	return &t
}
