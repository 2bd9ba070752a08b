package forecast

import (
	"math"
	"slices"

	"jambwright/scheduler/problem"
)

// remake is the work that a damage adds: the remake, and the rework where there is one. Both are tasks at the end of the
// widened problem, absent in the samples in which nothing breaks.
type remake struct {
	damage  int // in Uncertainty.Damages
	task    int // what may be damaged
	order   int // the remake
	rework  int // -1 for fixed work, and where no crew could do it
	lastly  int // rework, else remake
	chances float64
}

// widen copies a problem and adds the tasks of every damage that may still happen. The problem itself is left as it is;
// tasks keep their places. Links and GC dates that wait for a task's finish wait for its rework, too.
func widen(p *problem.Problem) (*problem.Problem, []remake) {
	if p.Uncertainty == nil || len(p.Uncertainty.Damages) == 0 {
		return p, nil
	}
	w := widener{p: p, names: make(map[string]bool, len(p.Tasks)), of: make(map[string]remake)}
	for i := range p.Tasks {
		w.names[p.Tasks[i].ID] = true
	}
	wide := *p
	wide.Tasks, wide.Links = slices.Clone(p.Tasks), slices.Clone(p.Links)
	w.wide = &wide
	damages := p.Uncertainty.Damages
	governing := p.Governing(len(damages), func(i int) (tasks, kinds []string) { return damages[i].Tasks, damages[i].Kinds })
	for t, d := range governing {
		if d >= 0 && damages[d].Chance > 0 && !p.Tasks[t].IsFinished() {
			w.add(t, d)
		}
	}
	w.redirect()
	return &wide, w.remakes
}

type widener struct {
	p, wide *problem.Problem
	names   map[string]bool
	remakes []remake
	of      map[string]remake // by damaged task
}

// add appends the remake and rework of one task.
func (w *widener) add(t, d int) {
	damage, task := &w.p.Uncertainty.Damages[d], &w.p.Tasks[t]
	r := remake{damage: d, task: t, order: len(w.wide.Tasks), rework: -1, chances: damage.Chance}
	order := problem.Task{ID: w.name(task.ID, "remake"), Kind: "remake", Site: task.Site, DurationMinutes: new(0), Calendar: damage.RemakeCalendar}
	w.wide.Tasks = append(w.wide.Tasks, order)
	w.wide.Links = append(w.wide.Links, problem.Link{From: task.ID, To: order.ID})
	r.lastly = r.order
	if rework, ok := w.rework(task, damage); ok {
		r.rework, r.lastly = len(w.wide.Tasks), len(w.wide.Tasks)
		w.wide.Tasks = append(w.wide.Tasks, rework)
		w.wide.Links = append(w.wide.Links, problem.Link{From: order.ID, To: rework.ID})
	}
	w.remakes = append(w.remakes, r)
	w.of[task.ID] = r
}

// rework is the crew work that follows a remake. There is none where the crew that is under way with a task is the only
// one for it and could not begin another.
func (w *widener) rework(task *problem.Task, damage *problem.Damage) (problem.Task, bool) {
	if !task.IsCrewWork() {
		return problem.Task{}, false
	}
	labour := int(math.Floor(float64(*task.LabourMinutes)*damage.ReworkShare() + 0.5))
	rework := problem.Task{
		ID: w.name(task.ID, "rework"), Kind: task.Kind, Site: task.Site, Area: task.Area, LabourMinutes: &labour,
		MinHeads: task.MinHeads, Uses: task.Uses,
	}
	able := slices.ContainsFunc(w.p.Crews, func(c problem.Crew) bool { return c.CanDo(&rework) })
	return rework, able && labour > 0
}

// name is an identifier that the document does not use.
func (w *widener) name(id, what string) string {
	name := id + " (" + what + ")"
	for w.names[name] {
		name += "'"
	}
	w.names[name] = true
	return name
}

// redirect makes what waits for the finish of a task that may be damaged wait for its remake and rework.
func (w *widener) redirect() {
	for _, link := range w.p.Links {
		r, ok := w.of[link.From]
		if relation := link.Relation(); ok && (relation == problem.FinishToStart || relation == problem.FinishToFinish) {
			link.From = w.wide.Tasks[r.lastly].ID
			w.wide.Links = append(w.wide.Links, link)
		}
	}
	w.wide.GCDates = slices.Clone(w.p.GCDates)
	for i := range w.wide.GCDates {
		date := &w.wide.GCDates[i]
		date.Tasks = slices.Clone(date.Tasks)
		for _, id := range w.p.GCDates[i].Tasks {
			if r, ok := w.of[id]; ok {
				date.Tasks = append(date.Tasks, w.wide.Tasks[r.lastly].ID)
			}
		}
	}
}
