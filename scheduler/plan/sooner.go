package plan

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/crewing"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

// Ladder is the answer to 'why not sooner': what holds one task of a plan where it is, what it could do if that gave, what
// would hold it then, and so on down to what cannot give. Every time in it was found by placing the task among the rest
// of the plan, none of which moves.
type Ladder struct {
	Task    string    `json:"task"`
	Crew    string    `json:"crew,omitempty"` // "" for fixed work
	Start   time.Time `json:"start"`          // in the plan; the resume of work under way
	Resumes bool      `json:"resumes,omitempty"`
	// Free is when it could start as things are, with nothing giving: another search might have put it there. Steps go on
	// from it. Nil when it could not start sooner.
	Free *time.Time `json:"free,omitempty"`
	// Late is when it could start at the earliest by what the document says, where that is after the planned start: the plan
	// is older than the document. There are no steps then.
	Late  *time.Time `json:"late,omitempty"`
	Steps []Step     `json:"steps"`
	Floor Hold       `json:"floor"` // what would hold it in the end and cannot give
	// Hours are days off and absences that keep it from starting sooner by themselves.
	Hours []Hours `json:"hours,omitempty"`
	// Others are crews that could start it sooner as things are, the soonest first.
	Others []Other `json:"others,omitempty"`
}

// Step is one rung: with all earlier steps given, Causes hold the task at From. It could start at Could, and finish at Finish,
// if they gave too. More than one cause means that any of them alone would hold it at From.
type Step struct {
	Causes []Hold    `json:"causes"`
	From   time.Time `json:"from"`
	Could  time.Time `json:"could"`
	Finish time.Time `json:"finish"`
}

// Hold is a cause in the terms of a reason: until when it holds a start. A pin's Ref is "issued" for a start that is kept
// from the issued plan.
type Hold struct {
	Kind  problem.ReasonKind `json:"kind"`
	Ref   string             `json:"ref"`
	Until time.Time          `json:"until"`
}

// Hours are working hours that would let a task start at Could if nothing else changed: a day off that is worked like the
// working day before it, or a crew that is not away.
type Hours struct {
	Day       *problem.Date  `json:"day,omitempty"`
	Calendars []string       `json:"calendars,omitempty"` // in which Day is off
	Away      []problem.Span `json:"away,omitempty"`
	Could     time.Time      `json:"could"`
}

// Other is a crew that could do the task sooner.
type Other struct {
	Crew  string    `json:"crew"`
	Could time.Time `json:"could"`
}

// In puts all times of the ladder into a zone.
func (l *Ladder) In(zone *time.Location) {
	put := func(t *time.Time) {
		if t != nil {
			*t = t.In(zone)
		}
	}
	put(&l.Start)
	put(l.Free)
	put(l.Late)
	put(&l.Floor.Until)
	for i := range l.Steps {
		step := &l.Steps[i]
		put(&step.From)
		put(&step.Could)
		put(&step.Finish)
		for k := range step.Causes {
			put(&step.Causes[k].Until)
		}
	}
	for i := range l.Hours {
		put(&l.Hours[i].Could)
	}
	for i := range l.Others {
		put(&l.Others[i].Could)
	}
}

const (
	mostSteps  = 8
	mostOthers = 3
)

// The errors of Sooner.Ladder.
var (
	ErrNotPlanned = errors.New("the plan does not hold this task")
	ErrFinished   = errors.New("this task is finished")
	ErrOutdated   = errors.New("the plan is older than the document: its place for this task is no longer possible")
)

// Sooner answers 'why not sooner' for the tasks of one plan. It is not for concurrent use.
type Sooner struct {
	p      *problem.Problem
	made   *problem.Plan
	m      *crewing.Model
	around *crewing.Around
	rows   map[string]*problem.PlannedTask
}

