package ledger

import (
	"cmp"
	"context"
	"slices"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// window is one computation.
type window struct {
	ctx       context.Context
	in        *Input
	schedules int
	from, to  calendar.Instant
	clock     *clock
	tracks    []*track
	isNew     map[string]bool // tasks that only the later problem has
	issued    map[string]problem.Issued

	dateIDs                  []string // in the order of the result
	earlierDates, laterDates map[string]*problem.GCDate

	lines   []Line
	patches [][]patch
	steps   map[string][]step // by GC date: what each step did
	alone   []forecasts       // by line
	base    forecasts         // of the earlier problem, planned again
	pairs   map[[2]int]forecasts
	replans int
}

// step is what one line did to one GC date; a line may have several, Progress has one for each instant.
type step struct {
	line    int
	minutes int
	known   bool // else the plan had no forecast: the next known step holds the minutes
}

func newWindow(ctx context.Context, in *Input) (*window, error) {
	w := &window{
		ctx: ctx, in: in, schedules: cmp.Or(in.Schedules, DefaultSchedules),
		from: calendar.FromTime(in.Earlier.DataDate), to: calendar.FromTime(in.Later.DataDate),
		clock: newClock(in.Earlier, in.Later), isNew: map[string]bool{}, issued: map[string]problem.Issued{},
		earlierDates: byID(in.Earlier.GCDates, dateID), laterDates: byID(in.Later.GCDates, dateID),
		steps: map[string][]step{}, pairs: map[[2]int]forecasts{},
	}
	var err error
	if w.tracks, err = newTracks(in, w.clock); err != nil {
		return nil, err
	}
	for _, t := range w.tracks {
		w.isNew[t.id] = t.earlier == nil
		if t.planned != nil && t.planned.Crew != nil {
			w.issued[t.id] = problem.Issued{Task: t.id, Crew: *t.planned.Crew, Start: t.planned.Start, Resume: t.planned.Resume}
		}
	}
	for _, d := range slices.Concat(in.Later.GCDates, in.Earlier.GCDates) {
		if !slices.Contains(w.dateIDs, d.ID) {
			w.dateIDs = append(w.dateIDs, d.ID)
		}
	}
	f := newFinder(in, w.tracks)
	f.find()
	w.lines, w.patches = f.lines()
	return w, nil
}

// addLine adds one of the lines of the rest.
func (w *window) addLine(cause Cause, kind Kind) int {
	w.lines = append(w.lines, Line{Cause: cause, Kind: kind, At: w.to.Time()})
	w.patches = append(w.patches, nil)
	return len(w.lines) - 1
}

// walk goes from the earlier plan to the later one and notes what each step does.
func (w *window) walk() error {
	told := len(w.lines)
	progress := w.addLine(OwnWork, Progress)
	rest := w.addLine(Unknown, Rest)
	anew := w.addLine(Replanning, PlannedAnew)

	s := w.earlierState()
	last := forecastsOf(w.in.EarlierPlan)
	note := func(line int, now forecasts) { last = w.note(line, last, now) }
	plan := func(line int, p *problem.Problem) error {
		now, err := w.measure(p)
		note(line, now)
		return err
	}
	var err error
	if w.base, err = w.measure(s.problem()); err != nil {
		return err
	}
	note(anew, w.base)
	for i := range told {
		if err := w.rollTo(s, calendar.FromTime(w.lines[i].At), progress, plan); err != nil {
			return err
		}
		for _, p := range w.patches[i] {
			p.apply(s)
		}
		now, err := w.planApplied(s, i)
		if err != nil {
			return err
		}
		note(i, now)
	}
	if err := w.rollTo(s, w.to, progress, plan); err != nil {
		return err
	}
	later := *w.in.Later
	later.Issued = slices.DeleteFunc(slices.Clone(later.Issued), func(l problem.Issued) bool { return s.released[l.Task] })
	if err := plan(rest, &later); err != nil {
		return err
	}
	note(anew, forecastsOf(w.in.LaterPlan))
	return nil
}

// rollTo moves the data date on and plans again.
func (w *window) rollTo(s *state, at calendar.Instant, line int, plan func(int, *problem.Problem) error) error {
	if at <= s.at {
		return nil
	}
	s.at = at
	return plan(line, s.problem())
}

// note takes down how far each GC date moved since the last known forecast, and returns the forecasts now known. A date
// without a forecast keeps its last one, so that the next known step holds the difference.
func (w *window) note(line int, last, now forecasts) forecasts {
	known := forecasts{}
	for _, id := range w.dateIDs {
		before, had := last[id]
		after, has := now[id]
		switch {
		case had && has:
			w.steps[id] = append(w.steps[id], step{line: line, minutes: minutesBetween(before, after), known: true})
			known[id] = after
		case had:
			w.steps[id] = append(w.steps[id], step{line: line})
			known[id] = before
		case has: // found: nothing to measure from
			known[id] = after
		}
	}
	return known
}

func minutesBetween(from, to time.Time) int { return int(to.Sub(from) / time.Minute) }
