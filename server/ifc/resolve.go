package ifc

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"jambwright/scheduler/length"
)

// resolve makes the model out of the records.
func resolve(r *records) (*Model, error) {
	unit, err := r.fileUnit()
	if err != nil {
		return nil, r.unitFault(err)
	}
	v := newResolver(r, unit)
	m := &Model{Schema: r.schema, Unit: unit.name}
	storeys := v.storeys()
	rank := map[uint32]int{}
	for i, s := range storeys {
		rank[s.id] = i
		m.Storeys = append(m.Storeys, s.Storey)
	}
	ranks := map[uint32]int{} // by entity of the opening
	for _, e := range v.chosen(m) {
		o, storey := v.open(e)
		place, known := rank[storey]
		if known {
			o.Storey = storeys[place].Name
		} else {
			place = len(storeys)
		}
		ranks[o.Entity] = place
		m.Openings = append(m.Openings, o)
	}
	v.dropSharedReferences(m.Openings)
	slices.SortFunc(m.Openings, func(a, b Opening) int {
		return cmp.Or(cmp.Compare(ranks[a.Entity], ranks[b.Entity]), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Entity, b.Entity))
	})
	return m, nil
}

// byLine lists the elements in the order of the file.
func (r *records) byLine() []*element {
	return slices.SortedFunc(maps.Values(r.elements), func(a, b *element) int {
		return cmp.Or(cmp.Compare(a.line, b.line), cmp.Compare(a.id, b.id))
	})
}

// chosen are the elements that are openings. Of a curtain wall these are its panels where any panel has a size or the wall
// has none, else the wall itself.
func (v *resolver) chosen(m *Model) []*element {
	sized := map[uint32]bool{} // walls of which a panel has a size
	for id, e := range v.elements {
		if wall := v.wallOf(id); e.plate && wall != nil {
			s := v.sizeOf(e)
			sized[wall.id] = sized[wall.id] || s.width != 0 && s.height != 0
		}
	}
	whole := map[uint32]bool{} // walls that stand for their panels
	for id, wall := range v.elements {
		if wall.class == CurtainWall && !sized[id] {
			s := v.sizeOf(wall)
			whole[id] = s.width != 0 && s.height != 0 || v.parts[id] == 0
		}
	}
	var chosen []*element
	for _, e := range v.byLine() {
		wall := v.wallOf(e.id)
		switch {
		case e.class == CurtainWall && !whole[e.id]:
		case e.plate && wall != nil && whole[wall.id]:
		case e.plate && wall == nil && v.predefined(e) != "CURTAIN_PANEL":
			m.LoosePlates++
		default:
			chosen = append(chosen, e)
		}
	}
	return chosen
}

// predefined is the predefined type of an element, or else of its type.
func (v *resolver) predefined(e *element) string {
	if e.predefined != "" && e.predefined != "NOTDEFINED" {
		return e.predefined
	}
	if t := v.types[v.kind[e.id]]; t != nil && t.predefined != "NOTDEFINED" {
		return t.predefined
	}
	return ""
}

// open makes an opening of an element, and says which storey it stands on.
func (v *resolver) open(e *element) (o Opening, storey uint32) {
	o = Opening{Entity: e.id, Line: e.line, Class: e.class, GlobalID: e.globalID, Name: e.name, TypeName: e.objectType, Predefined: v.predefined(e)}
	o.Panels = v.parts[e.id]
	if wall := v.wallOf(e.id); wall != nil {
		o.Wall = cmp.Or(wall.name, fmt.Sprintf("#%d", wall.id))
	}
	if t := v.types[v.kind[e.id]]; t != nil {
		o.TypeName = cmp.Or(t.name, o.TypeName)
		o.Operation, o.UserWords = t.operation, t.userWords
	}
	o.Leaves = v.leavesOf(e)
	o.settleOperation(e)
	o.Mark, o.MarkFrom = v.markOf(e)
	size := v.sizeOf(e)
	o.Width, o.Height, o.SizeFrom, o.SizeNote = size.width, size.height, strings.Join(size.from, ", "), strings.Join(size.notes, ", ")
	if p, _, ok := v.find(e, "FireRating", occurrence|ofType); ok {
		o.FireRating = p.text
	}
	if p, _, ok := v.find(e, "GlazingAreaFraction", occurrence|ofType); ok {
		o.Glazed = p.amount.num > 0
	}
	storey, around := v.storeyOf(e.id)
	for _, space := range v.spaces(e.id, around) {
		p := v.places[space]
		if room := strings.TrimSpace(p.name + " " + p.longName); room != "" && len(o.Rooms) < mostRooms && !slices.Contains(o.Rooms, room) {
			o.Rooms = append(o.Rooms, room)
		}
		if storey == 0 {
			storey, _ = v.storeyOf(space)
		}
	}
	return o, storey
}

