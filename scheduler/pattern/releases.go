package pattern

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jambwright/scheduler/takeoff"
)

// Supply says what a supplier furnishes and what must be known before it is ordered.
type Supply struct {
	Supplier string     // id
	Items    []Item     // none means every item
	Basis    OrderBasis // "" reads as DefaultBasis of the item
}

// DefaultBasis is what an item is ordered from unless the supplier says otherwise: frames and glass are cut to measure, so
// they wait for the survey; leaves and hardware follow the drawings. Ours to edit.
func DefaultBasis(item Item) OrderBasis {
	if item == FrameKit || item == Glass {
		return FromSurvey
	}
	return FromDrawings
}

// Proposal groups material into releases.
type Proposal struct {
	Releases []Release
	Material map[string][]Material // by mark, in the order of Items
	Faults   []string              // items that nobody supplies, in words, without repeats
}

// ProposeReleases groups the material of openings: what one supplier furnishes of the same items for one level on the same
// basis is ordered together. The release's id is the level's id and the items, such as "L2-glass", so that the same
// openings always get the same releases. An item that several suppliers furnish goes to the first of them.
//
// A release that the schedule names for a mark takes the level's place in the id. Items that an opening does not need are
// left out: glass without panes, leaves and hardware without leaves.
func ProposeReleases(areas []Area, openings []Opening, supplies []Supply, named map[string]string) Proposal {
	p := Proposal{Material: map[string][]Material{}}
	levels := levelsOf(areas)
	known := map[string]bool{}
	for i := range openings {
		o := &openings[i]
		for _, item := range NeededItems(o) {
			s, ok := supplyOf(item, supplies)
			if !ok {
				p.fault(item)
				continue
			}
			basis := cmp.Or(s.Basis, DefaultBasis(item))
			id := releaseID(cmp.Or(named[o.Mark], levels[o.Area]), item, s, basis)
			if !known[id] {
				known[id] = true
				p.Releases = append(p.Releases, Release{ID: id, Supplier: s.Supplier, Basis: basis})
			}
			p.Material[o.Mark] = append(p.Material[o.Mark], Material{Item: item, Release: id})
		}
	}
	slices.SortFunc(p.Releases, func(a, b Release) int { return cmp.Compare(a.ID, b.ID) })
	return p
}

// NeededItems are the items that an opening takes, in the order of Items.
func NeededItems(o *Opening) []Item {
	items := []Item{FrameKit}
	t, err := takeoff.Of(o.Takeoff, takeoff.DefaultRules())
	if err != nil || len(t.Panes) > 0 {
		items = append(items, Glass)
	}
	if err != nil || len(t.Leaves) > 0 {
		items = append(items, Leaf, Hardware)
	}
	return items
}

func (p *Proposal) fault(item Item) {
	text := fmt.Sprintf("no supplier furnishes the item %q", string(item))
	if !slices.Contains(p.Faults, text) {
		p.Faults = append(p.Faults, text)
	}
}

func supplyOf(item Item, supplies []Supply) (Supply, bool) {
	for _, s := range supplies {
		if len(s.Items) == 0 || slices.Contains(s.Items, item) {
			return s, true
		}
	}
	return Supply{}, false
}

// releaseID names the release of an item: items that one supplier furnishes on one basis share it.
func releaseID(group string, item Item, s Supply, basis OrderBasis) string {
	var names []string
	for _, other := range Items() {
		furnished := len(s.Items) == 0 || slices.Contains(s.Items, other)
		if other == item || furnished && cmp.Or(s.Basis, DefaultBasis(other)) == basis {
			names = append(names, itemName(other))
		}
	}
	return group + "-" + strings.Join(names, "+")
}

func itemName(item Item) string {
	switch item {
	case FrameKit:
		return "frames"
	case Glass:
		return "glass"
	case Leaf:
		return "leaves"
	case Hardware:
		return "hardware"
	}
	return string(item)
}

// levelsOf maps each area to its level: the innermost area of kind Level around it, else its outermost area.
func levelsOf(areas []Area) map[string]string {
	byID := make(map[string]*Area, len(areas))
	for i := range areas {
		byID[areas[i].ID] = &areas[i]
	}
	levels := make(map[string]string, len(areas))
	for i := range areas {
		a := &areas[i]
		for steps := 0; a.Kind != Level && a.Parent != "" && byID[a.Parent] != nil && steps < len(areas); steps++ {
			a = byID[a.Parent]
		}
		levels[areas[i].ID] = a.ID
	}
	return levels
}
