package recovery

import (
	"cmp"
	"slices"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// Apply is the problem with the move made in it; see the function Apply.
func (m Move) Apply(p *problem.Problem) *problem.Problem { return Apply(p, []Move{m}) }

// Apply returns the problem with moves made in it. The input is not changed; parts that no move touches are shared, and
// neither problem may be changed afterwards. A move about what is finished, gone or sooner already does nothing. The order
// of the moves does not matter, since longer hours and Saturdays of one crew are settled together. Moves that Validate
// accepts leave a valid problem valid. Cost O(tasks + links) a move.
func Apply(p *problem.Problem, moves []Move) *problem.Problem {
	e := edit{p: *p}
	e.p.Tasks, e.p.Links = slices.Clone(p.Tasks), slices.Clone(p.Links)
	e.p.Crews, e.p.Calendars = slices.Clone(p.Crews), slices.Clone(p.Calendars)
	ordered := slices.Clone(moves)
	slices.SortStableFunc(ordered, compareMoves)
	for _, m := range ordered {
		switch m.Kind {
		case SecondCrew:
			e.hire(m)
		case Expedite:
			e.expedite(m)
		case EarlierHandover:
			e.handOver(m)
		case OtherBasis:
			e.order(m)
		case Overtime, Saturdays: // together, below
		}
	}
	e.lengthen(moves)
	return &e.p
}

func compareMoves(a, b Move) int {
	return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Subject(), b.Subject()), a.From.Compare(b.From),
		cmp.Compare(a.Minutes, b.Minutes), a.By.Compare(b.By))
}

// edit is a problem while moves are made in it.
type edit struct{ p problem.Problem }

// open is the task with an id that is neither finished nor waiting without a date, nil when there is none.
func (e *edit) open(id string) *problem.Task {
	i := slices.IndexFunc(e.p.Tasks, func(t problem.Task) bool { return t.ID == id })
	if i < 0 || e.p.Tasks[i].Waits || e.p.Tasks[i].IsFinished() {
		return nil
	}
	return &e.p.Tasks[i]
}

func crewAt(crews []problem.Crew, id string) int {
	return slices.IndexFunc(crews, func(c problem.Crew) bool { return c.ID == id })
}

// hire adds a crew like another one that is away until it begins.
func (e *edit) hire(m Move) {
	like := crewAt(e.p.Crews, m.Crew)
	if like < 0 || crewAt(e.p.Crews, m.NewCrew) >= 0 {
		return
	}
	crew := e.p.Crews[like]
	crew.ID, crew.Away = m.NewCrew, nil
	if begin := e.startOf(m.From, crew.Calendar); begin.After(e.p.DataDate) {
		crew.Away = []problem.Span{{From: e.p.DataDate, To: begin}}
	}
	// In the order of ids, where a crew of that name would stand: the order decides among equals.
	after := slices.IndexFunc(e.p.Crews, func(c problem.Crew) bool { return c.ID > crew.ID })
	if after < 0 {
		after = len(e.p.Crews)
	}
	e.p.Crews = slices.Insert(e.p.Crews, after, crew)
}

// startOf is the first instant of a date in a calendar's zone.
func (e *edit) startOf(d problem.Date, calendar string) time.Time {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, zoneOf(&e.p, calendar)).UTC()
}

// zoneOf is the zone of a calendar; UTC for one that is unknown, which a valid problem has not.
func zoneOf(p *problem.Problem, calendar string) *time.Location {
	for i := range p.Calendars {
		if p.Calendars[i].ID == calendar {
			if zone, err := time.LoadLocation(p.Calendars[i].Zone); err == nil {
				return zone
			}
		}
	}
	return time.UTC
}

// expedite shortens a lead: to its least time when it has not begun, to the day agreed when it is under way.
func (e *edit) expedite(m Move) {
	t := e.open(m.Task)
	switch {
	case t == nil || t.DurationMinutes == nil:
	case !t.IsStarted():
		if m.Minutes > 0 && m.Minutes < *t.DurationMinutes {
			t.DurationMinutes = &m.Minutes
		}
	case m.By.After(e.p.DataDate) && t.Status.RemainingMinutes != nil:
		e.arrive(t, m.By)
	}
}

// arrive lets material under way arrive at an instant, on the clock of every minute, unless it comes sooner anyway.
func (e *edit) arrive(t *problem.Task, by time.Time) {
	if spec := calendarOf(&e.p, t.Calendar); spec != nil { // none is the clock of every minute
		c, err := calendar.Compile(*spec, calendar.FromTime(e.p.DataDate), calendar.FromTime(by))
		if err != nil || int(c.Total()) >= *t.Status.RemainingMinutes {
			return
		}
	}
	minutes := int(by.Sub(e.p.DataDate) / time.Minute)
	if t.Calendar == problem.Always && *t.Status.RemainingMinutes <= minutes {
		return
	}
	status := *t.Status
	status.RemainingMinutes = &minutes
	t.Status, t.Calendar = &status, problem.Always
}

// handOver asks for a handover by a day.
func (e *edit) handOver(m Move) {
	t := e.open(m.Task)
	if t == nil || t.NotBefore == nil || !t.NotBefore.After(m.By) || !m.By.After(e.p.DataDate) {
		return
	}
	by := m.By
	t.NotBefore = &by
	t.NotBeforeCause += ", asked of the GC for " + by.In(zoneOfProblem(&e.p)).Format("Mon 2 Jan 2006")
}

func zoneOfProblem(p *problem.Problem) *time.Location {
	zone, err := time.LoadLocation(p.Zone)
	if err != nil {
		return time.UTC
	}
	return zone
}

// order takes the order away from what gives it its sizes: for the drawings from all of it, since nothing holds those up; for
// the survey from framing, in whose place the surveys before that framing step.
func (e *edit) order(m Move) {
	t := e.open(m.Task)
	if t == nil || t.IsStarted() {
		return
	}
	kinds := make(map[string]string, len(e.p.Tasks))
	for i := range e.p.Tasks {
		kinds[e.p.Tasks[i].ID] = e.p.Tasks[i].Kind
	}
	left := func(from string) bool {
		return kinds[from] == kindFrame || m.Basis == BasisDrawings && kinds[from] == kindSurvey
	}
	frames := map[string]bool{}
	for i := range e.p.Links {
		if l := &e.p.Links[i]; l.To == m.Task && kinds[l.From] == kindFrame {
			frames[l.From] = true
		}
	}
	surveys := map[string]bool{}
	var links []problem.Link
	for _, l := range e.p.Links {
		if frames[l.To] && kinds[l.From] == kindSurvey && m.Basis == BasisSurvey {
			surveys[l.From] = true
		}
		if l.To != m.Task || !left(l.From) {
			links = append(links, l)
		}
	}
	for i := range e.p.Tasks {
		if id := e.p.Tasks[i].ID; surveys[id] {
			links = append(links, problem.Link{From: id, To: m.Task})
		}
	}
	e.p.Links = links
}

// Kinds of task as problems of openings name them.
const (
	kindSurvey   = "survey"
	kindFrame    = "frame"
	kindOrder    = "order"
	kindLead     = "lead"
	kindHandover = "handover"
)
