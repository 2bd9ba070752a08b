package takeoff

import "jambwright/scheduler/length"

// What schedules give of doors with sidelights and of fronts differs: the leaf's width or none, sidelights with widths,
// without, or only their number, the whole's width or the door's. This file settles it by the rules of the trade.

// Leaves of interior work are not narrower or wider than this, which tells a door's width from a whole's.
const (
	narrowestLeaf = 24 * length.Inch
	widestLeaf    = 48 * length.Inch
	widestGlazed  = 60 * length.Inch // a front's own leaf
)

// stated adds the widths of sidelights and counts those that state none.
func stated(sidelights []Sidelight) (total length.Length, open int) {
	for _, s := range sidelights {
		total += s.Width
		if s.Width == 0 {
			open++
		}
	}
	return total, open
}

// doorWidths settles the door opening and the sidelights of a door and frame or a pair.
func (l *Layout) doorWidths(o Opening, rules Rules) (door length.Length, sidelights []Sidelight) {
	n := length.Length(leavesOf(o))
	given, open := stated(o.Sidelights)
	inside := o.Width - 2*l.Profile.Jamb - length.Length(len(o.Sidelights))*l.Profile.Mullion
	door = n * o.LeafWidth
	if door == 0 {
		door = o.Width
		if len(o.Sidelights) > 0 && o.Width > n*widestLeaf {
			door = n * rules.LeafWidth
			if rest := inside - given; open == 0 && rest >= n*narrowestLeaf {
				door = rest
			}
			l.Assumed = true
		}
	}
	sidelights = append(sidelights, o.Sidelights...)
	if open == 0 {
		return door, sidelights
	}
	each := (inside - door - given) / length.Length(open)
	if each < NarrowestLight {
		each, l.Assumed = rules.Sidelight, true
	}
	for i := range sidelights {
		if sidelights[i].Width == 0 {
			sidelights[i].Width = each
		}
	}
	return door, sidelights
}

// frontWidths settles the leaves and the sidelights of a front. What is left beside the leaves is a sidelight; when there
// is no room for one, the leaves take the frame.
func frontWidths(o Opening, rules Rules, p Profile) (leaves length.Length, sidelights []Sidelight) {
	n := length.Length(leavesOf(o))
	leaves = n * firstSet(o.LeafWidth, rules.LeafWidth)
	inside := o.Width - 2*p.Jamb
	given, open := stated(o.Sidelights)
	switch {
	case len(o.Sidelights) == 0 && inside-leaves-p.Mullion >= NarrowestLight:
		return leaves, []Sidelight{{Side: Right}}
	case len(o.Sidelights) == 0 && (o.LeafWidth == 0 || inside > leaves):
		return inside, nil
	case o.LeafWidth == 0 && len(o.Sidelights) > 0 && open == 0:
		rest := inside - length.Length(len(o.Sidelights))*p.Mullion - given
		if rest >= n*narrowestLeaf && rest <= n*widestGlazed {
			leaves = rest
		}
	}
	return leaves, append(sidelights, o.Sidelights...)
}