// NewSooner takes in a problem that has passed validation and a plan of it; neither is changed. O(tasks log tasks + days of
// the calendars).
func NewSooner(p *problem.Problem, made *problem.Plan) (*Sooner, error) {
	s := &Sooner{p: p, made: made, rows: make(map[string]*problem.PlannedTask, len(made.Tasks))}
	for i := range made.Tasks {
		s.rows[made.Tasks[i].ID] = &made.Tasks[i]
	}
	var err error
	s.m, s.around, err = s.holding(p)
	return s, err
}

// holding compiles a problem and holds the places of the plan in it.
func (s *Sooner) holding(p *problem.Problem) (*crewing.Model, *crewing.Around, error) {
	compiled, err := network.Compile(p)
	if err != nil {
		return nil, nil, fmt.Errorf("why not sooner: %w", err)
	}
	for last, ok := s.lastFinish(), true; ok && compiled.To <= last; {
		compiled, ok = compiled.Extend()
	}
	m := crewing.NewModel(compiled)
	crews := make(map[string]crewing.CrewIndex, len(p.Crews))
	for i := range p.Crews {
		crews[p.Crews[i].ID] = crewing.CrewIndex(i)
	}
	var places []crewing.Place
	for i := range s.made.Tasks {
		row := &s.made.Tasks[i]
		t := m.TaskOf(row.ID)
		if t == crewing.None || m.StateOf(t) == crewing.Done {
			continue
		}
		place := crewing.Place{Task: t, Crew: crewing.None, Begin: calendar.FromTime(beginOf(row)), Finish: calendar.FromTime(row.Finish)}
		if row.Crew != nil {
			crew, known := crews[*row.Crew]
			if !known {
				continue
			}
			place.Crew = crew
		}
		places = append(places, place)
	}
	return m, crewing.NewAround(m, places), nil
}

func (s *Sooner) lastFinish() calendar.Instant {
	last := calendar.BeforeAll
	for i := range s.made.Tasks {
		last = max(last, calendar.FromTime(s.made.Tasks[i].Finish))
	}
	return last
}

// beginOf is where the work still to come begins.
func beginOf(row *problem.PlannedTask) time.Time {
	if row.Resume != nil {
		return *row.Resume
	}
	return row.Start
}

// spot is where a task could begin, and what lets go last before that.
type spot struct {
	begin, finish calendar.Instant
	cause         crewing.Cause
}

// rung is what a ladder is built from.
type rung struct {
	*Sooner
	t      crewing.TaskIndex
	crew   crewing.CrewIndex
	ladder *Ladder
	given  crewing.Given
	at     spot
}

// Ladder answers for one task. The errors are ErrNotPlanned, ErrFinished and ErrOutdated.
func (s *Sooner) Ladder(task string) (*Ladder, error) {
	row, t := s.rows[task], s.m.TaskOf(task)
	switch {
	case row == nil || t == crewing.None:
		return nil, fmt.Errorf("task %q: %w", task, ErrNotPlanned)
	case s.m.StateOf(t) == crewing.Done:
		return nil, fmt.Errorf("task %q: %w", task, ErrFinished)
	}
	ladder := &Ladder{Task: task, Start: beginOf(row), Resumes: s.m.StateOf(t) == crewing.Started, Steps: []Step{}}
	r := &rung{Sooner: s, t: t, crew: crewing.None, ladder: ladder}
	if row.Crew != nil {
		ladder.Crew = *row.Crew
		r.crew = crewing.CrewIndex(slices.IndexFunc(s.p.Crews, func(c problem.Crew) bool { return c.ID == *row.Crew }))
	}
	ok := r.begin()
	if !ok {
		return nil, fmt.Errorf("task %q: %w", task, ErrOutdated)
	}
	if ladder.Late != nil {
		ladder.Floor = r.hold(r.at)
		return ladder, nil
	}
	if err := r.hours(); err != nil {
		return nil, err
	}
	for len(ladder.Steps) < mostSteps && r.climb() {
	}
	ladder.Floor = r.hold(r.at)
	r.others()
	return ladder, nil
}

