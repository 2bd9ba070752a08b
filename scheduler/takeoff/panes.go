package takeoff

import (
	"jambwright/scheduler/length"
)

// Pane is one pane as it is ordered. Place is its daylight in the elevation; Width and Height are of the glass itself, bite
// included, to be verified against approved shop drawings before an order.
type Pane struct {
	Place         Rect
	Width, Height length.Length
	Area          Area
	Grams         int64
	Hands         int           // people at the pane by weight and size
	Gasket        length.Length // both faces, along the framed edges
	Blocks        int
	BlockLength   length.Length // of each setting block
	FramedSides   int           // left and right edges in a frame: 2, 1 or 0; head and foot always are
}

// LeafSize is one door leaf. Glass is its pane when the leaf is of glass; it arrives glazed.
type LeafSize struct {
	Place Rect
	Glass *Pane
}

// blockLength is 0.1 in for each square foot of glass and at least 4 in (common practice, as trade pages quote the
// FGMA/GANA Glazing Manual), rounded up to the sixteenth.
func blockLength(area Area) length.Length {
	tenth := Area(length.Inch) / 10
	raw := length.Length((area/SquareFoot*tenth + area%SquareFoot*tenth/SquareFoot))
	up := (raw + length.Sixteenth - 1) / length.Sixteenth * length.Sixteenth
	return max(4*length.Inch, up)
}

// pane works out one pane from its daylight. The gasket runs along framed edges only, inside and outside; a butt joint is
// sealed instead. Weight is of the glass with its bite, because that is what is carried.
func pane(place Rect, framedSides int, g Glass, r Rules) Pane {
	p := Pane{
		Place:       place,
		Width:       place.Width + length.Length(framedSides)*r.Bite,
		Height:      place.Height + 2*r.Bite,
		Gasket:      2 * (2*place.Width + length.Length(framedSides)*place.Height),
		Blocks:      r.BlocksPerPane,
		FramedSides: framedSides,
	}
	p.Area = AreaOf(p.Width, p.Height)
	p.Grams = g.Weight(p.Area)
	p.Hands = r.Lifting.Hands(p.Grams, p.Area)
	p.BlockLength = blockLength(p.Area)
	return p
}

// framedSides counts the upright edges of a bay's pane that stand in a frame.
func (b Bay) framedSides() int {
	n := 2
	if b.ButtLeft {
		n--
	}
	if b.ButtRight {
		n--
	}
	return n
}

// panes lists the panes glazed on site: fixed lights from left to right, then the transom. A butt joint has no width of its
// own here: two panes share the daylight up to it, and the shop drawings take the sealant's width off.
func panes(o Opening, l *Layout, r Rules) []Pane {
	var list []Pane
	for _, b := range l.Bays {
		if b.Leaves == 0 {
			place := Rect{X: b.X, Y: l.Profile.Base, Width: b.Width, Height: l.Lower - l.Profile.Base}
			list = append(list, pane(place, b.framedSides(), o.Glass, r))
		}
	}
	if l.Transom > 0 {
		for _, b := range l.Bays {
			place := Rect{X: b.X, Y: l.Lower + l.Profile.Bar, Width: b.Width, Height: l.Transom}
			list = append(list, pane(place, b.framedSides(), o.Glass, r))
		}
	}
	return list
}

// leafSizes divides each leaf bay among its leaves. The division is exact: what one width cannot share goes to the next
// leaf, so that leaves always fill their bay.
func leafSizes(o Opening, l *Layout, r Rules) []LeafSize {
	var list []LeafSize
	for _, b := range l.Bays {
		x, left := b.X, b.Width
		for i := range b.Leaves {
			width := left / length.Length(b.Leaves-i)
			leaf := LeafSize{Place: Rect{X: x, Width: width, Height: l.Lower}}
			if o.HasGlassLeaves() {
				leaf.Glass = leafPane(leaf.Place, l.Profile, o.Glass, r)
			}
			list = append(list, leaf)
			x, left = x+width, left-width
		}
	}
	return list
}

// leafPane is the glass of a leaf between its stiles and rails; nil when they leave no daylight.
func leafPane(leaf Rect, p Profile, g Glass, r Rules) *Pane {
	day := Rect{
		X: leaf.X + p.Stile, Y: leaf.Y + p.BottomRail,
		Width: leaf.Width - 2*p.Stile, Height: leaf.Height - p.BottomRail - p.TopRail,
	}
	if day.Width <= 0 || day.Height <= 0 {
		return nil
	}
	glass := pane(day, 2, g, r)
	return &glass
}

// buttJoints is the length of all sealed joints between panes.
func buttJoints(l *Layout) (joints int, total length.Length) {
	for _, b := range l.Bays {
		if b.ButtLeft {
			joints++
			total += l.Lower - l.Profile.Base + l.Transom
		}
	}
	return joints, total
}
