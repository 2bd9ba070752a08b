package takeoff

import (
	"errors"

	"jambwright/scheduler/length"
)

// Takeoff is everything that an opening's geometry says about its work. It shares no memory with the opening.
type Takeoff struct {
	Type      Type
	Layout    Layout
	Members   []Member
	Panes     []Pane // glazed on site
	Leaves    []LeafSize
	Lines     []Line // every quantity with its working, in the order in which a sheet lists them
	Joints    int    // butt joints between panes
	Fasteners int    // all screws
	Anchors   int    // those of them that need a hole in concrete
	Hardware  int    // hardware points

	Heaviest   int64 // grams, of the heaviest pane glazed on site; 0 without panes
	GlazeHands int   // people for the pane that needs most, at least 1
	HangHands  int   // people for the leaf that needs most, at least 1
	// GlassAssumed says that the opening states no thickness: weights and hands are of the rules' glass.
	GlassAssumed bool

	HangGrams int64 // glass in the heaviest leaf; 0 when leaves are not of glass

	Conditions []Condition // those of the opening, and Ladder when the head is out of reach
	Hints      []Hint
}

// Quantity names a line of a takeoff.
type Quantity string

// The quantities. The length of each role of member is a line of the role's name.
const (
	WidthLine     Quantity = "width of the frame"
	HeightLine    Quantity = "height of the frame"
	FastenersLine Quantity = "fasteners"
	AnchorsLine   Quantity = "anchors"
	PanesLine     Quantity = "panes"
	GlassAreaLine Quantity = "glass area"
	GlassLine     Quantity = "glass weight"
	HeaviestLine  Quantity = "heaviest pane"
	HandsLine     Quantity = "people at the heaviest pane"
	BlocksLine    Quantity = "setting blocks"
	GasketLine    Quantity = "gasket"
	SealantLine   Quantity = "butt joint sealant"
	CaulkLine     Quantity = "perimeter sealant"
	LeavesLine    Quantity = "leaves"
	HardwareLine  Quantity = "hardware points"
)

// Measure says which field of a Line holds its amount.
type Measure string

// The measures.
const (
	ByLength Measure = "length"
	ByCount  Measure = "count"
	ByArea   Measure = "area"
	ByWeight Measure = "weight"
)

// Line is one quantity with the calculation it came from.
type Line struct {
	Quantity Quantity
	Measure  Measure
	Length   length.Length
	Count    int
	Area     Area
	Grams    int64
	Working  Working
}

// Of takes an opening off: its layout, pieces, panes and every quantity with its working. The error joins every fault of the
// opening. The cost is linear in its lights.
func Of(o Opening, rules Rules) (*Takeoff, error) {
	if err := rules.Check(); err != nil {
		return nil, err
	}
	rules = rules.WithDefaults()
	l, err := Lay(o, rules)
	if err != nil {
		return nil, err
	}
	t := &Takeoff{Type: o.Type, Layout: l, Members: members(o, &l), GlazeHands: 1, HangHands: 1}
	if hasGlass(o, &l) {
		if t.GlassAssumed = o.Glass.Thickness == 0; t.GlassAssumed {
			o.Glass = rules.assumed(o.Glass)
		}
		if err := o.Glass.check(); err != nil {
			return nil, err
		}
	}
	t.Panes = panes(o, &l, rules)
	t.Leaves = leafSizes(o, &l, rules)
	t.Conditions = conditions(o, &l, rules)
	t.frameLines()
	t.memberLines()
	t.fastenerLines(o, rules)
	t.glassLines(o, rules)
	t.leafLines(o, rules)
	t.Hints = hints(o, t)
	return t, t.checkSums()
}

// hasGlass reports whether the opening has a pane of any kind.
func hasGlass(o Opening, l *Layout) bool {
	if l.Transom > 0 {
		return true
	}
	for _, b := range l.Bays {
		if b.Leaves == 0 || o.HasGlassLeaves() {
			return true
		}
	}
	return false
}

// checkSums guards the one invariant that a drawing shows at a glance: bays and members fill the frame from edge to edge.
func (t *Takeoff) checkSums() error {
	width := 2*t.Layout.Profile.Jamb + length.Length(len(t.Layout.Mullions))*t.Layout.Profile.Mullion
	for _, b := range t.Layout.Bays {
		width += b.Width
	}
	if width != t.Layout.Width {
		return errors.New("takeoff: the bays do not fill the frame")
	}
	return nil
}

