package ledger

import (
	"fmt"
	"slices"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
)

// state is the earlier problem on its way to the later one: some patches applied, the data date somewhere in the window.
type state struct {
	w   *window
	at  calendar.Instant // the data date
	p   problem.Problem  // lists that patches replace; tasks, links, GC dates and issued lines are made anew for each plan
	now map[string]*problem.Task

	present      map[string]bool // tasks that are part of the work
	stopped      map[string]bool // tasks under way that a hold has stopped
	lengthened   map[string]bool // tasks that take what they took in the end
	datesApplied map[string]bool // GC dates as the later problem has them
	linksApplied bool
	released     map[string]bool // tasks that no longer hold their issued places: what they waited for came sooner
}

// earlierState is where a walk begins: nothing applied.
func (w *window) earlierState() *state {
	e := w.in.Earlier
	s := &state{
		w: w, at: calendar.FromTime(e.DataDate), p: *e, now: map[string]*problem.Task{},
		present: map[string]bool{}, stopped: map[string]bool{}, lengthened: map[string]bool{}, datesApplied: map[string]bool{},
		released: map[string]bool{},
	}
	s.p.Calendars, s.p.Crews = slices.Clone(e.Calendars), slices.Clone(e.Crews)
	for _, t := range w.tracks {
		if t.earlier != nil {
			s.present[t.id] = true
			task := *t.earlier
			s.now[t.id] = &task
		}
	}
	return s
}

// task is the task as it stands, to be changed by patches.
func (s *state) task(t *track) *problem.Task { return s.now[t.id] }

// setWhole makes a task what the later problem says, with the length that it took.
func (s *state) setWhole(t *track) {
	task := *t.later
	s.now[t.id] = &task
	s.stopped[t.id] = t.earlier != nil && t.later.Status == nil
	if !isMilestone(t.later) && t.began && !t.isInstant() {
		s.setLength(t)
	}
}

// setLength makes a task as long as it was in the end, or as the later problem says it will be.
func (s *state) setLength(t *track) {
	s.lengthened[t.id] = true
	task := s.now[t.id]
	task.Calendar = t.later.Calendar
	switch {
	case !t.began:
		task.DurationMinutes = t.later.DurationMinutes
	case t.later.IsCrewWork() && t.crew != nil:
		labour := t.labour()
		task.LabourMinutes = &labour
	case !t.later.IsCrewWork():
		total := t.total
		task.DurationMinutes = &total
	}
}

// status is what is known of a task at the state's data date, with hindsight.
func (s *state) status(t *track) *problem.Status {
	a, b := t.earlier, t.later
	switch {
	case a != nil && a.IsFinished() && (b == nil || b.Status == nil):
		return a.Status
	case b != nil && b.IsFinished() && calendar.FromTime(*b.Status.Finished) <= s.at:
		return s.known(b.Status)
	case s.stopped[t.id]:
		return nil
	case a != nil && a.IsStarted():
		left := *a.Status.RemainingMinutes
		if s.lengthened[t.id] && t.began {
			left = t.total
		}
		return s.underWay(a.Status, left, s.workedSince(t, s.w.from))
	case b != nil && b.Status != nil && calendar.FromTime(b.Status.Started) <= s.at:
		return s.underWay(b.Status, s.length(t), s.workedSince(t, t.base))
	}
	return nil
}

// length is how long begun work takes from its start, as the state has it.
func (s *state) length(t *track) int {
	task := s.now[t.id]
	switch {
	case s.lengthened[t.id] && t.began:
		return t.total
	case task.DurationMinutes != nil:
		return *task.DurationMinutes
	case t.crew != nil:
		return t.crew.MinutesFor(task)
	}
	return problem.CrewMinutes(*task.LabourMinutes, task.HeadsNeeded(), 1)
}

// workedSince is how many minutes have gone into a task by the data date. Fixed work is counted on the calendar that the
// state has for it.
func (s *state) workedSince(t *track, from calendar.Instant) int {
	c := t.worksIn
	if task := s.now[t.id]; !task.IsCrewWork() {
		own, err := s.w.clock.calendar(task.Calendar)
		if err == nil {
			c = own
		}
	}
	if c == nil {
		return 0
	}
	return int(max(0, c.Count(from, s.at)))
}

