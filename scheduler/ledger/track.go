package ledger

import (
	"math"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// track is one task over the window: what both problems know of it, how its work is counted, and which patches of it have
// been applied so far.
type track struct {
	id             string
	earlier, later *problem.Task // nil where the problem does not have it
	planned        *problem.PlannedTask
	worksIn        *calendar.Calendar // the crew's or the task's own, for counting; nil when nothing of it was begun
	crew           *problem.Crew      // who did it; nil for fixed work and where nobody is named

	began bool             // begun or finished by the later data date
	base  calendar.Instant // what was begun before the window counts from the earlier data date, else from its start
	total int              // minutes from base to its end, as it turned out; what is left at the later data date included
}

// newTracks lists the tasks in the later problem's order, then those that are gone.
func newTracks(in *Input, c *clock) ([]*track, error) {
	var list []*track
	byID := map[string]*track{}
	for i := range in.Later.Tasks {
		t := &track{id: in.Later.Tasks[i].ID, later: &in.Later.Tasks[i]}
		list, byID[t.id] = append(list, t), t
	}
	for i := range in.Earlier.Tasks {
		task := &in.Earlier.Tasks[i]
		if byID[task.ID] == nil {
			t := &track{id: task.ID}
			list, byID[t.id] = append(list, t), t
		}
		byID[task.ID].earlier = task
	}
	for i := range in.EarlierPlan.Tasks {
		if t := byID[in.EarlierPlan.Tasks[i].ID]; t != nil {
			t.planned = &in.EarlierPlan.Tasks[i]
		}
	}
	for _, t := range list {
		if err := t.lookBack(in, c); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// lookBack finds out how long the work took.
func (t *track) lookBack(in *Input, c *clock) error {
	known := t.later
	if known == nil || known.Status == nil {
		known = t.earlier
	}
	if known == nil || known.Status == nil {
		return nil
	}
	var err error
	if known.IsCrewWork() {
		t.crew = c.crews[known.Status.Crew]
		if t.crew == nil || !t.crew.CanDo(known) {
			t.crew = nil // nobody knows whose time it took
			return nil
		}
		t.worksIn, err = c.crewCalendar(t.crew)
	} else {
		t.worksIn, err = c.calendar(known.Calendar)
	}
	if err != nil || t.later == nil || t.later.Status == nil {
		return err
	}
	s := t.later.Status
	t.began, t.base = true, calendar.FromTime(s.Started)
	if t.earlier != nil && t.earlier.IsStarted() {
		t.base = calendar.FromTime(in.Earlier.DataDate)
	}
	end := calendar.FromTime(in.Later.DataDate)
	if s.Finished != nil {
		end = calendar.FromTime(*s.Finished)
	}
	t.total = max(0, int(t.worksIn.Count(t.base, end)))
	if s.RemainingMinutes != nil {
		t.total += *s.RemainingMinutes
	}
	return nil
}

// isInstant reports whether the work was reported as done at one instant, such as an order: then its length is not known.
func (t *track) isInstant() bool {
	s := t.later.Status
	return s != nil && s.Finished != nil && s.Finished.Equal(s.Started)
}

// plannedMinutes is what the earlier problem says that the work takes from base, on whom did it.
func (t *track) plannedMinutes() int {
	switch {
	case t.earlier.IsStarted():
		return *t.earlier.Status.RemainingMinutes
	case t.earlier.IsCrewWork():
		return t.crew.MinutesFor(t.earlier)
	}
	return *t.earlier.DurationMinutes
}

// labour turns the minutes that the work took into labour minutes that give them again on the same crew.
func (t *track) labour() int {
	const hair = 1e-6
	pace := float64(t.crew.Heads) * t.crew.ProductivityOf(t.later.Kind)
	return int(math.Floor(float64(t.total)*pace + hair))
}