// conditions adds the ladder to the stated ones when the head is out of reach and no lift is used.
func conditions(o Opening, l *Layout, r Rules) []Condition {
	list := append([]Condition(nil), o.Conditions...)
	for _, c := range list {
		if c == Ladder || c == Lift {
			return list
		}
	}
	if o.SillHeight+l.Height > r.LadderOver {
		list = append(list, Ladder)
	}
	return list
}

// fastenerLines counts all fasteners and those that need a drilled anchor. An anchor is one of the fasteners and not one
// more: its rate is the extra of the hole.
func (t *Takeoff) fastenerLines(o Opening, r Rules) {
	var all, drilled []Working
	for _, rule := range fastenerRules(o, r) {
		for _, m := range t.Members {
			if m.Role != rule.role {
				continue
			}
			n, w := rule.count(m)
			t.Fasteners += n
			all = append(all, w)
			if rule.into == Concrete {
				t.Anchors += n
				drilled = append(drilled, work("those of the ", string(rule.role), ": ", n))
			}
		}
	}
	t.Lines = append(t.Lines, countLine(FastenersLine, t.Fasteners, all))
	if t.Anchors > 0 {
		t.Lines = append(t.Lines, countLine(AnchorsLine, t.Anchors, drilled))
	}
	if faces := t.Layout.Profile.CaulkFaces; faces > 0 {
		around := 2*t.Layout.Height + t.Layout.Width
		t.Lines = append(t.Lines, Line{
			Quantity: CaulkLine, Measure: ByLength, Length: length.Length(faces) * around,
			Working: work(faces, " faces x (2 x ", t.Layout.Height, " + ", t.Layout.Width, ") = ", length.Length(faces)*around),
		})
	}
}

// countLine is a line of a number that several parts may add up to.
func countLine(q Quantity, n int, parts []Working) Line {
	w := join("; ", parts...)
	if len(parts) > 1 {
		w = append(w, work("; together ", n)...)
	}
	return Line{Quantity: q, Measure: ByCount, Count: n, Working: w}
}

// glassLines adds panes, glass, blocks, gasket and sealant. Equal panes are shown as one group, as an order would list them.
func (t *Takeoff) glassLines(o Opening, r Rules) {
	if len(t.Panes) == 0 {
		return
	}
	var area Area
	var grams int64
	var gasket length.Length
	blocks := 0
	heaviest := t.Panes[0]
	var sizes, areas, weights, gaskets []Working
	for _, p := range t.Panes {
		area += p.Area
		grams += p.Grams
		gasket += p.Gasket
		blocks += p.Blocks
		if p.Grams > heaviest.Grams {
			heaviest = p
		}
		t.GlazeHands = max(t.GlazeHands, p.Hands)
	}
	for _, g := range groupPanes(t.Panes) {
		p := g.pane
		sizes = append(sizes, paneWorking(g.count, p, r))
		areas = append(areas, work(g.count, " x (", p.Width, " x ", p.Height, " = ", p.Area, ")"))
		weights = append(weights, work(g.count, " x ", weight(p.Grams)))
		gaskets = append(gaskets, work(g.count, " x 2 faces x (2 x ", p.Place.Width, " + ", p.FramedSides, " x ", p.Place.Height, ")"))
	}
	t.Heaviest = heaviest.Grams
	n := len(t.Panes)
	t.Lines = append(t.Lines,
		countLine(PanesLine, n, sizes),
		Line{Quantity: GlassAreaLine, Measure: ByArea, Area: area, Working: join("", join(" + ", areas...), work(" = ", area))},
		Line{Quantity: GlassLine, Measure: ByWeight, Grams: grams, Working: join("", join(" + ", weights...), work(" = ", weight(grams)))},
		Line{Quantity: HeaviestLine, Measure: ByWeight, Grams: t.Heaviest, Working: o.Glass.weightWorking(heaviest.Area, heaviest.Grams)},
		Line{Quantity: HandsLine, Measure: ByCount, Count: t.GlazeHands, Working: r.Lifting.working(heaviest.Grams, heaviest.Area, t.GlazeHands)},
		Line{Quantity: BlocksLine, Measure: ByCount, Count: blocks, Working: work(plural(n, "pane"), " x ", r.BlocksPerPane, " = ", blocks,
			"; under the heaviest pane each ", heaviest.BlockLength, " long: 1/10 in for each square foot of ", heaviest.Area, ", at least ", 4*length.Inch)},
		Line{Quantity: GasketLine, Measure: ByLength, Length: gasket, Working: join("", join(" + ", gaskets...), work(" = ", gasket))},
	)
	if joints, total := buttJoints(&t.Layout); joints > 0 {
		t.Joints = joints
		height := t.Layout.Lower - t.Layout.Profile.Base
		w := work(plural(joints, "joint"), " x ", height)
		if t.Layout.Transom > 0 {
			w = work(plural(joints, "joint"), " x (", height, " + ", t.Layout.Transom, ")")
		}
		t.Lines = append(t.Lines, Line{Quantity: SealantLine, Measure: ByLength, Length: total, Working: join("", w, work(" = ", total))})
	}
}