// underWay is the status of work that has begun, with what is left of it.
func (s *state) underWay(from *problem.Status, length, worked int) *problem.Status {
	left := max(0, length-worked)
	return s.known(&problem.Status{Started: from.Started, RemainingMinutes: &left, Crew: from.Crew})
}

// known leaves out a crew that the state has not got.
func (s *state) known(status *problem.Status) *problem.Status {
	if status.Crew == "" || slices.ContainsFunc(s.p.Crews, func(c problem.Crew) bool { return c.ID == status.Crew }) {
		return status
	}
	other := *status
	other.Crew = ""
	return &other
}

// problem writes the state as a document.
func (s *state) problem() *problem.Problem {
	p := s.p
	p.DataDate = s.at.Time()
	p.Tasks, p.Links, p.GCDates, p.Issued = nil, nil, nil, nil
	p.Uncertainty = nil // plans nothing, and names tasks
	for _, t := range s.w.tracks {
		if !s.present[t.id] {
			continue
		}
		task := *s.now[t.id]
		if task.Status = s.status(t); task.Status != nil {
			task.Waits, task.NotBefore, task.NotBeforeCause, task.Pin = false, nil, "", nil
		}
		p.Tasks = append(p.Tasks, task)
		if line, there := s.w.issued[t.id]; there && task.IsCrewWork() && !s.released[t.id] {
			p.Issued = append(p.Issued, s.line(line))
		}
	}
	p.Links = s.links()
	p.GCDates = s.gcDates()
	return &p
}

// line is an issued line, without its crew where the state has not got it.
func (s *state) line(line problem.Issued) problem.Issued {
	if !slices.ContainsFunc(s.p.Crews, func(c problem.Crew) bool { return c.ID == line.Crew }) {
		line.Crew = ""
	}
	return line
}

// links are those of the earlier problem, or of the later one once their patch is applied, and those of the later one of
// tasks that are new.
func (s *state) links() (list []problem.Link) {
	old := s.w.in.Earlier.Links
	if s.linksApplied {
		old = s.w.in.Later.Links
	}
	for _, l := range old {
		if s.present[l.From] && s.present[l.To] && (!s.linksApplied || !s.w.isNew[l.From] && !s.w.isNew[l.To]) {
			list = append(list, l)
		}
	}
	for _, l := range s.w.in.Later.Links {
		if (s.w.isNew[l.From] || s.w.isNew[l.To]) && s.present[l.From] && s.present[l.To] {
			list = append(list, l)
		}
	}
	return list
}

// gcDates are those of the state with the tasks that are part of the work. A date that holds none is left out.
func (s *state) gcDates() (list []problem.GCDate) {
	for _, id := range s.w.dateIDs {
		a, b := s.w.earlierDates[id], s.w.laterDates[id]
		from := a
		if s.datesApplied[id] {
			from = b
		}
		if from == nil {
			continue
		}
		d := *from
		d.Tasks = nil
		for _, task := range from.Tasks {
			if s.present[task] {
				d.Tasks = append(d.Tasks, task)
			}
		}
		if from == a && b != nil {
			for _, task := range b.Tasks {
				if s.w.isNew[task] && s.present[task] {
					d.Tasks = append(d.Tasks, task)
				}
			}
		}
		if len(d.Tasks) > 0 {
			list = append(list, d)
		}
	}
	return list
}

// forecasts are the forecasts of GC dates in a plan, by id; one that is missing is unknown.
type forecasts map[string]time.Time

// measure plans a state, staying with the plan in force. It is nil when the state is no sound problem: between two patches
// that belong together there may be a ring of links or work that no crew can do.
func (w *window) measure(p *problem.Problem) (forecasts, error) {
	if len(problem.Validate(p)) > 0 {
		return nil, nil
	}
	if err := w.ctx.Err(); err != nil {
		return nil, fmt.Errorf("ledger: %w", err)
	}
	w.replans++
	made, err := plan.Compute(w.ctx, p, plan.Options{Schedules: w.schedules, Seed: w.in.Seed, NoBound: true})
	if err != nil {
		return nil, fmt.Errorf("ledger: %w", err)
	}
	if err := w.ctx.Err(); err != nil {
		return nil, fmt.Errorf("ledger: %w", err)
	}
	return forecastsOf(made), nil
}

func forecastsOf(p *problem.Plan) forecasts {
	f := forecasts{}
	for _, d := range p.GCDates {
		if d.Forecast != nil {
			f[d.ID] = *d.Forecast
		}
	}
	return f
}
