package pattern

import (
	"slices"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// addGCDates ties each GC date to the fewest tasks that stand for it: the last ones, since all others come before them.
//
// It ties each date to its tasks: for every opening in its area the step of its kind, or the last step when
// the date names no kind, and the repairs of steps up to it. A date without any task is noted: its area may still be empty.
func (p *projectBuilder) addGCDates() {
	repairs := map[string][]*Entry{}
	for i := range p.index.Tasks {
		if e := &p.index.Tasks[i]; e.Project == p.pr.Code && e.Opening != "" && e.Remake {
			repairs[e.Opening] = append(repairs[e.Opening], e)
		}
	}
	for _, d := range sortedBy(p.pr.GCDates, func(d *GCDate) string { return d.ID }) {
		var tasks []string
		for _, o := range p.openings {
			if !p.tree.isInside(o.Area, d.Area) {
				continue
			}
			last := o.upTo(d.Kind)
			if last < 0 {
				continue
			}
			tasks = append(tasks, string(p.key(o, o.steps[last].Kind)))
			for _, e := range repairs[o.Mark] {
				if at := o.upTo(e.Kind); at >= 0 && at <= last {
					tasks = append(tasks, string(e.Key))
				}
			}
		}
		if tasks = append(tasks, p.surveysIn(d)...); len(tasks) == 0 {
			p.noteOf(NoteDropped, d.ID, "GC date %s has no work in its area yet; it is not planned for", d.ID)
			continue
		}
		p.p.GCDates = append(p.p.GCDates, problem.GCDate{
			ID: GCDateID(p.pr.Code, d.ID), Tasks: tasks, Date: d.Date, DamagesPerDay: copied(d.DamagesPerDay),
		})
	}
}

// upTo is the index of the step of a kind, of the last step for no kind, -1 when the opening has no such step.
func (o *openingPlan) upTo(kind takeoff.Kind) int {
	if kind == "" {
		return len(o.steps) - 1
	}
	return slices.IndexFunc(o.steps, func(s Step) bool { return s.Kind == kind })
}

// surveysIn lists the surveys that a GC date of that kind asks for.
func (p *projectBuilder) surveysIn(d *GCDate) []string {
	var list []string
	if d.Kind != takeoff.Survey {
		return nil
	}
	for _, o := range p.openings {
		key := string(p.surveys[o.survey].key)
		if p.tree.isInside(o.Area, d.Area) && !slices.Contains(list, key) {
			list = append(list, key)
		}
	}
	return list
}

// GCDateID is the id that a GC date of a project has in the problem document.
func GCDateID(project, id string) string { return escaper.Replace(project) + "/" + escaper.Replace(id) }