// mostRooms and mostLeaves are how many of them an opening lists.
const (
	mostRooms  = 16
	mostLeaves = 16
)

// leavesOf are the operations of the panels of a door or window, where the file describes them, of its own or else of its type.
func (v *resolver) leavesOf(e *element) []string {
	among := func(sets []uint32) (leaves []string) {
		for _, id := range sets {
			if operation := v.panels[id]; operation != "" && operation != "NOTDEFINED" && len(leaves) < mostLeaves {
				leaves = append(leaves, operation)
			}
		}
		return leaves
	}
	if own := among(v.setsOf[e.id]); len(own) > 0 {
		return own
	}
	kind := v.kind[e.id]
	leaves, known := v.leaves[kind]
	if t := v.types[kind]; t != nil && !known {
		leaves = among(t.sets)
		v.leaves[kind] = leaves
	}
	return leaves
}

// settleOperation takes the operation of the type and, where that says nothing, the one of the element.
func (o *Opening) settleOperation(e *element) {
	said := func(operation string) bool { return operation != "" && operation != "NOTDEFINED" }
	switch {
	case !said(o.Operation):
		o.Operation, o.UserWords = e.operation, e.userWords
	case said(e.operation) && e.operation != o.Operation:
		o.Other = e.operation
	}
	if !said(o.Operation) {
		o.Operation = ""
	}
}

// ranked is a storey with its entity.
type ranked struct {
	Storey
	id uint32
}

// storeys are sorted from the bottom up; those without an elevation come last, in the order of the file.
func (v *resolver) storeys() []ranked {
	var list []ranked
	for id, p := range v.places {
		if !p.storey {
			continue
		}
		s := ranked{Storey: Storey{Name: cmp.Or(p.name, p.longName), Elevated: p.elevation.given, Line: p.line}, id: id}
		mm := p.elevation.num * v.unit.millimetres
		if s.Elevated = s.Elevated && max(mm, -mm) < length.Longest.FloatMillimetres(); s.Elevated {
			s.Elevation = v.unit.round(max(mm, 0)) - v.unit.round(max(-mm, 0))
		}
		if s.Name == "" {
			s.Name = s.at()
		}
		list = append(list, s)
	}
	slices.SortFunc(list, func(a, b ranked) int {
		if a.Elevated != b.Elevated {
			if a.Elevated {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(a.Elevation, b.Elevation), cmp.Compare(a.Line, b.Line), cmp.Compare(a.id, b.id))
	})
	v.tellApart(list)
	return list
}

// at names a storey by where it is.
func (s Storey) at() string {
	if s.Elevated {
		return "at " + s.Elevation.String()
	}
	return fmt.Sprintf("storey in line %d", s.Line)
}

// tellApart gives storeys of one name the name of their building in front, or else their elevation behind.
func (v *resolver) tellApart(list []ranked) {
	count := func(names []string) map[string]int {
		n := map[string]int{}
		for _, name := range names {
			n[name]++
		}
		return n
	}
	names := make([]string, len(list))
	full := make([]string, len(list))
	for i, s := range list {
		names[i], full[i] = s.Name, s.Name
		if building := v.building(s.id); building != "" {
			full[i] = building + ", " + s.Name
		}
	}
	plain, withBuilding := count(names), count(full)
	for i := range list {
		s := &list[i]
		switch {
		case plain[names[i]] == 1:
			continue
		case withBuilding[full[i]] == 1:
			s.Name = full[i]
		default:
			s.Name += " " + s.at()
		}
		s.Alike = true
	}
}
