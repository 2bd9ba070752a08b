package ifc

import (
	"errors"
	"fmt"
	"io"
	"strings"
)

// keepers says, for each kind of entity that matters, how its attributes become a record. All others are passed over.
var keepers = map[string]func(r *records, st statement, a []value) error{
	"IFCDOOR":                           keepDoor,
	"IFCDOORSTANDARDCASE":               keepDoor,
	"IFCWINDOW":                         keepWindow,
	"IFCWINDOWSTANDARDCASE":             keepWindow,
	"IFCPLATE":                          keepPlate,
	"IFCPLATESTANDARDCASE":              keepPlate,
	"IFCCURTAINWALL":                    keepCurtainWall,
	"IFCDOORSTYLE":                      keepStyle(8, -1, -1),
	"IFCWINDOWSTYLE":                    keepStyle(9, -1, -1),
	"IFCDOORTYPE":                       keepStyle(10, 9, 12),
	"IFCWINDOWTYPE":                     keepStyle(10, 9, 12),
	"IFCPLATETYPE":                      keepStyle(-1, 9, -1),
	"IFCCURTAINWALLTYPE":                keepStyle(-1, 9, -1),
	"IFCBUILDINGSTOREY":                 keepStorey,
	"IFCSPACE":                          keepPlace(place{space: true}),
	"IFCBUILDING":                       keepPlace(place{building: true}),
	"IFCPROPERTYSET":                    keepSet(4),
	"IFCELEMENTQUANTITY":                keepSet(5),
	"IFCQUANTITYLENGTH":                 keepQuantity,
	"IFCWINDOWPANELPROPERTIES":          keepPanel(4),
	"IFCDOORPANELPROPERTIES":            keepPanel(5),
	"IFCRELCONTAINEDINSPATIALSTRUCTURE": keepRelation(contains, 5, 4),
	"IFCRELAGGREGATES":                  keepRelation(aggregates, 4, 5),
	"IFCRELNESTS":                       keepRelation(aggregates, 4, 5),
	"IFCRELDEFINESBYPROPERTIES":         keepRelation(hasSet, 5, 4),
	"IFCRELDEFINESBYTYPE":               keepRelation(hasType, 5, 4),
	"IFCRELFILLSELEMENT":                keepRelation(fills, 4, 5),
	"IFCRELVOIDSELEMENT":                keepRelation(voids, 4, 5),
	"IFCRELSPACEBOUNDARY":               keepRelation(bounds, 4, 5),
	"IFCRELSPACEBOUNDARY1STLEVEL":       keepRelation(bounds, 4, 5),
	"IFCRELSPACEBOUNDARY2NDLEVEL":       keepRelation(bounds, 4, 5),
	"IFCSIUNIT":                         keepSIUnit,
	"IFCCONVERSIONBASEDUNIT":            keepConversion,
	"IFCCONVERSIONBASEDUNITWITHOFFSET":  keepConversion,
	"IFCMEASUREWITHUNIT":                keepMeasure,
	"IFCUNITASSIGNMENT":                 keepAssignment,
	"IFCPROJECT":                        keepProject,
}

// gather reads a whole file into records. It returns the faults of the grammar; the records are then worth nothing.
func gather(src io.Reader) (*records, Faults, error) {
	g := gatherer{scanner: newScanner(src), records: newRecords()}
	g.file()
	return g.records, g.faults, g.err
}

type gatherer struct {
	*scanner
	*records
	faults Faults
	inData bool
	closed bool // the end mark of the file was read
}

// file reads statement by statement until the end mark or until too much is broken.
func (g *gatherer) file() {
	if !g.begin() {
		return
	}
	for len(g.faults) < mostFaults && !g.closed {
		err := g.one()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			g.note(err)
			g.resume()
		}
	}
	if len(g.faults) == 0 && !g.closed && g.err == nil {
		g.faults = append(g.faults, Fault{Line: g.line, Message: "the file ends without its end mark END-ISO-10303-21; the rest is missing", Remedy: exportAgain})
	}
}

