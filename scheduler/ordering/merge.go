package ordering

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"jambwright/scheduler/leadtime"
	"jambwright/scheduler/pattern"
)

// DefaultTruckItems is how many items of openings are brought by one truck, unless somebody says otherwise. Ours to edit.
const DefaultTruckItems = 60

// MergeRules are what people say of merging.
type MergeRules struct {
	StorageDays int // working days of the site that material may lie before it is used
	TruckItems  int // items that one order may hold
}

// MergePart is one of the releases that would be one.
type MergePart struct {
	Release  string
	Contents []Content
	Need     time.Time // when the first of its openings needs it, at the latest
	Last     time.Time // when the last of its areas and types does
	OrderBy  time.Time // by the likely lead
	Ready    time.Time // when all of it can be ordered
}

// Merge says which small releases would best be one order and one truck.
type Merge struct {
	Project  string
	Level    string // area that all of it is for
	Supplier string // name
	Basis    pattern.OrderBasis
	Days     leadtime.Days
	Parts    []MergePart // by need, and so by order-by date; the first keeps its code
	OrderBy  time.Time   // the first part's
	Ready    time.Time
	// StoredDays is how many working days of the site the last of it lies when it comes as late as the first allows.
	StoredDays float64
}

// Codes are the codes of the releases that would be one, the one that stays first.
func (m *Merge) Codes() []string {
	codes := make([]string, len(m.Parts))
	for i := range m.Parts {
		codes[i] = m.Parts[i].Release
	}
	return codes
}

// Merges finds releases of one supplier for one level, ordered from the same basis by the same lead, that one order and one truck can
// bring:
//
//	what of it is used first is the same: frames join frames, with glass or without, and leaves join leaves
//	all of it can be ordered by the first one's order-by date, or else by when each could be ordered at the latest anyway
//	the last of it lies no longer than StorageDays before use
//	it is no more than TruckItems, nor more than any area that it goes to may store
//	nothing gets an order-by date before the data date that has none such already
//
// A release that is in drops, that Suggest would divide, or of which the plan does not say all needs is left as it is. Releases join
// by need, each the first merge that takes it; what is ordered joins nothing. The firm is not changed.
func Merges(f *pattern.Firm, plan map[pattern.TaskKey]Planned, rules MergeRules) []Merge {
	r := newReader(f, plan)
	var list []Merge
	for i := range f.Projects {
		list = append(list, r.mergesOf(&f.Projects[i], rules)...)
	}
	return list
}

// candidate is a release that may join others of its key.
type candidate struct {
	key    string
	merge  Merge // of it alone
	stored func(from, to time.Time) float64
}

func (r *reader) mergesOf(p *pattern.Project, rules MergeRules) (list []Merge) {
	areas := map[string]*pattern.Area{}
	for i := range p.Areas {
		areas[p.Areas[i].ID] = &p.Areas[i]
	}
	var open []candidate
	for _, o := range r.openReleases(p, rules.StorageDays) {
		if c, ok := o.candidate(areas); ok {
			open = append(open, c)
		}
	}
	slices.SortStableFunc(open, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(a.key, b.key), a.merge.Parts[0].Need.Compare(b.merge.Parts[0].Need), cmp.Compare(a.merge.Parts[0].Release, b.merge.Parts[0].Release))
	})
	for from := 0; from < len(open); {
		to := from + 1
		for to < len(open) && open[to].key == open[from].key {
			to++
		}
		list = append(list, r.join(open[from:to], areas, rules)...)
		from = to
	}
	slices.SortStableFunc(list, func(a, b Merge) int {
		return cmp.Or(a.OrderBy.Compare(b.OrderBy), cmp.Compare(a.Parts[0].Release, b.Parts[0].Release))
	})
	return list
}

// candidate is the release as it could join others; false when it is best left alone.
func (o *openRelease) candidate(areas map[string]*pattern.Area) (c candidate, ok bool) {
	s := &o.suggestion
	promised := slices.ContainsFunc(o.rel.Drops, func(d pattern.Drop) bool { return d.Promised != nil })
	if s.Unknown > 0 || !s.Same || len(s.Orders[0].Drops) != 1 || promised {
		return c, false
	}
	part := MergePart{Release: o.rel.ID, Need: s.Orders[0].Drops[0].Need, Last: o.parcels[len(o.parcels)-1].Need, OrderBy: s.Orders[0].OrderBy, Ready: s.Orders[0].Ready}
	level := levelOf(areas, o.parcels[0].Area)
	items := map[pattern.Item]bool{}
	for i := range o.parcels {
		if levelOf(areas, o.parcels[i].Area) != level {
			return c, false
		}
		for _, content := range o.parcels[i].Contents {
			part.Contents, items[content.Item] = append(part.Contents, content), true
		}
	}
	key := fmt.Sprintf("%s\x00%s\x00%s\x00%v", level, o.supplier.ID, s.Basis, s.Days)
	for _, item := range pattern.Items() {
		if items[item] {
			key += "\x00" + string(item) // the first that is used
			break
		}
	}
	return candidate{
		key: key, stored: o.rules.stored,
		merge: Merge{
			Project: s.Project, Level: level, Supplier: s.Supplier, Basis: s.Basis, Days: s.Days, Parts: []MergePart{part},
			OrderBy: part.OrderBy, Ready: part.Ready, StoredDays: s.Orders[0].Drops[0].StoredDays,
		},
	}, true
}

// levelOf is the level that an area lies on; the outermost area where none of those around it is a level.
func levelOf(areas map[string]*pattern.Area, id string) string {
	for n := 0; n <= len(areas); n++ {
		a := areas[id]
		if a == nil || a.Kind == pattern.Level || a.Parent == "" {
			break
		}
		id = a.Parent
	}
	return id
}

// join puts releases of one key, by need, into as few orders as the rules let it, and returns those of several.
func (r *reader) join(open []candidate, areas map[string]*pattern.Area, rules MergeRules) (list []Merge) {
	var all []Merge
next:
	for i := range open {
		for j := range all {
			if m, ok := r.with(&all[j], &open[i], areas, rules); ok {
				all[j] = m
				continue next
			}
		}
		all = append(all, open[i].merge)
	}
	for _, m := range all {
		if len(m.Parts) > 1 {
			list = append(list, m)
		}
	}
	return list
}

// with is a merge with one more release, if the rules let it join.
func (r *reader) with(m *Merge, c *candidate, areas map[string]*pattern.Area, rules MergeRules) (Merge, bool) {
	out := *m
	out.Parts = append(slices.Clip(m.Parts), c.merge.Parts...)
	out.Ready = latest(m.Ready, c.merge.Ready)
	first, last := m.Parts[0].Need, m.Parts[0].Last
	held, items := map[string]int{}, 0
	for i := range out.Parts {
		p := &out.Parts[i]
		if out.Ready.After(latest(p.OrderBy, p.Ready)) {
			return *m, false // it would wait for the others
		}
		if out.OrderBy.Before(r.f.DataDate) && !p.OrderBy.Before(r.f.DataDate) {
			return *m, false // it would be overdue for the others' sake
		}
		items += len(p.Contents)
		for _, content := range p.Contents {
			for area, n := areas[content.Area], 0; area != nil && n <= len(areas); area, n = areas[area.Parent], n+1 {
				held[area.ID]++
			}
		}
		last = latest(last, p.Last)
	}
	out.StoredDays = c.stored(first, last)
	if items > rules.TruckItems || out.StoredDays > float64(rules.StorageDays) {
		return *m, false
	}
	for id, n := range held {
		if most := areas[id].MaxStored; most != nil && n > *most {
			return *m, false
		}
	}
	return out, true
}
