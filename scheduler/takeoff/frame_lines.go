package takeoff

import "jambwright/scheduler/length"

// frameLines adds what the elevation is made up of, from which every daylight and every piece below follows.
func (t *Takeoff) frameLines() {
	l := &t.Layout
	t.Lines = append(t.Lines,
		Line{Quantity: WidthLine, Measure: ByLength, Length: l.Width, Working: l.widthWorking()},
		Line{Quantity: HeightLine, Measure: ByLength, Length: l.Height, Working: l.heightWorking()})
}

// widthWorking adds the uprights and the bays up to the width, equal ones together.
func (l *Layout) widthWorking() Working {
	parts := []Working{work("2 jambs x ", l.Profile.Jamb)}
	if n := len(l.Mullions); n > 0 {
		parts = append(parts, work(plural(n, MullionRole), " x ", l.Profile.Mullion))
	}
	for _, g := range l.equalBays(false) {
		parts = append(parts, g.working("light"))
	}
	for _, g := range l.equalBays(true) {
		parts = append(parts, g.working("place of leaves"))
	}
	return join("", join(" + ", parts...), work(" = ", l.Width))
}

// equalBays are bays of one width; total is exact where the width that they share is not.
type equalBays struct {
	width, total length.Length
	count        int
}

func (g *equalBays) working(what string) Working {
	if g.count == 1 {
		return work("1 ", what, " x ", g.width)
	}
	if what == "light" {
		what = "lights"
	} else {
		what = "places of leaves"
	}
	return work(g.count, " ", what, " x (", g.total, " / ", g.count, " = ", g.width, ")")
}

// shared reports whether two widths are meant to be the same: what one division cannot share goes to the first ones, in units far
// below what a tape shows.
func shared(a, b length.Length) bool { return a-b <= 1 && b-a <= 1 }

// equalBays groups the bays with leaves, or those without, by width, in the order in which they first appear.
func (l *Layout) equalBays(leaves bool) (groups []equalBays) {
next:
	for _, b := range l.Bays {
		if (b.Leaves > 0) != leaves {
			continue
		}
		for i := range groups {
			if shared(groups[i].width, b.Width) {
				groups[i].count++
				groups[i].total += b.Width
				continue next
			}
		}
		groups = append(groups, equalBays{b.Width, b.Width, 1})
	}
	return groups
}

// heightWorking adds up what stands one above the other: in a column with a fixed light, in one with leaves, in both.
func (l *Layout) heightWorking() Working {
	var columns []Working
	above := work(" + head ", l.Profile.Head, " = ", l.Height)
	if l.Transom > 0 {
		above = join("", work(" + bar ", l.Profile.Bar, " + transom light ", l.Transom), above)
	}
	if len(l.equalBays(false)) > 0 {
		columns = append(columns, join("", work("base ", l.Profile.Base, " + light ", l.Lower-l.Profile.Base), above))
	}
	if len(l.equalBays(true)) > 0 {
		columns = append(columns, join("", work("leaves ", l.Lower), above))
	}
	return join("; ", columns...)
}

// memberLines adds one line for each role, its pieces written out. Members of one role stand together in the list, so that one
// walk over it finds them all.
func (t *Takeoff) memberLines() {
	for i := 0; i < len(t.Members); {
		role := t.Members[i].Role
		line := Line{Quantity: Quantity(role), Measure: ByLength}
		var parts []Working
		for ; i < len(t.Members) && t.Members[i].Role == role; i++ {
			m := t.Members[i]
			line.Length += length.Length(m.Count) * m.Length
			parts = append(parts, join("", work(m.Count, " x "), t.Layout.pieceWorking(m)))
		}
		line.Working = join("", join(" + ", parts...), work(" = ", line.Length))
		t.Lines = append(t.Lines, line)
	}
}

// pieceWorking says where the length of a piece comes from.
func (l *Layout) pieceWorking(m Member) Working {
	switch m.Role {
	case HeadRole:
		return work("(", l.Width, " - 2 x ", l.Profile.Jamb, " of jambs)")
	case MullionRole:
		return work("(", l.Height, " - ", l.Profile.Head, " of head)")
	case RailRole:
		if places := l.equalBays(true); len(places) == 1 && places[0].count == 1 && m.Length == 2*places[0].width {
			return work("(2 x ", places[0].width, " of leaves and the way they slide)")
		}
	}
	return work(m.Length)
}
