package pattern

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// Build makes the planning problem of the whole firm and the index that says what its tasks are about. The order of rows in
// the firm does not matter; the same firm gives the same problem. The firm is not changed, and the results share no
// memory with it but for texts.
//
// The error is a problem.Faults that holds every fault at once; then there is no problem. What merely cannot be planned yet is
// no fault: it waits without a date, with its cause, and is in the index's notes. Cost is linear in tasks and links, but for
// sorting.
func Build(f Firm) (*problem.Problem, *Index, error) {
	b := &builder{f: &f, index: &Index{byKey: map[TaskKey]int{}}, settings: f.Settings.withDefaults()}
	b.rates = f.Rates.WithDefaults()
	b.rules = f.Rules.WithDefaults()
	b.indexFirm()
	b.checkFirm()
	for _, p := range sortedBy(f.Projects, func(p *Project) string { return p.Code }) {
		b.buildProject(p)
	}
	b.finish()
	if err := b.faults.Err(); err != nil {
		return nil, nil, err
	}
	if faults := problem.Validate(&b.p); len(faults) > 0 {
		return nil, nil, b.named(faults)
	}
	return &b.p, b.index, nil
}

// builder collects the problem of all projects.
type builder struct {
	f        *Firm
	settings Settings
	rates    takeoff.Rates
	rules    takeoff.Rules
	patterns map[takeoff.Type]*Pattern
	limits   map[string]bool
	sites    map[string]bool
	crews    map[string]*problem.Crew
	clock    clock

	// Openings alike share their takeoff and its hours: a job has hundreds of openings of few kinds.
	takeoffs map[string]*takeoff.Takeoff
	hours    map[hoursOf]*takeoff.Breakdown
	heads    map[[2]string]int // by kind and site: heads of the largest crew that may do it

	p      problem.Problem
	index  *Index
	faults problem.Faults
	alike  map[alike]int // how many openings of a kind and size are planned so far, for learning
	// keepsOrder tells, task by task, whether its project keeps the order of out-of-order work.
	keepsOrder map[string]bool
}

// alike is what makes two openings the same work for learning.
type alike struct {
	project       string
	kind          takeoff.Kind
	typ           takeoff.Type
	width, height int64
}

// hoursOf names the hours of a kind of work on openings of one takeoff; unit tells them apart where the kind is learned.
type hoursOf struct {
	takeoff *takeoff.Takeoff
	kind    takeoff.Kind
	unit    int
}

// takeOff takes an opening off, once for all openings alike.
func (b *builder) takeOff(o takeoff.Opening) (*takeoff.Takeoff, error) {
	key := fmt.Sprintf("%#v", o)
	if t := b.takeoffs[key]; t != nil {
		return t, nil
	}
	t, err := takeoff.Of(o, b.rules)
	if err == nil {
		b.takeoffs[key] = t
	}
	return t, err
}

// workHours works out a kind of work on an opening, once for all alike unless the kind is learned.
func (b *builder) workHours(kind takeoff.Kind, t *takeoff.Takeoff, unit int) *takeoff.Breakdown {
	if !slices.ContainsFunc(b.rates.Learning, func(l takeoff.Learning) bool { return l.Kind == kind }) {
		unit = 1
	}
	key := hoursOf{t, kind, unit}
	if b.hours[key] == nil {
		h := b.rates.Hours(kind, t, unit)
		b.hours[key] = &h
	}
	return b.hours[key]
}

func (b *builder) fault(place, remedy, format string, values ...any) {
	b.faults = append(b.faults, problem.Fault{Place: place, Message: fmt.Sprintf(format, values...), Remedy: remedy})
}

// sortedBy returns pointers to the rows in ascending order of a key. Equal keys stay in the order given.
func sortedBy[T any, K cmp.Ordered](rows []T, key func(*T) K) []*T {
	list := make([]*T, len(rows))
	for i := range rows {
		list[i] = &rows[i]
	}
	slices.SortStableFunc(list, func(a, b *T) int { return cmp.Compare(key(a), key(b)) })
	return list
}

// copies returns the rows themselves in ascending order of a key.
func copies[T any, K cmp.Ordered](rows []T, key func(*T) K) []T {
	var list []T
	for _, row := range sortedBy(rows, key) {
		list = append(list, *row)
	}
	return list
}

// indexFirm sets up the lookups and copies what the document takes over from the firm as it is. Copies are sorted by id, and
// deep where this package changes them, so that neither the order of rows nor the caller's later edits show in the result.
func (b *builder) indexFirm() {
	f := b.f
	b.patterns = map[takeoff.Type]*Pattern{}
	b.limits, b.sites = map[string]bool{}, map[string]bool{}
	b.crews = map[string]*problem.Crew{}
	b.heads = map[[2]string]int{}
	b.takeoffs, b.hours = map[string]*takeoff.Takeoff{}, map[hoursOf]*takeoff.Breakdown{}
	b.alike, b.keepsOrder = map[alike]int{}, map[string]bool{}
	defaults := DefaultPatterns(b.settings)
	for i := range defaults {
		b.patterns[defaults[i].Type] = &defaults[i]
	}
	for i := range f.Patterns {
		b.patterns[f.Patterns[i].Type] = &f.Patterns[i]
	}
	for _, l := range f.Limits {
		b.limits[l.ID] = true
	}
	for _, s := range f.Sites {
		b.sites[s.ID] = true
	}
	b.p = problem.Problem{
		Version: problem.Version, Zone: f.Zone, DataDate: f.DataDate,
		Calendars: copies(f.Calendars, func(c *problem.Calendar) string { return c.ID }),
		Sites:     copies(f.Sites, func(s *problem.Site) string { return s.ID }),
		Travel:    copies(f.Travel, func(t *problem.Travel) string { return t.From + "\x00" + t.To }),
		Crews:     copies(f.Crews, func(c *problem.Crew) string { return c.ID }),
		Limits:    copies(f.Limits, func(l *problem.Limit) string { return l.ID }),
	}
	b.p.FrozenUntil = copied(f.FrozenUntil)
	b.p.Weights = copied(f.Weights)
	for i := range b.p.Crews {
		c := &b.p.Crews[i]
		c.Skills, c.Sites, c.Away = slices.Clone(c.Skills), slices.Clone(c.Sites), slices.Clone(c.Away)
		c.Productivity = maps.Clone(c.Productivity)
		b.pace(c)
		b.crews[c.ID] = c
	}
	b.clock = newClock(f)
}