// begin finds what holds the task where it is, other than an issued start that is kept without need.
func (r *rung) begin() (ok bool) {
	start := calendar.FromTime(r.ladder.Start)
	if r.at, ok = r.earliest(&r.given); !ok {
		return false
	}
	switch {
	case r.at.begin > start:
		late := r.at.begin.Time()
		r.ladder.Late = &late
	case r.at.begin == start:
	case r.isIssued(start):
		r.ladder.Steps = append(r.ladder.Steps, Step{
			Causes: []Hold{{Kind: problem.ReasonPin, Ref: refIssued, Until: r.ladder.Start}},
			From:   r.ladder.Start, Could: r.at.begin.Time(), Finish: r.at.finish.Time(),
		})
		r.given.Issued = true
	default:
		free := r.at.begin.Time()
		r.ladder.Free = &free
	}
	return true
}

// isIssued reports whether the plan in force has the task at the same start.
func (r *rung) isIssued(start calendar.Instant) bool {
	return slices.ContainsFunc(r.p.Issued, func(line problem.Issued) bool {
		return line.Task == r.ladder.Task && calendar.FromTime(line.Start) == start
	})
}

func (r *rung) earliest(given *crewing.Given) (at spot, ok bool) {
	at.begin, at.finish, at.cause, ok = r.around.Earliest(r.t, r.crew, given)
	return at, ok
}

// climb adds a step: gives up what holds the task, and more if another cause holds it at the same start, until it could start
// sooner. It reports whether it could.
func (r *rung) climb() bool {
	given, at := r.given, r.at
	var causes []crewing.Cause
	for at.begin >= r.at.begin {
		cause := at.cause
		var ok bool
		if !given.Add(r.m, cause) {
			return false
		}
		causes = append(causes, cause)
		if at, ok = r.earliest(&given); !ok || at.begin > r.at.begin {
			return false // a free crew may come a longer way than a busy one that is near
		}
	}
	needed := causes[:0:0]
	for i, cause := range causes {
		if r.helps(append(slices.Clone(needed), causes[i+1:]...), at) {
			continue // the others are enough
		}
		needed = append(needed, cause)
	}
	step := Step{From: r.at.begin.Time(), Could: at.begin.Time(), Finish: at.finish.Time()}
	for _, cause := range needed {
		step.Causes = append(step.Causes, r.hold(spot{begin: r.at.begin, cause: cause}))
		r.given.Add(r.m, cause)
	}
	r.ladder.Steps = append(r.ladder.Steps, step)
	r.at, _ = r.earliest(&r.given)
	return true
}

// helps reports whether these causes alone, given up on top of the steps so far, do as much as at.
func (r *rung) helps(causes []crewing.Cause, at spot) bool {
	given := r.given
	for _, cause := range causes {
		given.Add(r.m, cause)
	}
	now, ok := r.earliest(&given)
	return ok && now.begin <= at.begin
}

// hold puts a cause into the terms of the plan's reasons.
func (r *rung) hold(at spot) Hold {
	return Hold(reasonOf(r.m, r.t, r.crew, at.cause, at.begin))
}

// others finds the crews that could start the task sooner as things are.
func (r *rung) others() {
	if r.crew == crewing.None || r.ladder.Resumes {
		return
	}
	start := calendar.FromTime(r.ladder.Start)
	var given crewing.Given
	for _, o := range r.m.Options(r.t) {
		if o.Crew == r.crew {
			continue
		}
		if begin, _, _, ok := r.around.Earliest(r.t, o.Crew, &given); ok && begin < start {
			r.ladder.Others = append(r.ladder.Others, Other{Crew: r.p.Crews[o.Crew].ID, Could: begin.Time()})
		}
	}
	slices.SortStableFunc(r.ladder.Others, func(a, b Other) int { return a.Could.Compare(b.Could) })
	r.ladder.Others = r.ladder.Others[:min(mostOthers, len(r.ladder.Others))]
}
