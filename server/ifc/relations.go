package ifc

// resolver follows the relations of a file to the openings.
type resolver struct {
	*records
	unit      measure
	container map[uint32]uint32   // the place that an entity stands in
	whole     map[uint32]uint32   // what an entity is a part of
	opening   map[uint32]uint32   // the opening element that a door fills
	filling   map[uint32]uint32   // and back
	host      map[uint32]uint32   // the wall that an opening element is cut into
	kind      map[uint32]uint32   // the type of an element
	setsOf    map[uint32][]uint32 // property sets, in the order of the file
	spacesOf  map[uint32][]uint32 // spaces beside an element
	parts     map[uint32]int      // panels of a curtain wall
	picked    map[uint32][]pick   // what matters of a property set or, under its own number, of a type
	leaves    map[uint32][]string // operations of the panels that a type describes
}

// mostSteps is how far up the structure of a building is followed; a model that contains itself ends there.
const mostSteps = 32

func newResolver(r *records, unit measure) *resolver {
	v := &resolver{
		records: r, unit: unit, container: map[uint32]uint32{}, whole: map[uint32]uint32{}, opening: map[uint32]uint32{}, filling: map[uint32]uint32{},
		host: map[uint32]uint32{}, kind: map[uint32]uint32{}, setsOf: map[uint32][]uint32{}, spacesOf: map[uint32][]uint32{}, parts: map[uint32]int{},
		picked: map[uint32][]pick{}, leaves: map[uint32][]string{},
	}
	v.fillings()
	v.parents()
	v.belongings()
	return v
}

// fillings ties doors to the opening elements that they fill, and those to walls.
func (v *resolver) fillings() {
	for _, rel := range v.relations {
		for _, from := range v.from(rel) {
			if rel.kind == fills && v.elements[from] != nil {
				v.opening[from], v.filling[rel.to] = rel.to, from
			}
		}
	}
	for _, rel := range v.relations {
		for _, from := range v.from(rel) {
			if _, filled := v.filling[from]; rel.kind == voids && filled {
				v.host[from] = rel.to
			}
		}
	}
}

// parents finds what stands above the openings, step by step, so that the memory it takes grows with the openings and not
// with the model.
func (v *resolver) parents() {
	needed := map[uint32]bool{}
	for id := range v.elements {
		needed[id] = true
	}
	for id := range v.places {
		needed[id] = true
	}
	for opening, wall := range v.host {
		needed[opening], needed[wall] = true, true
	}
	for opening := range v.filling {
		needed[opening] = true
	}
	before := 0
	for step := 0; step < mostSteps && len(needed) > before; step++ {
		before = len(needed)
		for _, rel := range v.relations {
			above := v.container
			switch rel.kind {
			case aggregates:
				above = v.whole
			case contains:
			default:
				continue
			}
			for _, from := range v.from(rel) {
				if !needed[from] {
					continue
				}
				if _, known := above[from]; !known {
					above[from] = rel.to
					needed[rel.to] = true
				}
			}
		}
	}
}

// belongings ties types, property sets and spaces to the openings.
func (v *resolver) belongings() {
	for _, rel := range v.relations {
		for _, from := range v.from(rel) {
			_, isOpening := v.filling[from]
			if v.elements[from] == nil && !isOpening {
				continue
			}
			switch rel.kind {
			case hasType:
				if v.types[rel.to] != nil {
					v.kind[from] = rel.to
				}
			case hasSet:
				v.setsOf[from] = append(v.setsOf[from], rel.to)
			case bounds:
				if element, filled := v.filling[from]; filled {
					from = element
				}
				v.spacesOf[from] = append(v.spacesOf[from], rel.to)
			}
		}
	}
	for id, e := range v.elements {
		if wall := v.wallOf(id); e.plate && wall != nil {
			v.parts[wall.id]++
		}
	}
}

// wallOf is the curtain wall that an element is a part of, directly or over an assembly.
func (v *resolver) wallOf(id uint32) *element {
	for step := 0; step < mostSteps && id != 0; step++ {
		id = v.whole[id]
		if e := v.elements[id]; e != nil && e.class == CurtainWall {
			return e
		}
	}
	return nil
}

// above is what an entity stands in, else what it is a part of, else the opening element that it fills or the wall that it is
// cut into.
func (v *resolver) above(id uint32) uint32 {
	for _, upward := range []map[uint32]uint32{v.container, v.whole, v.opening, v.host} {
		if to := upward[id]; to != 0 {
			return to
		}
	}
	return 0
}

// storeyOf is the storey that an entity stands on, and the space that it stands in; 0 for none.
func (v *resolver) storeyOf(id uint32) (storey, space uint32) {
	for range mostSteps {
		if p := v.places[id]; p != nil {
			switch {
			case p.storey:
				return id, space
			case p.space && space == 0:
				space = id
			}
		}
		id = v.above(id)
	}
	return 0, space
}

// spaces are the spaces of an element: the one around it, then those beside it, each once.
func (v *resolver) spaces(id, around uint32) []uint32 {
	var spaces []uint32
	seen := map[uint32]bool{}
	for _, space := range append([]uint32{around}, v.spacesOf[id]...) {
		if p := v.places[space]; p != nil && p.space && !seen[space] {
			seen[space] = true
			spaces = append(spaces, space)
		}
	}
	return spaces
}

// building is the name of the building that a storey belongs to.
func (v *resolver) building(storey uint32) string {
	for range mostSteps {
		if p := v.places[storey]; p != nil && p.building {
			return p.name
		}
		storey = v.above(storey)
	}
	return ""
}
