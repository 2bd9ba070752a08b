package ledger

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// patch is one difference between the two problems.
type patch struct {
	kind  Kind
	at    calendar.Instant
	about string
	cause Cause
	refs  []string
	apply func(s *state)
	eases bool // it lets work go on sooner than the earlier problem did
}

// finder finds the patches of a window.
type finder struct {
	in      *Input
	tracks  []*track
	events  map[string][]*Event // by what they are about
	from    calendar.Instant    // the data dates
	to      calendar.Instant
	patches []patch
}

func newFinder(in *Input, tracks []*track) *finder {
	f := &finder{
		in: in, tracks: tracks, events: map[string][]*Event{},
		from: calendar.FromTime(in.Earlier.DataDate), to: calendar.FromTime(in.Later.DataDate),
	}
	for i := range in.Events {
		e := &in.Events[i]
		f.events[e.Task] = append(f.events[e.Task], e)
	}
	return f
}

// add notes a patch. Its instant is the earliest of the first event about it and the moments given, inside the window; the end
// of the window when nothing is known. An event with a cause of its own decides whose affair it is, the last one if several do.
func (f *finder) add(kind Kind, about string, cause Cause, apply func(s *state), moments ...*time.Time) *patch {
	p := patch{kind: kind, at: f.to, about: about, cause: cause, apply: apply}
	for _, e := range f.events[about] {
		p.at = min(p.at, calendar.FromTime(e.At))
		if e.Cause != "" {
			p.cause = e.Cause
		}
		if !slices.Contains(p.refs, e.Ref) {
			p.refs = append(p.refs, e.Ref)
		}
	}
	for _, m := range moments {
		if m != nil {
			p.at = min(p.at, calendar.FromTime(*m))
		}
	}
	p.at = max(p.at, f.from)
	f.patches = append(f.patches, p)
	return &f.patches[len(f.patches)-1]
}

// owner is who answers for a task's dates.
func (f *finder) owner(t *problem.Task) Cause {
	if cause := f.in.Owner[t.ID]; cause != "" {
		return cause
	}
	if t.IsCrewWork() {
		return OwnWork
	}
	return Unknown
}

// find lists all patches.
func (f *finder) find() {
	for _, t := range f.tracks {
		switch {
		case t.earlier == nil:
			f.newTask(t)
		case t.later == nil:
			f.goneTask(t)
		case !t.earlier.IsFinished():
			f.task(t)
		}
	}
	f.crews()
	f.calendars()
	f.places()
	f.links()
	f.gcDates()
}

// lines joins patches into lines: those of one instant, kind and cause that are about one subject, and all that one event
// tells of with one cause. Lines are sorted by instant, kind and what they are about.
func (f *finder) lines() (lines []Line, patches [][]patch) {
	slices.SortStableFunc(f.patches, func(a, b patch) int {
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(kindOrder[a.kind], kindOrder[b.kind]), strings.Compare(a.about, b.about))
	})
	type key struct{ cause, what string }
	places := map[key]int{}
	for i := range f.patches {
		p := &f.patches[i]
		k := key{string(p.cause), string(p.kind) + "\x00" + f.together(p)}
		if len(p.refs) > 0 {
			k.what = "event\x00" + strings.Join(p.refs, "\x00")
		}
		at, there := places[k]
		if !there {
			at = len(lines)
			places[k] = at
			lines = append(lines, Line{Cause: p.cause, Kind: p.kind, At: p.at.Time(), Refs: p.refs})
			patches = append(patches, nil)
		}
		lines[at].About = append(lines[at].About, p.about)
		patches[at] = append(patches[at], *p)
	}
	for i := range lines {
		slices.Sort(lines[i].About)
		lines[i].About = slices.Compact(lines[i].About)
	}
	return lines, patches
}

// together names what patches without an event are joined by: tasks that come or go by their subject, begun work by crew and
// day, pins all in one, anything else by itself.
func (f *finder) together(p *patch) string {
	switch p.kind {
	case NewWork, GoneWork:
		if subject := f.in.Subject[p.about]; subject != "" {
			return subject
		}
	case Pace:
		return f.crewOf(p.about) + "\x00" + p.at.Time().Format(time.DateOnly)
	case Decisions:
		return ""
	}
	return p.about
}

func (f *finder) crewOf(task string) string {
	for _, t := range f.tracks {
		if t.id == task && t.crew != nil {
			return t.crew.ID
		}
	}
	return ""
}
