package problem

import "fmt"

func (v *validator) checkGCDates() {
	own := collect(v, "GC date", "gc_dates", len(v.p.GCDates), func(i int) string { return v.p.GCDates[i].ID })
	for i := range v.p.GCDates {
		d, at := &v.p.GCDates[i], spot{"gc_dates", i}
		v.own(at, &own, d.ID)
		if len(d.Tasks) == 0 && !v.unreadable[at.field("tasks")] {
			v.fault(at, "tasks", "list the tasks that must be finished by then", "GC date %q has no tasks", d.ID)
		}
		for j, id := range d.Tasks { // one named twice is finished by then all the same
			v.known(at, fmt.Sprintf("tasks[%d]", j), &v.tasks, id)
		}
		v.instant(at, "date", d.Date)
		v.amount(at, "damages_per_day", d.Damages())
	}
}

func (v *validator) checkIssued() {
	firstFor := make(map[string]int, len(v.p.Issued))
	for i := range v.p.Issued {
		line, at := &v.p.Issued[i], spot{"issued", i}
		known := v.known(at, "task", &v.tasks, line.Task)
		if first, twice := firstFor[line.Task]; twice && line.Task != "" {
			v.fault(at, "task", "", "task %q is already %s", line.Task, spot{"issued", first})
		} else {
			firstFor[line.Task] = i
		}
		v.instant(at, "start", line.Start)
		if line.Resume != nil {
			v.instant(at, "resume", *line.Resume)
		}
		if line.Crew == "" || !v.known(at, "crew", &v.crews, line.Crew) || !known {
			continue
		}
		if t := &v.p.Tasks[v.tasks.index[line.Task]]; t.DurationMinutes != nil {
			v.fault(at, "crew", "leave it out", "task %q is fixed work and has no crew", line.Task)
		}
	}
}

func (v *validator) checkWeights() {
	if v.p.Weights == nil {
		return
	}
	document := spot{}
	v.amount(document, "weights.lateness", v.p.Weights.Lateness)
	v.amount(document, "weights.change", v.p.Weights.Change)
	v.amount(document, "weights.travel", v.p.Weights.Travel)
	v.amount(document, "weights.early", v.p.Weights.Early)
}
