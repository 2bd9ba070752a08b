package ledger

import (
	"reflect"
	"slices"
	"time"

	"jambwright/scheduler/problem"
)

// byID finds the elements of a list by their identifiers.
func byID[T any](list []T, id func(*T) string) map[string]*T {
	found := make(map[string]*T, len(list))
	for i := range list {
		found[id(&list[i])] = &list[i]
	}
	return found
}

// put replaces an element of a list, appends it when the list has none, or takes it out for nil.
func put[T any](list []T, id string, idOf func(*T) string, element *T) []T {
	at := slices.IndexFunc(list, func(e T) bool { return idOf(&e) == id })
	switch {
	case element == nil && at < 0:
		return list
	case element == nil:
		return slices.Delete(list, at, at+1)
	case at < 0:
		return append(list, *element)
	}
	list[at] = *element
	return list
}

// changed calls visit for every element that one list has and the other has not or has otherwise; nil stands for absent.
func changed[T any](earlier, later []T, id func(*T) string, visit func(id string, a, b *T)) {
	before, after := byID(earlier, id), byID(later, id)
	for i := range later {
		key := id(&later[i])
		if a := before[key]; a == nil || !reflect.DeepEqual(*a, later[i]) {
			visit(key, a, &later[i])
		}
	}
	for i := range earlier {
		if key := id(&earlier[i]); after[key] == nil {
			visit(key, &earlier[i], nil)
		}
	}
}

func crewID(c *problem.Crew) string         { return c.ID }
func calendarID(c *problem.Calendar) string { return c.ID }
func dateID(d *problem.GCDate) string       { return d.ID }

// crews finds crews that were away, grew or shrank, came or went. An absence takes effect when it begins.
func (f *finder) crews() {
	changed(f.in.Earlier.Crews, f.in.Later.Crews, crewID, func(id string, a, b *problem.Crew) {
		var from *time.Time
		cause := CrewShortage
		if a != nil && b != nil {
			from = firstOtherSpan(a.Away, b.Away)
			if onlyPace(a, b) {
				cause = OwnWork
			}
		}
		f.add(Crews, id, cause, func(s *state) { s.p.Crews = put(s.p.Crews, id, crewID, b) }, from)
	})
}

// onlyPace reports whether two states of a crew differ in productivity and cost only.
func onlyPace(a, b *problem.Crew) bool {
	x, y := *a, *b
	x.Productivity, y.Productivity, x.CostPerHour, y.CostPerHour = nil, nil, 0, 0
	return reflect.DeepEqual(x, y)
}

// firstOtherSpan is when the first absence begins that only one of the lists has.
func firstOtherSpan(a, b []problem.Span) (first *time.Time) {
	same := func(x problem.Span) func(problem.Span) bool {
		return func(y problem.Span) bool { return x.From.Equal(y.From) && x.To.Equal(y.To) }
	}
	for _, lists := range [][2][]problem.Span{{a, b}, {b, a}} {
		for _, span := range lists[0] {
			if !slices.ContainsFunc(lists[1], same(span)) && (first == nil || span.From.Before(*first)) {
				first = &span.From
			}
		}
	}
	return first
}

// calendars finds other working times. Days that a calendar lost are the weather's until somebody says better.
func (f *finder) calendars() {
	changed(f.in.Earlier.Calendars, f.in.Later.Calendars, calendarID, func(id string, a, b *problem.Calendar) {
		cause := Unknown
		if a != nil && b != nil && reflect.DeepEqual(a.Week, b.Week) {
			cause = Weather
		}
		f.add(Calendars, id, cause, func(s *state) { s.p.Calendars = put(s.p.Calendars, id, calendarID, b) })
	})
}

// places finds other areas, sites, ways and limits, as one patch.
func (f *finder) places() {
	a, b := f.in.Earlier, f.in.Later
	if reflect.DeepEqual(a.Areas, b.Areas) && reflect.DeepEqual(a.Sites, b.Sites) && reflect.DeepEqual(a.Travel, b.Travel) &&
		reflect.DeepEqual(a.Limits, b.Limits) {
		return
	}
	f.add(Places, "areas and limits", Unknown, func(s *state) {
		s.p.Areas, s.p.Sites, s.p.Travel, s.p.Limits = b.Areas, b.Sites, b.Travel, b.Limits
	})
}

// links finds other links between tasks that both problems have, as one patch.
func (f *finder) links() {
	both := map[string]bool{}
	for _, t := range f.tracks {
		both[t.id] = t.earlier != nil && t.later != nil
	}
	of := func(p *problem.Problem) map[problem.Link]bool {
		set := map[problem.Link]bool{}
		for _, l := range p.Links {
			if both[l.From] && both[l.To] {
				set[plainLink(l)] = true
			}
		}
		return set
	}
	if reflect.DeepEqual(of(f.in.Earlier), of(f.in.Later)) {
		return
	}
	f.add(Links, "links", Unknown, func(s *state) { s.linksApplied = true })
}

// plainLink is a link with its defaults written out.
func plainLink(l problem.Link) problem.Link {
	l.Type, l.LagCalendar = l.Relation(), l.Calendar()
	return l
}

// gcDates finds GC dates that moved, came, went, or hold other work that both problems have.
func (f *finder) gcDates() {
	changed(f.in.Earlier.GCDates, f.in.Later.GCDates, dateID, func(id string, a, b *problem.GCDate) {
		if a != nil && b != nil && a.Date.Equal(b.Date) && a.Damages() == b.Damages() && f.sameCommonTasks(a, b) {
			return
		}
		f.add(GCDates, id, GCChange, func(s *state) { s.datesApplied[id] = true })
	})
}

// sameCommonTasks reports whether two states of a date hold the same tasks, but for those that came or went.
func (f *finder) sameCommonTasks(a, b *problem.GCDate) bool {
	holds := map[string]int{}
	for _, id := range a.Tasks {
		holds[id] |= 1
	}
	for _, id := range b.Tasks {
		holds[id] |= 2
	}
	for _, t := range f.tracks {
		if side := holds[t.id]; t.earlier != nil && t.later != nil && side != 0 && side != 3 {
			return false
		}
	}
	return true
}
