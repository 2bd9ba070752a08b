package importing

import (
	"bufio"
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"jambwright/scheduler/takeoff"
	"jambwright/server/ifc"
	"jambwright/server/sheet"
)

// modelMark is what a building model in the text form begins with.
const modelMark = "ISO-10303-21;"

// modelHead is how many bytes of a file decide whether it is a building model.
const modelHead = 512

// ReadFrom reads a file as Read does, a building model without holding it in memory. An error means that the source could
// not be read.
func ReadFrom(kind Kind, name string, src io.Reader, options Options) (*Sheet, error) {
	buffered := bufio.NewReader(src)
	head, err := buffered.Peek(modelHead)
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, err
	}
	if isModel(name, head) {
		return readModel(kind, name, buffered)
	}
	data, err := io.ReadAll(io.LimitReader(buffered, MaxBytes+1))
	if err != nil {
		return nil, err
	}
	return Read(kind, name, data, options), nil
}

// isModel tells a building model by its beginning, or else by its name.
func isModel(name string, head []byte) bool {
	head = bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf")), " \t\r\n")
	begins := len(head) >= len(modelMark) && strings.EqualFold(string(head[:len(modelMark)]), modelMark)
	ending := strings.ToLower(filepath.Ext(name))
	return begins || ending == ".ifc" || ending == ".ifczip" || ending == ".ifcxml"
}

// readModel reads the openings of a building model. Row is the line of the entity in the file, Cell its number.
func readModel(kind Kind, name string, src io.Reader) (*Sheet, error) {
	s := &Sheet{Kind: kind, File: filepath.Base(name), given: map[string]bool{}}
	refuse := func(message, remedy string) (*Sheet, error) {
		s.Faults = append(s.Faults, Fault{File: s.File, Message: message, Remedy: remedy})
		return s, nil
	}
	if kind != Openings {
		return refuse(fmt.Sprintf("a building model holds openings, not %s", kind), "choose openings, or a sheet")
	}
	if ending := strings.ToLower(filepath.Ext(name)); ending == ".ifczip" || ending == ".ifcxml" {
		return refuse("only the text form of IFC is read", "export the model as .ifc")
	}
	model, err := ifc.Read(src)
	var faults ifc.Faults
	if errors.As(err, &faults) {
		for _, f := range faults {
			s.Faults = append(s.Faults, Fault{File: s.File, Place: Place{Row: f.Line}, Cell: entityCell(f.Entity), Message: f.Message, Remedy: f.Remedy})
		}
		return s, nil
	}
	if err != nil {
		return nil, err
	}
	r := modelReader{Sheet: s, unit: model.Unit, marks: map[string]int{}, folded: map[string]string{}, groups: map[string]int{}}
	r.read(model)
	return s, nil
}

func entityCell(entity uint32) string {
	if entity == 0 {
		return ""
	}
	return fmt.Sprintf("#%d", entity)
}

// modelReader turns the openings of a model into rows. A model says much the same of hundreds of openings, so warnings of
// one text are one warning, with the marks of all openings that it is about.
type modelReader struct {
	*Sheet
	unit   string
	marks  map[string]int    // line by mark
	folded map[string]string // marks by their lower-case form
	groups map[string]int    // place in Warnings by text
	about  [][]string        // marks by place in Warnings
}

func (r *modelReader) read(m *ifc.Model) {
	r.given[fMark], r.given[fLeaves] = true, true
	for i := range m.Openings {
		r.opening(&m.Openings[i])
	}
	for i, marks := range r.about {
		r.Warnings[i].Value = someOf(marks)
	}
	for _, s := range m.Storeys {
		if s.Alike {
			r.Warnings = append(r.Warnings, Fault{
				File: r.File, Place: Place{Row: s.Line}, Column: "IfcBuildingStorey", Value: s.Name, Message: "several storeys have the same name; this is how they are told apart",
			})
		}
	}
	if len(m.Openings) == 0 {
		r.Faults = append(r.Faults, Fault{File: r.File, Message: "the model holds no doors, windows or curtain walls", Remedy: "export them, with their storeys and property sets"})
	}
	byRow := func(a, b Fault) int { return cmp.Compare(a.Row, b.Row) }
	slices.SortStableFunc(r.Faults, byRow)
	slices.SortStableFunc(r.Warnings, byRow)
	r.Read = append(r.Read, modelWords(m))
}

// modelWords says in a line how a model was read.
func modelWords(m *ifc.Model) string {
	count := map[ifc.Class]int{}
	for _, o := range m.Openings {
		count[o.Class]++
	}
	text := fmt.Sprintf("building model, schema %s, lengths in %s, rounded to 0.01 mm or 1/16 in", m.Schema, m.Unit)
	for _, c := range []struct {
		class ifc.Class
		words string
	}{{ifc.Door, "doors"}, {ifc.Window, "windows"}, {ifc.Panel, "curtain wall panels"}, {ifc.CurtainWall, "curtain walls"}} {
		if count[c.class] > 0 {
			text += fmt.Sprintf(", %d %s", count[c.class], c.words)
		}
	}
	if len(m.Storeys) > 0 {
		names := make([]string, len(m.Storeys))
		for i, s := range m.Storeys {
			names[i] = s.Name
		}
		text += ", storeys from the bottom up: " + someOf(names)
	}
	if m.LoosePlates > 0 {
		text += fmt.Sprintf(", %d plates that belong to no curtain wall passed over", m.LoosePlates)
	}
	return text
}

