package importing

import (
	"strings"

	"jambwright/scheduler/length"
	"jambwright/scheduler/takeoff"
)

// readUpper reads what stands above the doors and how lights meet: the height of the transom light, and whether the panes of fixed
// lights meet at butt joints.
func (r *openingReader) readUpper(row *rowReader, o *OpeningRow) {
	o.Transom = r.transom(row)
	if o.Transom > 0 && !o.Type.IsDoorSized() && o.Transom >= o.Height {
		row.fault(fTransom, "the transom light is as high as the whole opening", "write the height of the glass above the bar, such as 1'-6\"; the height is the whole opening's")
		return
	}
	switch strings.ToLower(blank(row.text(fButt))) {
	case "", "no", "n", "false", "0", "none":
	case "x", "y", "yes", "true", "1", "✓", "✔", "•", "butt", "butt joint", "butt joints", "butt glazed":
		o.ButtJoints = true
	default:
		row.fault(fButt, "it is neither yes nor no", "write yes where panes meet without a mullion, or leave the cell empty")
	}
}

// transom reads the height of the glass above the bar; 0 for none.
func (r *openingReader) transom(row *rowReader) length.Length {
	if word := strings.ToLower(blank(row.text(fTransom))); word == "no" || word == "none" || word == "n" || word == "0" {
		return 0
	}
	s, _, ok := r.sizeCell(row, fTransom, true)
	if !ok {
		return 0
	}
	d := s.dims[0]
	if d.bare {
		if err := settleBareSide(&d); err != nil {
			row.refuse(fTransom, err, lengthRemedy)
			return 0
		}
	}
	if len(s.dims) > 1 || d.value < takeoff.NarrowestLight {
		row.fault(fTransom, "it is no height of a transom light", lengthRemedy+", or leave the cell empty where there is none")
		return 0
	}
	return d.value
}