func copied[T any](v *T) *T {
	if v == nil {
		return nil
	}
	c := *v
	return &c
}

// add puts a task into the problem and the index. The two lists run side by side: entry i is about task i.
func (b *builder) add(t problem.Task, e Entry) {
	e.Key = TaskKey(t.ID)
	if _, twice := b.index.byKey[e.Key]; twice {
		b.fault(t.ID, "give them different names", "two tasks have the key %q", t.ID)
		return
	}
	b.index.byKey[e.Key] = len(b.index.Tasks)
	e.Heads = t.MinHeads
	b.p.Tasks = append(b.p.Tasks, t)
	b.index.Tasks = append(b.index.Tasks, e)
}

// link adds a finish-to-start link.
func (b *builder) link(from, to TaskKey) {
	b.p.Links = append(b.p.Links, problem.Link{From: string(from), To: string(to)})
}

// finish settles what concerns all projects together: links into started work, issued lines, orders of lists. It runs
// last because it needs to know which tasks exist.
func (b *builder) finish() {
	b.settleOutOfOrder()
	b.keepIssued()
	b.dropStrayPins()
	b.sortLinks()
	b.sortNotes()
	b.p.Uncertainty = b.uncertainty()
}

// sortLinks orders the links by their tasks' places and takes out repeated ones.
func (b *builder) sortLinks() {
	type placed struct {
		to, from int
		link     problem.Link
	}
	list := make([]placed, len(b.p.Links))
	for i, l := range b.p.Links {
		list[i] = placed{b.position(l.To), b.position(l.From), l}
	}
	slices.SortFunc(list, func(x, y placed) int {
		return cmp.Or(cmp.Compare(x.to, y.to), cmp.Compare(x.from, y.from), cmp.Compare(x.link.Type, y.link.Type),
			cmp.Compare(x.link.LagMinutes, y.link.LagMinutes), cmp.Compare(x.link.LagCalendar, y.link.LagCalendar))
	})
	for i := range list {
		b.p.Links[i] = list[i].link
	}
	b.p.Links = slices.Compact(b.p.Links)
}

// position is a task's place in the document, -1 for anything else.
func (b *builder) position(id string) int {
	if i, ok := b.index.byKey[TaskKey(id)]; ok {
		return i
	}
	return -1
}

// settleOutOfOrder gives the document the setting that its projects share. When they differ, the document keeps the order,
// and links into started work of the projects that let it run are taken out, which is what letting run means.
func (b *builder) settleOutOfOrder() {
	keeping := 0
	for i := range b.f.Projects {
		if b.f.Projects[i].OutOfOrder == problem.KeepOrder {
			keeping++
		}
	}
	if keeping == 0 {
		b.p.OutOfOrder = problem.LetRun
		return
	}
	b.p.OutOfOrder = problem.KeepOrder
	if keeping == len(b.f.Projects) {
		return
	}
	b.p.Links = slices.DeleteFunc(b.p.Links, func(l problem.Link) bool {
		to := b.position(l.To)
		return to >= 0 && b.p.Tasks[to].IsStarted() && !b.keepsOrder[b.index.Tasks[to].Project]
	})
}

// keepIssued takes over the issued lines whose task still exists. The plan in force may name a crew that is gone; then the
// line keeps its start only.
func (b *builder) keepIssued() {
	for _, line := range sortedBy(b.f.Issued, func(l *problem.Issued) string { return l.Task }) {
		at := b.position(line.Task)
		if at < 0 {
			b.noteGone(line.Task, "the issued plan has a line for")
			continue
		}
		kept := *line
		if kept.Crew != "" && (b.p.Tasks[at].DurationMinutes != nil || b.crews[kept.Crew] == nil) {
			kept.Crew = ""
		}
		b.p.Issued = append(b.p.Issued, kept)
	}
	slices.SortStableFunc(b.p.Issued, func(x, y problem.Issued) int {
		return cmp.Compare(b.position(x.Task), b.position(y.Task))
	})
}

// dropStrayPins notes pins of tasks that no longer exist.
func (b *builder) dropStrayPins() {
	for _, key := range slices.Sorted(maps.Keys(b.f.Pins)) {
		if b.position(string(key)) < 0 {
			b.noteGone(string(key), "there is a pin on")
		}
	}
}

// named puts the key of the task before faults that the document's own validation found, where they are about one.
func (b *builder) named(faults problem.Faults) error {
	for i, f := range faults {
		var n int
		if _, err := fmt.Sscanf(f.Place, "tasks[%d]", &n); err == nil && n < len(b.p.Tasks) {
			_, field, _ := strings.Cut(f.Place, "]")
			faults[i].Place = strings.TrimSpace(b.p.Tasks[n].ID + " " + strings.TrimPrefix(field, "."))
		}
	}
	return faults
}
