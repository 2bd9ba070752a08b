package ifc

import (
	"fmt"
	"strconv"

	"jambwright/scheduler/length"
)

// scope says where properties of an opening are looked for.
type scope uint8

const (
	occurrence scope = 1 << iota // its own property sets
	ofType                       // those of its type
	ofOpening                    // those of the opening element that it fills
	properties                   // property sets only, no quantities
)

// pick is a property that matters, with the name of the set that it stands in.
type pick struct {
	property
	set string
}

// picksOf are the first properties of each name that have a value, in the order of the sets.
func (v *resolver) picksOf(sets []uint32) []pick {
	var picks []pick
	for _, id := range sets {
		for _, p := range v.picksOfSet(id) {
			picks = addPick(picks, p)
		}
	}
	return picks
}

// picksOfSet keeps what it finds, since hundreds of doors may share a set.
func (v *resolver) picksOfSet(id uint32) []pick {
	picks, known := v.picked[id]
	if known {
		return picks
	}
	s := v.sets[id]
	for _, member := range s.members {
		if p, ok := v.properties[member]; ok && (p.text != "" || p.amount.given) {
			picks = addPick(picks, pick{p, s.name})
		}
	}
	v.picked[id] = picks
	return picks
}

// addPick adds a property unless there is one of its name.
func addPick(picks []pick, p pick) []pick {
	for _, other := range picks {
		if other.name == p.name && other.quantity == p.quantity {
			return picks
		}
	}
	return append(picks, p)
}

// picksOfType are the properties of a type.
func (v *resolver) picksOfType(id uint32) []pick {
	t := v.types[id]
	if t == nil {
		return nil
	}
	picks, known := v.picked[id]
	if !known {
		picks = v.picksOf(t.sets)
		v.picked[id] = picks
	}
	return picks
}

// find is the first property of a name, in the order of the scopes and of the file, with the words for where it stands.
func (v *resolver) find(e *element, name string, in scope) (property, string, bool) {
	look := func(picks []pick, whose string) (property, string, bool) {
		for _, p := range picks {
			if p.name == name && (in&properties == 0 || !p.quantity) {
				return p.property, p.where(whose), true
			}
		}
		return property{}, "", false
	}
	if in&occurrence != 0 {
		if p, where, ok := look(v.picksOf(v.setsOf[e.id]), ""); ok {
			return p, where, true
		}
	}
	if in&ofType != 0 {
		if p, where, ok := look(v.picksOfType(v.kind[e.id]), " of its type"); ok {
			return p, where, true
		}
	}
	if opening := v.opening[e.id]; opening != 0 && in&ofOpening != 0 {
		return look(v.picksOf(v.setsOf[opening]), " of the IfcOpeningElement that it fills")
	}
	return property{}, "", false
}

// where says in words where a property stands.
func (p pick) where(whose string) string {
	word := "property "
	if p.quantity {
		word = "quantity "
	}
	if p.set == "" {
		return word + p.name + whose
	}
	return fmt.Sprintf("%s%s of %s%s", word, p.name, p.set, whose)
}

// markOf is the mark of an opening and where it stands. A mark is a text, even where the file gives a number.
func (v *resolver) markOf(e *element) (mark, from string) {
	for _, name := range []string{"Mark", "Tag", "Reference"} {
		if p, where, ok := v.find(e, name, occurrence|properties); ok {
			return p.words(), where
		}
	}
	return v.attributeMark(e)
}

// words is the value of a property as a text.
func (p property) words() string {
	if p.text == "" && p.amount.given {
		return strconv.FormatFloat(p.amount.num, 'f', -1, 64)
	}
	return p.text
}

func (v *resolver) attributeMark(e *element) (mark, from string) {
	switch {
	case e.tag != "":
		return e.tag, "attribute Tag"
	case e.name != "":
		return e.name, "attribute Name"
	}
	return "", ""
}

// dropSharedReferences takes the property Reference back as a mark where several openings have the same: it then names their
// type, as the standard means it.
func (v *resolver) dropSharedReferences(openings []Opening) {
	isReference := func(o *Opening) bool {
		p, where, ok := v.find(v.elements[o.Entity], "Reference", occurrence|properties)
		return ok && p.words() == o.Mark && where == o.MarkFrom
	}
	count := map[string]int{}
	for i := range openings {
		if o := &openings[i]; isReference(o) {
			count[o.Mark]++
		}
	}
	for i := range openings {
		if o := &openings[i]; isReference(o) && count[o.Mark] > 1 {
			o.Mark, o.MarkFrom = v.attributeMark(v.elements[o.Entity])
		}
	}
}

// sized is the size of an element and where it does not stand in the usual place.
type sized struct {
	width, height length.Length
	from, notes   []string
}

// sizeOf reads a size. The quantity Width of a plate or curtain wall is its thickness, so it is not taken for those.
func (v *resolver) sizeOf(e *element) sized {
	var s sized
	wide, in := "Width", occurrence|ofType|ofOpening
	switch e.class {
	case CurtainWall:
		wide = "Length"
	case Panel:
		in = occurrence | ofType | properties
	}
	s.width = v.dimension(&s, e, e.width, "OverallWidth", wide, in)
	s.height = v.dimension(&s, e, e.height, "OverallHeight", "Height", in)
	return s
}

// dimension reads one dimension from its attribute, else from a property or quantity.
func (v *resolver) dimension(s *sized, e *element, attribute optional, attributeName, propertyName string, in scope) length.Length {
	if attribute.given {
		l, err := v.unit.lengthOf(attribute.num)
		if err == nil {
			return l
		}
		s.notes = append(s.notes, attributeName+": "+err.Error())
	}
	p, where, ok := v.find(e, propertyName, in)
	if !ok || !p.amount.given {
		return 0
	}
	unit := v.unit
	if p.unit != 0 {
		var err error
		if unit, err = v.unitOf(p.unit, mostConversions); err != nil {
			s.notes = append(s.notes, where+": "+err.Error())
			return 0
		}
	}
	l, err := unit.lengthOf(p.amount.num)
	if err != nil {
		s.notes = append(s.notes, where+": "+err.Error())
		return 0
	}
	s.from = append(s.from, where)
	return l
}
