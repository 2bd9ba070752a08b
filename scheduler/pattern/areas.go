package pattern

import (
	"cmp"
	"slices"
)

// areaTree answers what an area is inside of and in which order areas are walked.
type areaTree struct {
	byID map[string]*Area
	rank map[string]int // depth first, siblings by WalkOrder, then ID
	list []*Area        // in rank order
}

// growTree orders the areas. The order is the one in which a foreman walks the job, so that everything that follows it, from
// the document's tasks to learning, follows the work. Areas whose parents form a ring or do not exist are reported by the caller's check and stand at
// the top here.
func growTree(areas []Area) *areaTree {
	t := &areaTree{byID: make(map[string]*Area, len(areas)), rank: make(map[string]int, len(areas))}
	children := map[string][]*Area{}
	for i := range areas {
		a := &areas[i]
		t.byID[a.ID] = a
		children[a.Parent] = append(children[a.Parent], a)
	}
	var walk func(parent string)
	walk = func(parent string) {
		siblings := children[parent]
		slices.SortStableFunc(siblings, func(a, b *Area) int {
			return cmp.Or(cmp.Compare(a.WalkOrder, b.WalkOrder), cmp.Compare(a.ID, b.ID))
		})
		for _, a := range siblings {
			if _, seen := t.rank[a.ID]; seen {
				continue
			}
			t.rank[a.ID] = len(t.list)
			t.list = append(t.list, a)
			walk(a.ID)
		}
	}
	walk("")
	return t
}

// path returns the area and those around it, from the inside out. It stops at a ring, so that the check may use it to find
// one.
func (t *areaTree) path(id string) []*Area {
	var list []*Area
	for a := t.byID[id]; a != nil && !slices.Contains(list, a); a = t.byID[a.Parent] {
		list = append(list, a)
	}
	return list
}

// isInside reports whether an area is another one or inside it; everything is inside "".
func (t *areaTree) isInside(id, outer string) bool {
	if outer == "" {
		return true
	}
	return slices.ContainsFunc(t.path(id), func(a *Area) bool { return a.ID == outer })
}

// maxCrews is the area's own number or the nearest one around it.
func (t *areaTree) maxCrews(id string) *int {
	for _, a := range t.path(id) {
		if a.MaxCrews != nil {
			n := *a.MaxCrews
			return &n
		}
	}
	return nil
}

// setup is the area's own minutes or the nearest ones around it.
func (t *areaTree) setup(id string) int {
	for _, a := range t.path(id) {
		if a.SetupMinutes != nil {
			return *a.SetupMinutes
		}
	}
	return 0
}

// isHoisted reports whether material for the area comes up by the hoist.
func (t *areaTree) isHoisted(id string) bool {
	return slices.ContainsFunc(t.path(id), func(a *Area) bool { return a.Hoisted })
}

// level is the area itself or the one around it that is a level, else the area itself.
func (t *areaTree) level(id string) string {
	for _, a := range t.path(id) {
		if a.Kind == Level {
			return a.ID
		}
	}
	return id
}

// AreaID is the id that an area of a project has in the problem document.
func AreaID(project, area string) string {
	return escaper.Replace(project) + "/" + escaper.Replace(area)
}