// note keeps a fault.
func (g *gatherer) note(err error) {
	var f Fault
	if !errors.As(err, &f) {
		f = Fault{Line: g.line, Message: err.Error()}
	}
	g.faults = append(g.faults, f)
}

// begin reads the mark that every file of this kind begins with.
func (g *gatherer) begin() bool {
	for _, b := range []byte("\xef\xbb\xbf") {
		if g.peek() != b {
			break
		}
		g.next()
	}
	st, err := g.statement()
	if err != nil || st.id != 0 || string(st.word) != "ISO-10303-21" || g.skip(0) != nil {
		g.faults = append(g.faults, Fault{Line: g.line, Message: "it does not begin with ISO-10303-21; and is no IFC model in the text form", Remedy: "export the model as .ifc"})
		return false
	}
	return true
}

// one reads one statement.
func (g *gatherer) one() error {
	st, err := g.statement()
	if err != nil {
		return err
	}
	if st.id == 0 {
		return g.frame(st)
	}
	if !g.inData {
		return g.fault("an entity stands outside of the data section")
	}
	if len(st.word) == 0 {
		return g.skip(0)
	}
	if string(st.word) == "IFCPROPERTYSINGLEVALUE" {
		return g.property(st)
	}
	keep, wanted := keepers[string(st.word)]
	if !wanted {
		return g.skip(0)
	}
	attributes, err := g.attributes()
	if err != nil {
		return err
	}
	return keep(g.records, st, attributes)
}

// frame reads a statement without a number: the header and the marks of the sections.
func (g *gatherer) frame(st statement) error {
	switch string(st.word) {
	case "END-ISO-10303-21":
		g.closed = true
	case "DATA":
		g.inData = true
	case "ENDSEC":
		g.inData = false
	case "FILE_SCHEMA":
		attributes, err := g.attributes()
		if err != nil {
			return err
		}
		if names := at(attributes, 0).list; len(names) > 0 {
			g.schema, g.schemaLine = strings.ToUpper(names[0].words()), st.line
		}
		return nil
	}
	return g.skip(0)
}

// wantedProperties are the names of properties and quantities that matter, by their letters in lower case.
var wantedProperties = map[string]string{
	"mark": "Mark", "tag": "Tag", "reference": "Reference", "width": "Width", "height": "Height", "length": "Length",
	"firerating": "FireRating", "glazingareafraction": "GlazingAreaFraction",
}

// wantedProperty is the canonical name of a property, "" where it does not matter.
func wantedProperty(name string) string {
	if len(name) > 40 {
		return ""
	}
	return wantedProperties[letters(name)]
}

// letters takes a text down to its letters in lower case.
func letters(name string) string {
	return strings.Map(func(c rune) rune {
		switch {
		case c >= 'A' && c <= 'Z':
			return c + 'a' - 'A'
		case c == ' ' || c == '_' || c == '-':
			return -1
		}
		return c
	}, name)
}

// property reads a single value and keeps it where its name matters. Most do not; their value is passed over.
func (g *gatherer) property(st statement) error {
	if err := g.expect('('); err != nil {
		return err
	}
	name, err := g.value(1)
	if err != nil {
		return err
	}
	wanted := wantedProperty(name.words())
	if wanted == "" {
		return g.skip(1)
	}
	if err := g.expect(','); err != nil {
		return err
	}
	rest, err := g.list(1)
	if err != nil {
		return err
	}
	p := property{name: wanted, text: at(rest, 1).words(), amount: at(rest, 1).optional(), unit: at(rest, 2).id()}
	if letters(p.text) != strings.ToLower(wanted) { // a placeholder
		g.properties[st.id] = p
	}
	return g.expect(';')
}

// twice is the fault of a number given to two entities.
func twice(st statement, first int) error {
	return Fault{Line: st.line, Entity: st.id, Message: fmt.Sprintf("the number stands in line %d already", first), Remedy: exportAgain}
}
