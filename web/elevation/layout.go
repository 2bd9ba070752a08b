package elevation

import (
	"slices"

	"jambwright/scheduler/length"
)

// layout is the division of an opening, in length units from its upper left corner.
type layout struct {
	width, height length.Length
	bays          []bay     // from left to right
	mullions      []float64 // between bays, where there is one
	transom       float64   // depth of the panes at the top; 0: none
}

// bay is one place between two mullions.
type bay struct {
	from, to float64
	leaf     bool
	hinge    Side // of a leaf
}

// Usual measures for what is not known (common practice): a leaf 3'-0" by 7'-0", a front 6'-0" wide, a light 5'-0" wide.
const (
	usualLeaf   = 36 * length.Inch
	usualFront  = 72 * length.Inch
	usualHeight = 84 * length.Inch
	usualLight  = 60 * length.Inch

	usualSidelight = 12 * length.Inch
)

// maxBays bounds the number of bays drawn; beyond it mullions would touch.
const maxBays = 60

// layout divides the opening; whatever the measures say, every bay keeps a share. A measure under an inch is taken as not
// known.
func (o Opening) layout() layout {
	l := layout{width: o.Width, height: o.Height}
	if l.width < length.Inch {
		l.width = o.usualWidth()
	}
	if l.height < length.Inch {
		l.height = usualHeight
	}
	var shares []share
	switch {
	case o.isDoorSized():
		shares = o.doorWithLights(l.width)
		l.width = 0
		for _, s := range shares {
			l.width += length.Length(s.width)
		}
		l.height += max(o.Transom, 0)
	case o.Type.HasLeaf():
		shares = o.front(l.width)
	default:
		shares = o.run(l.width)
	}
	if o.Transom > 0 && o.Transom < l.height {
		l.transom = float64(o.Transom)
	}
	l.divide(shares, o.ButtJoints)
	return l
}

// isDoorSized reports whether width and height are of the door alone: sidelights and transom come on top, as schedules
// state them.
func (o Opening) isDoorSized() bool { return o.Type == DoorFrame || o.Type == Pair }

// doorWithLights sets the sidelights beside a door of the full width.
func (o Opening) doorWithLights(width length.Length) []share {
	var left, right []share
	for _, s := range o.Sidelights[:min(len(o.Sidelights), maxBays)] {
		light := share{width: float64(usualSidelight)}
		if s.Width > 0 {
			light.width = float64(s.Width)
		}
		if s.side() == Left {
			left = append(left, light)
		} else {
			right = append(right, light)
		}
	}
	return append(append(left, o.doors(float64(width))...), right...)
}

func (o Opening) usualWidth() length.Length {
	switch o.Type {
	case DoorFrame:
		return usualLeaf
	case Storefront:
		return usualLight * length.Length(max(o.Lights, 1))
	}
	return usualFront
}

// share is a bay by its width alone. Widths are stretched to fill the opening.
type share struct {
	width float64
	leaf  bool
	hinge Side
}

// front sets left sidelights, leaves and right sidelights side by side.
func (o Opening) front(width length.Length) []share {
	var left, right []share
	taken := 0.0
	for _, s := range o.sidelights(width) {
		taken += float64(s.Width)
		if s.side() == Left {
			left = append(left, share{width: float64(s.Width)})
		} else {
			right = append(right, share{width: float64(s.Width)})
		}
	}
	doors := o.doors(float64(width) - taken)
	return append(append(left, doors...), right...)
}

// sidelights gives every sidelight a width. Those without one share what the leaves leave; all together never take more
// than three quarters of the opening.
func (o Opening) sidelights(width length.Length) []Sidelight {
	lights := append([]Sidelight(nil), o.listedSidelights(width)...)
	unknown, known := 0, length.Length(0)
	for _, s := range lights {
		if s.Width > 0 {
			known += s.Width
		} else {
			unknown++
		}
	}
	rest := max(width-o.allLeaves()-known, width/4)
	total := length.Length(0)
	for i := range lights {
		if lights[i].Width <= 0 {
			lights[i].Width = rest / length.Length(unknown)
		}
		total += lights[i].Width
	}
	if limit := width * 3 / 4; total > limit {
		for i := range lights {
			lights[i].Width = max(1, length.Length(float64(lights[i].Width)*float64(limit)/float64(total)))
		}
	}
	return lights
}

