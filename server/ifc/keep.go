package ifc

import "fmt"

// common reads the attributes that all elements have.
func common(st statement, a []value, class Class) *element {
	return &element{
		id: st.id, line: st.line, class: class, globalID: at(a, 0).words(), name: at(a, 2).words(), objectType: at(a, 4).words(), tag: at(a, 7).words(),
	}
}

func (r *records) keepElement(st statement, e *element) error {
	if first, known := r.elements[st.id]; known {
		return twice(st, first.line)
	}
	if len(r.elements) == mostElements {
		return Fault{Line: st.line, Entity: st.id, Message: fmt.Sprintf("the file has more than %d doors, windows and plates", mostElements), Remedy: exportLess}
	}
	r.elements[st.id] = e
	return nil
}

func keepDoor(r *records, st statement, a []value) error { return r.keepFilling(st, a, Door) }

func keepWindow(r *records, st statement, a []value) error { return r.keepFilling(st, a, Window) }

// keepFilling keeps a door or window: height before width, then from IFC 4 on the predefined type and the operation.
func (r *records) keepFilling(st statement, a []value, class Class) error {
	e := common(st, a, class)
	e.height, e.width = at(a, 8).optional(), at(a, 9).optional()
	e.predefined, e.operation, e.userWords = at(a, 10).words(), at(a, 11).words(), at(a, 12).words()
	return r.keepElement(st, e)
}

func keepPlate(r *records, st statement, a []value) error {
	e := common(st, a, Panel)
	e.plate, e.predefined = true, at(a, 8).words()
	return r.keepElement(st, e)
}

func keepCurtainWall(r *records, st statement, a []value) error {
	e := common(st, a, CurtainWall)
	e.predefined = at(a, 8).words()
	return r.keepElement(st, e)
}

// keepStyle keeps a type whose operation, predefined type and own words for the operation stand at the given places, -1
// for none.
func keepStyle(operation, predefined, userWords int) func(*records, statement, []value) error {
	return func(r *records, st statement, a []value) error {
		read := func(place int) string {
			if place < 0 {
				return ""
			}
			return at(a, place).words()
		}
		r.types[st.id] = &kindOf{
			name: at(a, 2).words(), sets: at(a, 5).ids(), operation: read(operation), predefined: read(predefined), userWords: read(userWords),
		}
		return nil
	}
}

func keepStorey(r *records, st statement, a []value) error {
	return r.keepPlace(st, a, place{storey: true, elevation: at(a, 9).optional()})
}

func keepPlace(p place) func(*records, statement, []value) error {
	return func(r *records, st statement, a []value) error { return r.keepPlace(st, a, p) }
}

func (r *records) keepPlace(st statement, a []value, p place) error {
	if first, known := r.places[st.id]; known {
		return twice(st, first.line)
	}
	p.line, p.name, p.longName = st.line, at(a, 2).words(), at(a, 7).words()
	r.places[st.id] = &p
	return nil
}

// keepSet keeps a property set or an element's quantities, whose members stand at the given place.
func keepSet(members int) func(*records, statement, []value) error {
	return func(r *records, st statement, a []value) error {
		r.sets[st.id] = set{name: at(a, 2).words(), members: at(a, members).ids()}
		return nil
	}
}

func keepQuantity(r *records, st statement, a []value) error {
	if name := wantedProperty(at(a, 0).words()); name != "" {
		r.properties[st.id] = property{name: name, unit: at(a, 2).id(), amount: at(a, 3).optional(), quantity: true}
	}
	return nil
}

// keepPanel keeps the operation of one panel of a window or door, which stands at the given place.
func keepPanel(operation int) func(*records, statement, []value) error {
	return func(r *records, st statement, a []value) error {
		r.panels[st.id] = at(a, operation).words()
		return nil
	}
}

func keepRelation(kind relationKind, to, from int) func(*records, statement, []value) error {
	return func(r *records, st statement, a []value) error {
		if !r.relate(kind, at(a, to), at(a, from)) {
			return Fault{Line: st.line, Entity: st.id, Message: fmt.Sprintf("the file relates more than %d entities", mostLinks), Remedy: exportLess}
		}
		return nil
	}
}

func keepSIUnit(r *records, st statement, a []value) error {
	r.units[st.id] = unit{line: st.line, length: at(a, 1).words() == "LENGTHUNIT", prefix: at(a, 2).words(), name: at(a, 3).words()}
	return nil
}

func keepConversion(r *records, st statement, a []value) error {
	r.units[st.id] = unit{line: st.line, length: at(a, 1).words() == "LENGTHUNIT", name: at(a, 2).words(), factor: at(a, 3).id()}
	return nil
}

func keepMeasure(r *records, st statement, a []value) error {
	r.units[st.id] = unit{line: st.line, amount: at(a, 0).optional(), base: at(a, 1).id()}
	return nil
}

func keepAssignment(r *records, st statement, a []value) error {
	r.assignments[st.id] = at(a, 0).ids()
	return nil
}

func keepProject(r *records, st statement, a []value) error {
	r.projectLine, r.projectUses = st.line, at(a, 8).id()
	return nil
}