// someOf lists names, the first ten of many.
func someOf(names []string) string {
	const most = 10
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}

// modelRow reads one opening. Its warnings only count where it has no fault.
type modelRow struct {
	*modelReader
	in       *ifc.Opening
	out      OpeningRow
	warnings []Fault
	failed   bool
}

func (r *modelReader) opening(in *ifc.Opening) {
	row := modelRow{modelReader: r, in: in, out: OpeningRow{
		Place: Place{Row: in.Line}, Mark: in.Mark, Level: in.Storey, Room: strings.Join(in.Rooms, "; "), Quantity: 1, Raw: modelRaw(in),
	}}
	row.mark()
	if row.size() {
		row.kind()
		row.doubts()
		row.named()
	}
	row.fire()
	if in.Storey == "" {
		row.warn("IfcRelContainedInSpatialStructure", "they stand on no storey, so they have no level")
	}
	if row.failed {
		if in.Mark != "" {
			r.Unread = append(r.Unread, in.Mark)
		}
		return
	}
	r.Openings = append(r.Openings, row.out)
	for _, w := range row.warnings {
		r.group(w, row.out.Mark)
	}
}

// group adds a warning, or the mark to the warning that says the same.
func (r *modelReader) group(w Fault, mark string) {
	key := w.Column + "\n" + w.Message
	i, known := r.groups[key]
	if !known {
		i = len(r.about)
		r.groups[key] = i
		r.Warnings = append(r.Warnings, w)
		r.about = append(r.about, nil)
	}
	r.about[i] = append(r.about[i], mark)
}

// modelRaw is an opening by the words of the model.
func modelRaw(o *ifc.Opening) map[string]string {
	raw := map[string]string{}
	for name, value := range map[string]string{
		"Entity": fmt.Sprintf("#%d %s", o.Entity, o.Class), "GlobalId": o.GlobalID, "Name": o.Name, "Type": o.TypeName, "Mark": o.Mark, "Mark from": o.MarkFrom,
		"Storey": o.Storey, "Operation": o.Operation, "PredefinedType": o.Predefined, "FireRating": o.FireRating, "Curtain wall": o.Wall,
	} {
		if value != "" {
			raw[name] = value
		}
	}
	return raw
}

// fault notes that the opening cannot be read and is left out.
func (r *modelRow) fault(column, value, message, remedy string) {
	r.failed = true
	r.Faults = append(r.Faults, Fault{
		File: r.File, Place: r.out.Place, Cell: entityCell(r.in.Entity), Column: column, Value: value,
		Message: fmt.Sprintf("%s %s: %s", r.in.Class, cmp.Or(r.in.Mark, entityCell(r.in.Entity)), message), Remedy: remedy,
	})
}

// warn notes what a person should look at. The text speaks of several openings.
func (r *modelRow) warn(column, message string) {
	r.warnings = append(r.warnings, Fault{File: r.File, Place: r.out.Place, Cell: entityCell(r.in.Entity), Column: column, Message: message})
}

// mark checks that the mark is there and new to the file.
func (r *modelRow) mark() {
	mark := r.in.Mark
	if mark == "" {
		r.fault("Mark", "", "the mark is missing", "give it a property Mark, a Tag or a Name in the model")
		return
	}
	if !strings.HasPrefix(r.in.MarkFrom, "property Mark") {
		r.warn("Mark", "there is no property Mark; the marks are taken from the "+r.in.MarkFrom+", so look whether they are those of the drawings")
	}
	if line, twice := r.marks[mark]; twice {
		r.fault(r.in.MarkFrom, mark, fmt.Sprintf("the mark stands in line %d already", line), "give each opening a mark of its own")
		return
	}
	r.marks[mark] = r.in.Line
	lower := strings.ToLower(mark)
	if twin, alike := r.folded[lower]; alike {
		r.warn("Mark", fmt.Sprintf("the mark differs from %s in line %d by capital letters only", twin, r.marks[twin]))
	}
	r.folded[lower] = mark
}

// fire reads the fire rating.
func (r *modelRow) fire() {
	rating := blank(r.in.FireRating)
	if rating == "" {
		return
	}
	minutes, ok := fireMinutes(rating)
	if !ok {
		r.warn("FireRating", fmt.Sprintf("no number of minutes can be read from %s; it is kept as written", rating))
	}
	r.out.FireRating, r.out.FireMinutes = rating, minutes
}

// isDoor reports whether the type has leaves by its nature.
func isDoor(t takeoff.Type) bool { return t != takeoff.FixedLight && t != takeoff.Storefront }

// MaxBytes is the largest sheet that is read. A building model may be larger: see ReadFrom.
const MaxBytes = sheet.MaxBytes
