package takeoff

import (
	"slices"

	"jambwright/scheduler/length"
)

// Measured is the opening as it is made to a field size; a size of 0 keeps the drawings'. Leaves keep their width, and the
// height that a transom leaves them: what the field size differs by is taken up by fixed glass, the last light or sidelight
// in width, the transom in height, because glass is cut for the opening and a leaf is bought for it. Without any the
// leaves' place takes it. The rule is ours; the shop drawings decide. The opening given shares no memory with the result.
//
// ok is false when no layout can be made of the field size; the opening is then as drawn.
func (o Opening) Measured(width, height length.Length, rules Rules) (measured Opening, ok bool) {
	m := o
	m.Sidelights, m.LightWidths = slices.Clone(o.Sidelights), slices.Clone(o.LightWidths)
	m.Conditions = slices.Clone(o.Conditions)
	if width > 0 {
		m.Width = width
		m.takeUpWidth(o, width-o.Width)
		if o.Type.IsDoorSized() && len(o.Sidelights) == 0 && o.LeafWidth > 0 {
			m.Width = length.Length(leavesOf(o))*o.LeafWidth + width - o.Width
			m.LeafWidth = 0 // the door is as wide as the opening
		}
	}
	if height > 0 {
		m.Height = height
		if !o.Type.IsDoorSized() && o.Transom > 0 {
			m.Transom += height - o.Height
		}
	}
	if m.Transom < 0 || m.Transom == 0 && o.Transom > 0 {
		return o, false
	}
	if _, err := Lay(m, rules); err != nil {
		_, drawn := Lay(o, rules)
		return o, drawn != nil // what cannot be laid out as drawn is not the survey's fault
	}
	return m, true
}

// takeUpWidth gives a difference to the last fixed light when the drawings give all widths; lights that share what is left
// over share the difference as well.
func (o *Opening) takeUpWidth(drawn Opening, by length.Length) {
	for i := len(o.LightWidths) - 1; i >= 0; i-- {
		if leavesOf(drawn) == 0 || i != max(drawn.DoorLight, 1)-1 {
			o.LightWidths[i] += by
			return
		}
	}
	if _, open := stated(o.Sidelights); open > 0 || len(o.Sidelights) == 0 {
		return
	}
	if o.Type.IsDoorSized() && o.LeafWidth == 0 && o.Width <= length.Length(leavesOf(drawn))*widestLeaf {
		return // the size is the door's own
	}
	o.Sidelights[len(o.Sidelights)-1].Width += by
}
