package ifc

// The records kept of a file while it is read. Attributes are named by their place in the schemas, counted from 0; they are
// the same in IFC 2x3, 4 and 4.3 as far as each schema has them.

// element is a door, window, plate or curtain wall.
type element struct {
	id         uint32
	line       int
	class      Class
	plate      bool // a plate, which is an opening only as the panel of a curtain wall
	globalID   string
	name       string
	objectType string
	tag        string
	height     optional // OverallHeight and OverallWidth, in the file's unit
	width      optional
	predefined string
	operation  string // OperationType of a door, PartitioningType of a window
	userWords  string // of a USERDEFINED operation
}

// kindOf is the type of elements: a style in IFC 2x3.
type kindOf struct {
	name       string
	sets       []uint32 // property sets and panel properties
	predefined string
	operation  string
	userWords  string
}

// place is a part of the spatial structure.
type place struct {
	line      int
	storey    bool
	space     bool
	building  bool
	name      string
	longName  string
	elevation optional // of a storey
}

// optional is a number that may be missing.
type optional struct {
	num   float64
	given bool
}

func (v value) optional() optional {
	n, ok := v.amount()
	return optional{n, ok}
}

// property is a property or quantity of one of the names that matter.
type property struct {
	name     string // canonical: see wantedProperties
	text     string
	amount   optional
	unit     uint32 // 0: the file's
	quantity bool
}

// set is a property set or the quantities of an element.
type set struct {
	name    string
	members []uint32
}

type relationKind uint8

const (
	contains   relationKind = iota // to is the place, from the elements in it
	aggregates                     // to is the whole, from the parts
	hasSet                         // to is the property set, from the elements
	hasType                        // to is the type
	fills                          // to is the opening element, from the door in it
	voids                          // to is the wall, from the opening element in it
	bounds                         // to is the space, from the element beside it
)

// relation ties entities to one other. Its from side lies in records.refs from begin to end.
type relation struct {
	kind       relationKind
	to         uint32
	begin, end int
}

// unit is a unit of measure, or a conversion to one.
type unit struct {
	line   int
	length bool
	name   string   // METRE, or as the file names a conversion
	prefix string   // MILLI ...; SI units only
	factor uint32   // IfcMeasureWithUnit of a conversion
	amount optional // of an IfcMeasureWithUnit
	base   uint32
}

// records is everything kept of a file.
type records struct {
	schema      string
	schemaLine  int
	elements    map[uint32]*element
	types       map[uint32]*kindOf
	places      map[uint32]*place
	properties  map[uint32]property
	sets        map[uint32]set
	panels      map[uint32]string // operation of a panel of a window or door
	relations   []relation
	refs        []uint32
	links       int // entities on both sides of all relations, each with each
	units       map[uint32]unit
	assignments map[uint32][]uint32
	projectLine int
	projectUses uint32 // the project's unit assignment
}

func newRecords() *records {
	return &records{
		elements: map[uint32]*element{}, types: map[uint32]*kindOf{}, places: map[uint32]*place{}, properties: map[uint32]property{},
		sets: map[uint32]set{}, panels: map[uint32]string{}, units: map[uint32]unit{}, assignments: map[uint32][]uint32{},
	}
}

// from is the many side of a relation. It is read-only.
func (r *records) from(rel relation) []uint32 { return r.refs[rel.begin:rel.end] }

// Bounds of a whole file, far above any building. They keep a hostile file from filling memory.
const (
	mostElements = 400_000
	mostLinks    = 50_000_000
)

// relate keeps a relation whose many side may be one entity or a list. A list on both sides makes one relation each. It
// reports whether there is room for it.
func (r *records) relate(kind relationKind, to, from value) bool {
	begin := len(r.refs)
	r.refs = append(r.refs, from.ids()...)
	targets := to.ids()
	r.links += len(targets) * (len(r.refs) - begin)
	for _, id := range targets {
		r.relations = append(r.relations, relation{kind, id, begin, len(r.refs)})
	}
	return r.links <= mostLinks
}