// paneWorking shows how the size of a group of equal panes comes from their daylight.
func paneWorking(n int, p Pane, r Rules) Working {
	return work(n, " of ", p.Width, " x ", p.Height, ": width ", p.Place.Width, " + ", p.FramedSides, " x ", r.Bite, " of bite = ", p.Width,
		", height ", p.Place.Height, " + 2 x ", r.Bite, " of bite = ", p.Height)
}

// leafLines adds leaves and hardware, and the hands to hang them. A leaf that is not of glass has no weight here, because
// schedules do not give it; the house rule says how many people hang one.
func (t *Takeoff) leafLines(o Opening, r Rules) {
	if len(t.Leaves) == 0 {
		return
	}
	first := t.Leaves[0].Place
	t.HangHands = max(1, r.Lifting.LeafHands)
	for _, leaf := range t.Leaves {
		if leaf.Glass != nil {
			t.HangHands = max(t.HangHands, leaf.Glass.Hands)
			t.HangGrams = max(t.HangGrams, leaf.Glass.Grams)
		}
	}
	points, w := hardware(o, len(t.Leaves), first.Height)
	t.Hardware = points
	t.Lines = append(t.Lines,
		Line{Quantity: LeavesLine, Measure: ByCount, Count: len(t.Leaves), Working: work(plural(len(t.Leaves), "leaf"), " of ", first.Width, " x ", first.Height, " between rabbets")},
		Line{Quantity: HardwareLine, Measure: ByCount, Count: points, Working: w},
	)
}

// hardware is the number of pieces to fit on all leaves. Unless the opening states it, a hinged leaf has a hinge for each
// started 30 in of its height, a closer, a stop, and a lock; the second leaf of two has two flush bolts for its lock. A
// sliding leaf has two hangers, a guide, two stops, a pull and a lock. Common practice.
func hardware(o Opening, leaves int, height length.Length) (int, Working) {
	if o.HardwarePoints > 0 {
		return o.HardwarePoints, work("as the hardware set states")
	}
	if o.Type == SlidingFront {
		return 7 * leaves, work(leaves, " x (2 hangers + 1 guide + 2 stops + 1 pull + 1 lock) = ", 7*leaves)
	}
	hinges := int((height + 30*length.Inch - 1) / (30 * length.Inch))
	n := leaves * (hinges + 3)
	w := work(leaves, " x (", hinges, " hinges + 1 closer + 1 stop + 1 lock)")
	if inactive := leaves / 2; inactive > 0 {
		n += inactive
		w = append(w, work(" + ", inactive, " for two flush bolts in place of a lock")...)
	}
	return n, append(w, work(" = ", n, "; hinges of a leaf: ", height, " / ", 30*length.Inch, " rounded up = ", hinges)...)
}

// paneGroup is a number of panes of one size and framing.
type paneGroup struct {
	pane  Pane
	count int
}

// groupPanes puts equal panes together, in the order in which they first appear.
func groupPanes(list []Pane) []paneGroup {
	var groups []paneGroup
next:
	for _, p := range list {
		for i := range groups {
			g := groups[i].pane
			if shared(g.Width, p.Width) && g.Height == p.Height && g.FramedSides == p.FramedSides && shared(g.Place.Width, p.Place.Width) {
				groups[i].count++
				continue next
			}
		}
		groups = append(groups, paneGroup{pane: p, count: 1})
	}
	return groups
}
