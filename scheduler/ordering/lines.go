package ordering

import (
	"cmp"
	"slices"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/leadtime"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// Planned is what a plan says of one task.
type Planned struct {
	Start, Finish         time.Time
	LateStart, LateFinish time.Time // of the network alone
}

// Content is one item of one opening.
type Content struct {
	Mark string
	Area string // of the project
	Item pattern.Item
}

// Span is an instant for each of the three leads.
type Span struct {
	Least, Likely, Most time.Time
}

// Line is one delivery.
type Line struct {
	Project    string // code
	Release    string // release or remake
	Remake     bool
	Cause      string // of a remake
	Drop       int    // from 1
	SupplierID string
	Supplier   string // name
	Basis      pattern.OrderBasis
	Days       leadtime.Days
	Contents   []Content // in the order of the firm's openings

	Ordered, Promised, Shipped, Received *time.Time

	Need     *time.Time // latest arrival; nil when the plan does not say
	UsedFrom *time.Time // first planned start of work that needs it; nil when none is planned
	OrderBy  *Span      // nil without a need
	CanOrder *time.Time // when the plan has it ordered; nil when it is ordered or the plan does not say

	Rule       leadtime.Rule
	Expected   *time.Time // arrival; nil when nobody can say
	Latest     *time.Time
	MarginDays *float64 // working days of the site from Expected to Need, negative when late
	OrderDays  *float64 // working days of the buyer from the data date to OrderBy.Likely, negative when it has passed
}

// Late reports whether the delivery is expected after its need.
func (l *Line) Late() bool { return l.MarginDays != nil && l.Expected.After(*l.Need) }

// LateBySupplier reports whether the supplier did not keep his time.
func (l *Line) LateBySupplier() bool { return l.Rule.Late() }

// Lines lists every delivery of all projects that holds something, by project, release and drop, remakes after releases. plan
// is the latest plan by task key and may be empty. The firm is not changed. Cost is linear in openings and lines.
func Lines(f *pattern.Firm, plan map[pattern.TaskKey]Planned) []Line {
	r := newReader(f, plan)
	var lines []Line
	for i := range f.Projects {
		lines = append(lines, r.project(&f.Projects[i])...)
	}
	return lines
}

// reader holds what all lines are worked out with.
type reader struct {
	f         *pattern.Firm
	plan      map[pattern.TaskKey]Planned
	now       calendar.Instant
	specs     map[string]*problem.Calendar
	calendars map[string]*calendar.Calendar
	steps     map[stepOf]takeoff.Kind
}

func newReader(f *pattern.Firm, plan map[pattern.TaskKey]Planned) *reader {
	r := &reader{
		f: f, plan: plan, now: calendar.FromTime(f.DataDate), calendars: map[string]*calendar.Calendar{},
		specs: map[string]*problem.Calendar{}, steps: map[stepOf]takeoff.Kind{},
	}
	for i := range f.Calendars {
		r.specs[f.Calendars[i].ID] = &f.Calendars[i]
	}
	return r
}

type stepOf struct {
	typ  takeoff.Type
	item pattern.Item
}

// The horizon of the arithmetic around the data date.
const (
	yearsBack  = 2
	yearsAhead = 4
)

// calendar compiles a calendar once. One that is not known or cannot be compiled works always, as for the planner.
func (r *reader) calendar(id string) *calendar.Calendar {
	if c := r.calendars[id]; c != nil {
		return c
	}
	from, to := calendar.FromTime(r.f.DataDate.AddDate(-yearsBack, 0, 0)), calendar.FromTime(r.f.DataDate.AddDate(yearsAhead, 0, 0))
	c := calendar.Always(from, to)
	if spec := r.specs[id]; spec != nil {
		if made, err := calendar.Compile(*spec, from, to); err == nil {
			c = made
		}
	}
	r.calendars[id] = c
	return c
}

// workingDays is the working time between two instants in days of a calendar's usual length.
func (r *reader) workingDays(id string, from, to calendar.Instant) float64 {
	return float64(r.calendar(id).Count(from, to)) / float64(leadtime.DayMinutes(r.specs[id]))
}

// project lists the lines of one project.
func (r *reader) project(p *pattern.Project) []Line {
	suppliers := map[string]*pattern.Supplier{}
	for i := range p.Suppliers {
		suppliers[p.Suppliers[i].ID] = &p.Suppliers[i]
	}
	contents, areas := contentsOf(p)
	types := map[string]takeoff.Type{}
	for i := range p.Openings {
		types[p.Openings[i].Mark] = p.Openings[i].Takeoff.Type
	}
	var lines []Line
	add := func(l Line, s *pattern.Supplier) {
		if s != nil {
			l.SupplierID, l.Supplier = s.ID, cmp.Or(s.Name, s.ID)
		}
		r.work(p, s, types, &l)
		lines = append(lines, l)
	}
	for i := range p.Releases {
		rel := &p.Releases[i]
		s := suppliers[rel.Supplier]
		drops := rel.Drops
		if len(drops) == 0 {
			drops = []pattern.Drop{{Number: 1}}
		}
		for _, d := range drops {
			held := contents[dropOf{rel.ID, d.Number}]
			if len(held) == 0 {
				continue
			}
			add(Line{
				Project: p.Code, Release: rel.ID, Drop: d.Number, Basis: cmp.Or(rel.Basis, pattern.FromDrawings), Days: daysOf(s, rel.Lead),
				Contents: held, Ordered: rel.Ordered, Promised: d.Promised, Shipped: d.Shipped, Received: d.Received,
			}, s)
		}
	}
	for i := range p.Remakes {
		m := &p.Remakes[i]
		s := suppliers[cmp.Or(m.Supplier, suppliedBy(p, m))]
		add(Line{
			Project: p.Code, Release: m.ID, Remake: true, Cause: m.Cause, Drop: 1, Basis: pattern.FromDrawings, Days: daysOf(s, m.Lead),
			Contents: []Content{{Mark: m.Opening, Area: areas[m.Opening], Item: m.Item}},
			Ordered:  m.Ordered, Promised: m.Promised, Shipped: m.Shipped, Received: m.Received,
		}, s)
	}
	return lines
}

// suppliedBy is the supplier whose release the item of a remake came by, as the planner takes it where nobody says who remakes.
func suppliedBy(p *pattern.Project, m *pattern.Remake) string {
	for i := range p.Openings {
		if p.Openings[i].Mark != m.Opening {
			continue
		}
		for _, material := range p.Openings[i].Material {
			j := slices.IndexFunc(p.Releases, func(r pattern.Release) bool { return r.ID == material.Release })
			if material.Item == m.Item && !material.OnSite && j >= 0 {
				return p.Releases[j].Supplier
			}
		}
	}
	return ""
}

func daysOf(s *pattern.Supplier, own *leadtime.Days) leadtime.Days {
	switch {
	case own != nil:
		return *own
	case s != nil:
		return s.Lead
	}
	return leadtime.Days{}
}

type dropOf struct {
	release string
	drop    int
}

// contentsOf lists what comes with each drop, and the areas of openings by mark.
func contentsOf(p *pattern.Project) (contents map[dropOf][]Content, areas map[string]string) {
	contents, areas = map[dropOf][]Content{}, map[string]string{}
	for i := range p.Openings {
		o := &p.Openings[i]
		areas[o.Mark] = o.Area
		for _, m := range o.Material {
			if !m.OnSite && m.Release != "" {
				k := dropOf{m.Release, max(1, m.Drop)}
				contents[k] = append(contents[k], Content{Mark: o.Mark, Area: o.Area, Item: m.Item})
			}
		}
	}
	return contents, areas
}

// work fills in needs, order-by dates and the outlook of a line.
func (r *reader) work(p *pattern.Project, s *pattern.Supplier, types map[string]takeoff.Type, l *Line) {
	if deliver, planned := r.plan[pattern.DeliverTask(p.Code, l.Release, l.Drop)]; planned {
		l.Need = &deliver.LateStart
	}
	l.UsedFrom = r.usedFrom(p, l, types)
	if s == nil {
		return // nobody is known to make it
	}
	terms := r.terms(s, l.Days)
	if l.Need != nil && l.Received == nil {
		by := terms.OrderBy(calendar.FromTime(*l.Need))
		l.OrderBy = &Span{by.Least.Time(), by.Likely.Time(), by.Most.Time()}
		if l.Ordered == nil {
			days := r.workingDays(r.f.BuyerCalendar, r.now, by.Likely)
			l.OrderDays = &days
		}
	}
	placed := r.now
	if order, planned := r.plan[pattern.OrderTask(p.Code, l.Release)]; planned && l.Ordered == nil {
		placed = max(placed, calendar.FromTime(order.Finish))
		when := placed.Time()
		l.CanOrder = &when
	} else if l.Ordered == nil && len(r.plan) > 0 {
		return // the plan leaves the order out: it waits for something without a date
	}
	out := terms.Outlook(leadtime.Facts{
		Ordered: r.happened(l.orderedAt()), Promised: instant(l.Promised), Received: r.happened(l.Received),
	}, r.now, placed)
	l.Rule = out.Rule
	if out.Expected >= calendar.Never {
		return
	}
	expected, latest := out.Expected.Time(), out.Latest.Time()
	l.Expected, l.Latest = &expected, &latest
	if l.Need != nil && l.Received == nil {
		days := r.workingDays(p.Calendar, out.Expected, calendar.FromTime(*l.Need))
		l.MarginDays = &days
	}
}

func (r *reader) terms(s *pattern.Supplier, days leadtime.Days) leadtime.Terms {
	t := leadtime.Terms{
		Days: days, DayMinutes: leadtime.DayMinutes(r.specs[s.Calendar]), Supplier: r.calendar(s.Calendar),
		Allowance: max(1, r.f.Settings.OverdueDeliveryDays),
	}
	if r.f.BuyerCalendar != "" {
		t.Buyer = r.calendar(r.f.BuyerCalendar)
	}
	return t
}

// orderedAt is when the delivery was ordered; what has been shipped or has come was ordered by then.
func (l *Line) orderedAt() *time.Time {
	at := l.Ordered
	for _, seen := range []*time.Time{l.Shipped, l.Received} {
		if seen != nil && (at == nil || seen.Before(*at)) {
			at = seen
		}
	}
	return at
}

// happened leaves out what lies after the data date.
func (r *reader) happened(t *time.Time) *calendar.Instant {
	if at := instant(t); at != nil && *at <= r.now {
		return at
	}
	return nil
}

func instant(t *time.Time) *calendar.Instant {
	if t == nil {
		return nil
	}
	at := calendar.FromTime(*t)
	return &at
}

// usedFrom is the first planned start of the work that needs what a line brings.
func (r *reader) usedFrom(p *pattern.Project, l *Line, types map[string]takeoff.Type) *time.Time {
	var first *time.Time
	for _, c := range l.Contents {
		planned, ok := r.plan[pattern.OpeningTask(p.Code, c.Mark, r.step(types[c.Mark], c.Item))]
		if ok && (first == nil || planned.Start.Before(*first)) {
			start := planned.Start
			first = &start
		}
	}
	return first
}

// step is the kind of work that needs an item.
func (r *reader) step(typ takeoff.Type, item pattern.Item) takeoff.Kind {
	key := stepOf{typ, item}
	kind, known := r.steps[key]
	if !known {
		kind = r.f.StepFor(typ, item)
		r.steps[key] = kind
	}
	return kind
}

// ByUrgency orders lines that are not ordered by their order-by date, the first at the front and those without one last.
func ByUrgency(lines []Line) []Line {
	sorted := slices.Clone(lines)
	slices.SortStableFunc(sorted, func(a, b Line) int {
		switch {
		case a.OrderBy == nil && b.OrderBy == nil:
			return 0
		case a.OrderBy == nil:
			return 1
		case b.OrderBy == nil:
			return -1
		}
		return a.OrderBy.Likely.Compare(b.OrderBy.Likely)
	})
	return sorted
}