// listedSidelights adds the sidelight that a front wider than its leaf must have.
func (o Opening) listedSidelights(width length.Length) []Sidelight {
	isFront := o.Type == SlidingFront || o.Type == HingedFront
	if len(o.Sidelights) == 0 && isFront && width > o.allLeaves()+o.allLeaves()/4 {
		return []Sidelight{{Side: Right}}
	}
	return o.Sidelights[:min(len(o.Sidelights), maxBays)]
}

// allLeaves is the width of all leaves together.
func (o Opening) allLeaves() length.Length {
	leaf := o.LeafWidth
	if leaf <= 0 {
		leaf = usualLeaf
	}
	return leaf * length.Length(o.leafCount())
}

func (o Opening) leafCount() int {
	switch {
	case o.Leaves > 0:
		return min(o.Leaves, maxBays)
	case o.Type == Pair:
		return 2
	case o.Type.HasLeaf():
		return 1
	}
	return 0
}

// doors divides a width among the leaves. Several leaves hinge at the outer sides.
func (o Opening) doors(width float64) []share {
	n := o.leafCount()
	all := make([]share, n)
	for i := range all {
		hinge := o.Handing
		if n > 1 {
			hinge = Left
			if i >= n/2 {
				hinge = Right
			}
		}
		all[i] = share{width: width / float64(n), leaf: true, hinge: hinge}
	}
	return all
}

// run divides a fixed light or storefront run into lights, one of which may hold the leaves. Lights without a width of
// their own share equally what the leaves leave.
func (o Opening) run(width length.Length) []share {
	n := max(1, min(o.Lights, maxBays))
	door := 0
	if o.leafCount() > 0 {
		door = max(1, min(o.DoorLight, n))
	}
	widths := o.lightWidths(width, n, door)
	var all []share
	for light := 1; light <= n; light++ {
		if light == door {
			all = append(all, o.doors(widths[light-1])...)
			continue
		}
		all = append(all, share{width: widths[light-1]})
	}
	return all
}

func (o Opening) lightWidths(width length.Length, n, door int) []float64 {
	widths := make([]float64, n)
	each, leaves := float64(width)/float64(n), float64(o.allLeaves())
	if isStated := len(o.LightWidths) == n; isStated {
		for i, w := range o.LightWidths {
			widths[i] = float64(max(w, length.Inch))
		}
		return widths
	}
	hasRoom := door > 0 && n > 1 && leaves < float64(width)*3/4
	if hasRoom {
		each = (float64(width) - leaves) / float64(n-1)
	}
	for i := range widths {
		widths[i] = each
		if hasRoom && i+1 == door {
			widths[i] = leaves
		}
	}
	return widths
}

// divide sets the shares side by side, stretched to fill the width exactly.
func (l *layout) divide(shares []share, buttJoints bool) {
	total := 0.0
	for _, s := range shares {
		total += s.width
	}
	at := 0.0
	for i, s := range shares {
		width := s.width * float64(l.width) / total
		if i > 0 && !meetBare(shares[i-1], s, buttJoints) {
			l.mullions = append(l.mullions, at)
		}
		l.bays = append(l.bays, bay{from: at, to: at + width, leaf: s.leaf, hinge: s.hinge})
		at += width
	}
}

// isFramedAt reports whether a jamb or a mullion stands at a side of a bay.
func (l *layout) isFramedAt(x float64) bool {
	return x == 0 || x == l.bays[len(l.bays)-1].to || slices.Contains(l.mullions, x)
}

// meetBare reports whether two neighbours meet without a mullion: two leaves always do, two panes at a butt joint.
func meetBare(a, b share, buttJoints bool) bool {
	return a.leaf && b.leaf || buttJoints && !a.leaf && !b.leaf
}

// glassLeaf reports whether the leaf is glass: fronts and storefronts usually have glass doors, frames and pairs solid
// ones.
func (o Opening) glassLeaf() bool {
	switch o.Type {
	case SlidingFront, HingedFront, Storefront:
		return !o.SolidLeaf
	}
	return o.GlassLeaf
}
