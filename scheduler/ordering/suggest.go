package ordering

import (
	"cmp"
	"slices"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/leadtime"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

// DefaultStorageDays is how many working days of the site material may lie before it is used, unless somebody says
// otherwise. Ours to edit.
const DefaultStorageDays = 15

// Parcel is material of one release for openings of one type in one area: the least that is ordered and delivered together.
type Parcel struct {
	Area     string // of the project
	Type     takeoff.Type
	Contents []Content
	Need     time.Time // when the first of its openings needs it, at the latest
	Ready    time.Time // when all of it can be ordered: drawings, survey or set frames are there
}

// SuggestedDrop is one delivery of a suggested order.
type SuggestedDrop struct {
	Parcels []Parcel // by need
	Need    time.Time
	// StoredDays is how many working days of the site the last of it lies, when it comes as late as the first allows.
	StoredDays float64
}

// SuggestedOrder is a release, with its drops by need.
type SuggestedOrder struct {
	Drops   []SuggestedDrop
	OrderBy time.Time // by the likely lead, for the first drop
	Ready   time.Time // when all of it can be ordered
}

// Late reports whether it cannot be ordered in time, however it is grouped.
func (o *SuggestedOrder) Late() bool { return o.Ready.After(o.OrderBy) }

// Suggestion says how one release that is not ordered would best be ordered.
type Suggestion struct {
	Project  string
	Release  string
	Supplier string
	Basis    pattern.OrderBasis
	Days     leadtime.Days
	Orders   []SuggestedOrder // by order-by date; the first keeps the release's code
	// Behind is what the release as it is would be ordered too late for, since it waits for the rest, and is in time for as suggested.
	Behind  []Parcel
	Unknown int  // items whose need or readiness the plan does not say; they stay where they are
	Same    bool // the release is ordered so already
}

// Suggest regroups every release that is not ordered, by what the plan says of the needs of its openings:
//
//	sorted by need, parcels join the order at hand as long as all of them can be ordered by its order-by date
//	within an order, parcels join the drop at hand as long as they lie no longer than storageDays before use
//
// Joined parcels are neighbours by need, and whatever starts later may be ordered later; so that no division into neighbours
// takes fewer orders, nor fewer drops. Releases whose need nobody knows are left out. The firm is not changed.
func Suggest(f *pattern.Firm, plan map[pattern.TaskKey]Planned, storageDays int) []Suggestion {
	r := newReader(f, plan)
	var list []Suggestion
	for i := range f.Projects {
		for _, o := range r.openReleases(&f.Projects[i], storageDays) {
			list = append(list, o.suggestion)
		}
	}
	return list
}

// openRelease is a release that is not ordered, with what it holds and how it would best be ordered.
type openRelease struct {
	rel        *pattern.Release
	supplier   *pattern.Supplier
	parcels    []Parcel
	rules      groupRules
	suggestion Suggestion
}

// openReleases lists the releases of a project that are not ordered and whose needs the plan says.
func (r *reader) openReleases(p *pattern.Project, storageDays int) (list []openRelease) {
	contents, _ := contentsOf(p)
	for j := range p.Releases {
		rel := &p.Releases[j]
		k := slices.IndexFunc(p.Suppliers, func(s pattern.Supplier) bool { return s.ID == rel.Supplier })
		if k < 0 || !isOpen(rel) {
			continue
		}
		s := Suggestion{
			Project: p.Code, Release: rel.ID, Supplier: cmp.Or(p.Suppliers[k].Name, rel.Supplier), Basis: cmp.Or(rel.Basis, pattern.FromDrawings),
			Days: daysOf(&p.Suppliers[k], rel.Lead),
		}
		parcels := r.parcels(p, rel, contents, &s)
		if len(parcels) == 0 {
			continue
		}
		terms := r.terms(&p.Suppliers[k], s.Days)
		rules := groupRules{
			orderBy: func(need time.Time) time.Time { return terms.OrderBy(calendar.FromTime(need)).Likely.Time() },
			stored: func(from, to time.Time) float64 {
				return r.workingDays(p.Calendar, calendar.FromTime(from), calendar.FromTime(to))
			},
			most: float64(storageDays),
		}
		s.Orders = group(parcels, rules)
		s.Behind = behind(s.Orders, rules)
		s.Same = len(s.Orders) == 1 && sameDrops(s.Orders[0].Drops, rel, contents)
		list = append(list, openRelease{rel, &p.Suppliers[k], parcels, rules, s})
	}
	return list
}

// behind are the parcels that one order of all would be too late for and their own order among these is not: one order waits until the
// last of all can be ordered.
func behind(orders []SuggestedOrder, rules groupRules) (list []Parcel) {
	var all time.Time
	for i := range orders {
		all = latest(all, orders[i].Ready)
	}
	for i := range orders {
		for _, d := range orders[i].Drops {
			for _, p := range d.Parcels {
				if due := latest(rules.orderBy(p.Need), p.Ready); all.After(due) && !orders[i].Ready.After(due) {
					list = append(list, p)
				}
			}
		}
	}
	return list
}

// isOpen reports whether nothing of a release has been ordered.
func isOpen(rel *pattern.Release) bool {
	return rel.Ordered == nil && !slices.ContainsFunc(rel.Drops, func(d pattern.Drop) bool { return d.Shipped != nil || d.Received != nil })
}

// parcels are what a release holds, by need, then area and type.
func (r *reader) parcels(p *pattern.Project, rel *pattern.Release, contents map[dropOf][]Content, s *Suggestion) []Parcel {
	parents := map[string]string{}
	for i := range p.Areas {
		parents[p.Areas[i].ID] = p.Areas[i].Parent
	}
	types := map[string]takeoff.Type{}
	for i := range p.Openings {
		types[p.Openings[i].Mark] = p.Openings[i].Takeoff.Type
	}
	type place struct {
		area string
		typ  takeoff.Type
	}
	byPlace := map[place]*Parcel{}
	var order []place
	for _, number := range dropNumbers(rel) {
		for _, c := range contents[dropOf{rel.ID, number}] {
			use, planned := r.plan[pattern.OpeningTask(p.Code, c.Mark, r.step(types[c.Mark], c.Item))]
			ready, known := r.ready(p.Code, parents, cmp.Or(rel.Basis, pattern.FromDrawings), c)
			if !planned || !known {
				s.Unknown++
				continue
			}
			k := place{c.Area, types[c.Mark]}
			at := byPlace[k]
			if at == nil {
				at = &Parcel{Area: c.Area, Type: types[c.Mark], Need: use.LateStart, Ready: ready}
				byPlace[k] = at
				order = append(order, k)
			}
			at.Contents = append(at.Contents, c)
			if use.LateStart.Before(at.Need) {
				at.Need = use.LateStart
			}
			if ready.After(at.Ready) {
				at.Ready = ready
			}
		}
	}
	list := make([]Parcel, len(order))
	for i, k := range order {
		list[i] = *byPlace[k]
	}
	slices.SortStableFunc(list, func(a, b Parcel) int {
		return cmp.Or(a.Need.Compare(b.Need), cmp.Compare(a.Area, b.Area), cmp.Compare(a.Type, b.Type))
	})
	return list
}

func dropNumbers(rel *pattern.Release) []int {
	if len(rel.Drops) == 0 {
		return []int{1}
	}
	numbers := make([]int, len(rel.Drops))
	for i, d := range rel.Drops {
		numbers[i] = d.Number
	}
	slices.Sort(numbers)
	return numbers
}

// ready is when an item can be ordered, by the plan: at once from drawings, after the survey around its opening, or after its
// framing.
func (r *reader) ready(project string, parents map[string]string, basis pattern.OrderBasis, c Content) (time.Time, bool) {
	switch basis {
	case pattern.FromSurvey:
		for area, steps := c.Area, 0; area != "" && steps <= len(parents); area, steps = parents[area], steps+1 {
			if survey, planned := r.plan[pattern.SurveyTask(project, area)]; planned {
				return latest(survey.Finish, r.f.DataDate), true
			}
		}
		return time.Time{}, false
	case pattern.AfterFraming:
		frame, planned := r.plan[pattern.OpeningTask(project, c.Mark, takeoff.Frame)]
		return latest(frame.Finish, r.f.DataDate), planned
	}
	return r.f.DataDate, true
}

func latest(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// groupRules are what grouping asks about dates.
type groupRules struct {
	orderBy func(need time.Time) time.Time
	stored  func(from, to time.Time) float64 // working days that material lies from one instant to another
	most    float64                          // of them
}

// group divides parcels, which are sorted by need, into orders and drops. An order whose first parcel cannot be ordered in time
// takes in what is ready as early as it is: that delays nothing further.
func group(parcels []Parcel, rules groupRules) (orders []SuggestedOrder) {
	for _, parcel := range parcels {
		last := len(orders) - 1
		if last < 0 || parcel.Ready.After(latest(orders[last].OrderBy, orders[last].Ready)) {
			orders = append(orders, SuggestedOrder{OrderBy: rules.orderBy(parcel.Need), Ready: parcel.Ready})
			last++
		}
		order := &orders[last]
		order.Ready = latest(order.Ready, parcel.Ready)
		drop := len(order.Drops) - 1
		if drop < 0 || rules.stored(order.Drops[drop].Need, parcel.Need) > rules.most {
			order.Drops = append(order.Drops, SuggestedDrop{Need: parcel.Need})
			drop++
		}
		d := &order.Drops[drop]
		d.Parcels = append(d.Parcels, parcel)
		d.StoredDays = rules.stored(d.Need, parcel.Need)
	}
	return orders
}

// sameDrops reports whether a release has these drops already, in any order.
func sameDrops(drops []SuggestedDrop, rel *pattern.Release, contents map[dropOf][]Content) bool {
	now := map[Content]int{}
	used := map[int]bool{}
	for _, number := range dropNumbers(rel) {
		for _, c := range contents[dropOf{rel.ID, number}] {
			now[c], used[number] = number, true
		}
	}
	if len(used) != len(drops) {
		return false
	}
	for _, d := range drops {
		number := now[d.Parcels[0].Contents[0]]
		for _, parcel := range d.Parcels {
			for _, c := range parcel.Contents {
				if now[c] != number {
					return false
				}
			}
		}
	}
	return true
}
