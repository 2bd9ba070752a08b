package pattern

import (
	"cmp"
	"slices"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/leadtime"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// supply is material on its way: a release or a remake.
type supply struct {
	id       string
	remake   bool
	supplier *Supplier
	lead     LeadTime
	basis    OrderBasis
	ordered  *time.Time
	known    *time.Time // a remake cannot be ordered before its damage was reported
	drops    []Drop
	contents []content
}

// content is one item of one opening in a drop.
type content struct {
	opening *openingPlan
	item    Item
	drop    int
}

// addReleases adds order, lead and delivery of every release that holds something an opening needs.
func (p *projectBuilder) addReleases() {
	contents := map[string][]content{}
	for _, o := range p.openings {
		for _, m := range o.Material {
			if _, needed := o.stepFor(m.Item); needed && !m.OnSite {
				contents[m.Release] = append(contents[m.Release], content{o, m.Item, max(m.Drop, 1)})
			}
		}
	}
	for _, r := range sortedBy(p.pr.Releases, func(r *Release) string { return r.ID }) {
		if len(contents[r.ID]) == 0 {
			if r.Ordered != nil || len(r.Drops) > 0 {
				p.noteOf(NoteDropped, r.ID, "release %s holds nothing that an opening needs; it is not planned", r.ID)
			}
			continue
		}
		s := supply{
			id: r.ID, supplier: p.suppliers[r.Supplier], basis: cmp.Or(r.Basis, FromDrawings), ordered: r.Ordered,
			drops: slices.Clone(r.Drops), contents: contents[r.ID],
		}
		s.lead = s.supplier.Lead
		if r.Lead != nil {
			s.lead = *r.Lead
		}
		if len(s.drops) == 0 {
			s.drops = []Drop{{Number: 1}}
		}
		p.settleBasis(&s)
		slices.SortFunc(s.drops, func(a, b Drop) int { return cmp.Compare(a.Number, b.Number) })
		p.addSupply(&s)
	}
}

// settleBasis orders a release after the survey that is said to be ordered after framing but holds what framing itself needs:
// it would wait for itself.
func (p *projectBuilder) settleBasis(s *supply) {
	if s.basis != AfterFraming {
		return
	}
	for _, c := range s.contents {
		kind, _ := c.opening.stepFor(c.item)
		if frame := c.opening.upTo(takeoff.Frame); frame < 0 || c.opening.upTo(kind) <= frame {
			s.basis = FromSurvey
			p.noteOf(NoteBasis, s.id, "release %s cannot be ordered after framing, since framing %s needs its %s: it is planned as ordered after the survey",
				s.id, c.opening.Mark, c.item.words())
			return
		}
	}
}

// addRemakes adds order, lead and delivery of every remake.
func (p *projectBuilder) addRemakes() {
	for _, r := range p.remakes {
		o := p.byMark[r.Opening]
		s := supply{
			id: r.ID, remake: true, supplier: p.remaker(r, o), basis: FromDrawings, ordered: r.Ordered, known: &r.Reported,
			drops:    []Drop{{Number: 1, Promised: r.Promised, Shipped: r.Shipped, Received: r.Received}},
			contents: []content{{o, r.Item, 1}},
		}
		s.lead = s.supplier.Lead
		if r.Lead != nil {
			s.lead = *r.Lead
		}
		p.addSupply(&s)
	}
}

// remaker is who makes an item again: the supplier named, else the one whose release the item came by, else nobody yet.
func (p *projectBuilder) remaker(r *Remake, o *openingPlan) *Supplier {
	if r.Supplier != "" {
		return p.suppliers[r.Supplier]
	}
	for _, m := range o.Material {
		if m.Item == r.Item && !m.OnSite {
			return p.suppliers[p.releases[m.Release].Supplier]
		}
	}
	return &Supplier{}
}

// orderedAt is when the supply was ordered; material that has come or is on its way has been ordered.
func (s *supply) orderedAt() *time.Time {
	at := s.ordered
	for _, d := range s.drops {
		for _, seen := range []*time.Time{d.Shipped, d.Received} {
			if seen != nil && (at == nil || seen.Before(*at)) {
				at = seen
			}
		}
	}
	return copied(at)
}

// settleDates takes out what has not happened by the data date. Material that is entered as received later is promised for
// then.
func (p *projectBuilder) settleDates(s *supply) {
	s.ordered = p.happened(s.id, "ordered", s.ordered)
	for i := range s.drops {
		d := &s.drops[i]
		d.Shipped = p.happened(s.id, "shipped", d.Shipped)
		if received := p.happened(s.id, "received", d.Received); received == nil && d.Received != nil {
			d.Promised, d.Received = d.Received, nil
		}
	}
}

// addSupply adds one order and, for each drop that holds something, its time under way and its unloading:
//
//	order ─┬─> lead   ─> deliver
//	       └─> lead.2 ─> deliver.2
//
// Lead time and unloading are two tasks because they run in different calendars, and only the second one occupies the dock.
func (p *projectBuilder) addSupply(s *supply) {
	p.settleDates(s)
	p.addOrder(s)
	for i := range s.drops {
		d := &s.drops[i]
		var held []content
		for _, c := range s.contents {
			if c.drop == d.Number {
				held = append(held, c)
			}
		}
		if len(held) == 0 {
			p.noteOf(NoteDropped, s.id, "drop %d of release %s holds nothing that an opening needs; it is not planned", d.Number, s.id)
			continue
		}
		p.addLead(s, d, held)
		p.addDrop(s, d, held)
	}
}

// entry is what order, lead and delivery have in common.
func (p *projectBuilder) entry(kind takeoff.Kind, s *supply, held []content) Entry {
	e := Entry{
		Kind: kind, Project: p.pr.Code, Release: s.id, Remake: s.remake, Supplier: cmp.Or(s.supplier.Name, s.supplier.ID),
		Lead: s.lead, LeadDayMinutes: p.clock.dayMinutes(s.calendar()), Openings: marksOf(held),
	}
	for _, item := range Items() {
		if slices.ContainsFunc(held, func(c content) bool { return c.item == item }) {
			e.Items = append(e.Items, item)
		}
	}
	return e
}

func (s *supply) calendar() string { return cmp.Or(s.supplier.Calendar, problem.Always) }

// addOrder adds the buyer's work. It follows the survey or the framing of what is ordered, by the order basis.
func (p *projectBuilder) addOrder(s *supply) {
	key := OrderTask(p.pr.Code, s.id)
	e := p.entry(takeoff.Order, s, s.contents)
	e.Basis = takeoff.SharedBasis(len(e.Openings), 0)
	hours := p.rates.SharedHours(takeoff.Order, e.Basis)
	t := p.fixed(key, takeoff.Order, hours.Minutes, cmp.Or(p.f.BuyerCalendar, problem.Always))
	e.Hours = &hours
	p.use(&t, p.f.BuyerDesk)
	if at := s.orderedAt(); at != nil {
		t.Status = &problem.Status{Started: *at, Finished: at}
	} else if s.known != nil && s.known.After(p.f.DataDate) {
		p.holdUntil(&t, *s.known, "material: "+s.id+" reported "+p.day(*s.known))
	}
	if s.supplier.ID == "" && t.Status == nil {
		p.wait(&t, &e, "material: "+s.id+" has no supplier yet")
	}
	p.applyState(&t, &e, false)
	p.pin(&t)
	p.noteWait(&t, &e)
	p.add(t, e)
	for _, c := range s.contents {
		switch s.basis {
		case FromSurvey:
			p.linkSurvey(c.opening, key)
		case AfterFraming:
			p.link(OpeningTask(p.pr.Code, c.opening.Mark, takeoff.Frame), key)
		}
	}
}

// addLead adds the time from the order to the site's gate. What is promised replaces what is computed; a promise that
// has passed slides to the data date and what is left of the lead time's spread.
func (p *projectBuilder) addLead(s *supply, d *Drop, held []content) {
	key := LeadTask(p.pr.Code, s.id, d.Number)
	e := p.entry(Lead, s, held)
	e.Drop, e.Promised = d.Number, copied(d.Promised)
	t := p.fixed(key, Lead, s.lead.Likely*e.LeadDayMinutes, s.calendar())
	p.link(OrderTask(p.pr.Code, s.id), key)
	ordered := s.orderedAt()
	switch {
	case d.Received != nil:
		t.Status = &problem.Status{Started: earlier(*ordered, *d.Received), Finished: copied(d.Received)}
	case ordered != nil:
		p.underWay(&t, &e, s, d, *ordered)
	}
	p.add(t, e)
}

// underWay gives a lead under way what remains of it:
//
//	promised, still to come   minutes of the clock up to the promise
//	promised, passed          the supplier's spread from likely to most, from the data date
//	nothing promised          the likely lead time less what has passed of it, and the spread once that is used up
//
// A promise counts on the clock of every minute, so that it is met to the minute whatever the supplier's calendar says.
func (p *projectBuilder) underWay(t *problem.Task, e *Entry, s *supply, d *Drop, ordered time.Time) {
	terms := leadtime.Terms{
		Days: s.lead, DayMinutes: e.LeadDayMinutes, Supplier: p.clock.calendar(t.Calendar), Allowance: p.settings.OverdueDeliveryDays,
	}
	var promised *calendar.Instant
	if d.Promised != nil {
		at := calendar.FromTime(*d.Promised)
		promised = &at
	}
	rule, remaining := terms.Left(calendar.FromTime(ordered), promised, calendar.FromTime(p.f.DataDate))
	switch key := TaskKey(t.ID); rule {
	case leadtime.Promised:
		t.Calendar = problem.Always
	case leadtime.MissedPromise:
		e.Late = &Late{Party: e.Supplier, Promised: *d.Promised}
		p.noteTask(NoteLate, key, s.id, "%s was promised by %s for %s", s.id, e.Supplier, p.day(e.Late.Promised))
	case leadtime.Overdue:
		p.noteTask(NoteLate, key, s.id, "%s of %s is past its lead time of %d days, ordered %s", s.id, e.Supplier, s.lead.Likely, p.day(ordered))
	}
	t.Status = &problem.Status{Started: ordered, RemainingMinutes: &remaining}
}

// addDrop adds the unloading on site.
func (p *projectBuilder) addDrop(s *supply, d *Drop, held []content) {
	key := DeliverTask(p.pr.Code, s.id, d.Number)
	e := p.entry(takeoff.Deliver, s, held)
	e.Drop, e.Promised = d.Number, copied(d.Promised)
	pieces, hoisted := 0, false
	for _, c := range held {
		pieces += c.pieces()
		hoisted = hoisted || p.tree.isHoisted(c.opening.Area)
	}
	e.Basis = takeoff.SharedBasis(len(e.Openings), pieces)
	hours := p.rates.SharedHours(takeoff.Deliver, e.Basis)
	e.Hours = &hours
	t := p.fixed(key, takeoff.Deliver, hours.Minutes, p.pr.Calendar)
	p.use(&t, p.pr.Dock)
	if hoisted {
		p.use(&t, p.pr.Hoist)
	}
	switch {
	case d.Received != nil:
		t.Status = &problem.Status{Started: *d.Received, Finished: copied(d.Received)}
	case d.Promised != nil && s.orderedAt() == nil && d.Promised.After(p.f.DataDate):
		p.holdUntil(&t, *d.Promised, "material: "+s.id+" promised by "+e.Supplier+" for "+p.day(*d.Promised))
	}
	p.applyState(&t, &e, false)
	p.pin(&t)
	p.noteWait(&t, &e)
	p.link(LeadTask(p.pr.Code, s.id, d.Number), key)
	p.add(t, e)
}

// fixed makes a task of fixed work on the project's site.
func (p *projectBuilder) fixed(key TaskKey, kind takeoff.Kind, minutes int, calendar string) problem.Task {
	return problem.Task{ID: string(key), Kind: string(kind), Site: p.pr.Site, DurationMinutes: &minutes, Calendar: calendar}
}

// use makes a task occupy one unit of a limit.
func (p *projectBuilder) use(t *problem.Task, limit string) {
	if limit == "" {
		return
	}
	if t.Uses == nil {
		t.Uses = map[string]int{}
	}
	t.Uses[limit] = 1
}

// pieces is how many pieces an item is carried in as. Hardware comes in a box.
func (c content) pieces() int {
	t := c.opening.takeoff
	switch c.item {
	case Glass:
		return len(t.Panes)
	case Leaf:
		return len(t.Leaves)
	case Hardware:
		return 1
	}
	return t.Bundles()
}

// marksOf lists the openings of some contents, each once, in their order.
func marksOf(held []content) []string {
	var list []string
	for _, c := range held {
		if len(list) == 0 || list[len(list)-1] != c.opening.Mark {
			list = append(list, c.opening.Mark)
		}
	}
	return list
}
