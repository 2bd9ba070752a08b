package takeoff

import "jambwright/scheduler/length"

// Hint is something to look up before work or an order. It is never a ruling: local codes, the manufacturer's instructions
// and licensed practice govern.
type Hint struct {
	Code HintCode
	Text string
}

// HintCode names a hint for filters and tests.
type HintCode string

// The hints.
const (
	DoorGlass      HintCode = "door glass"         // glass in a door
	BesideDoor     HintCode = "glass beside door"  // within 24 in of a door's edge, bottom below 60 in
	LargeLowGlass  HintCode = "large low glass"    // more than 9 sq ft, bottom below 18 in, top above 36 in
	ClearWidth     HintCode = "clear width"        // less than 32 in clear
	SilicaDust     HintCode = "silica dust"        // holes in concrete
	WorkAtHeight   HintCode = "work at height"     // ladder or lift
	SharpEdges     HintCode = "sharp edges"        // glass is handled
	SharedLift     HintCode = "shared lift"        // a pane or leaf takes two people or more
	GlassUnknown   HintCode = "glass assumed"      // the schedule states no thickness
	WidthsAssumed  HintCode = "widths assumed"     // widths of lights or leaves missing or not adding up
	NotSafetyGlass HintCode = "not safety glazing" // a place of the first three, glass not marked as safety glazing
)

const checkLocally = " Check with the local code."

// The limits of the places where glass is likely to be broken by people, as 16 CFR 1201 and IBC section 2406.4 draw them.
const (
	nearDoor    = 24 * length.Inch
	nearDoorLow = 60 * length.Inch
	largePane   = 9 * SquareFoot
	lowEdge     = 18 * length.Inch
	highEdge    = 36 * length.Inch
)

// clearWidth is the least clear width of a doorway in 404.2.3 of the 2010 ADA Standards. doorLoss is what the leaf and the
// stop take away at 90 degrees: a 3'-0" door gives about 34 in clear.
const (
	clearWidth = 32 * length.Inch
	doorLoss   = 2 * length.Inch
)

// hints lists what the geometry suggests to look up, in a fixed order, each once.
func hints(o Opening, t *Takeoff) []Hint {
	var list []Hint
	add := func(when bool, code HintCode, text string) {
		if when {
			list = append(list, Hint{Code: code, Text: text})
		}
	}
	glassLeaf := false
	for _, leaf := range t.Leaves {
		glassLeaf = glassLeaf || leaf.Glass != nil
	}
	beside, low := hazardous(o, t)
	add(t.Layout.Assumed, WidthsAssumed, "The stated widths of leaves and lights are missing or do not add up to the frame: the layout is worked out by rule. Verify at the survey and against the shop drawings.")
	add(t.GlassAssumed, GlassUnknown, "No glass thickness is stated: weight and hands are worked out for the usual make-up. Verify before lifting and before ordering.")
	add(glassLeaf, DoorGlass, "Glass in a door is likely to need safety glazing (16 CFR 1201)."+checkLocally)
	add(beside, BesideDoor, "A pane stands within 24 in of a door's edge and lower than 60 in above the floor: likely to need safety glazing (IBC 2406.4.2)."+checkLocally)
	add(low, LargeLowGlass, "A pane is larger than 9 sq ft, starts lower than 18 in and ends higher than 36 in above the floor: where people walk within 36 in of it, it is likely to need safety glazing (IBC 2406.4.3)."+checkLocally)
	add((glassLeaf || beside || low) && !o.Glass.Safety, NotSafetyGlass, "The glass is not marked as safety glazing; verify before it is ordered."+checkLocally)
	add(narrow(t), ClearWidth, "The clear width of the doorway looks like less than 32 in (2010 ADA Standards 404.2.3)."+checkLocally)
	add(len(t.Panes) > 0 || glassLeaf, SharpEdges, "Cut-resistant gloves and sleeves, eye protection; carry panes upright and keep others out of the way.")
	add(t.GlazeHands > 1 || t.HangHands > 1, SharedLift, "A lift shared by several people: agree on who leads it before it starts.")
	add(t.Anchors > 0, SilicaDust, "Holes in concrete: drill with a dust-collecting shroud and a vacuum with a fine filter (29 CFR 1926.1153, table 1).")
	add(atHeight(t), WorkAtHeight, "Work off the floor: inspect the ladder or lift; fall protection is due from 6 ft (29 CFR 1926.501).")
	return list
}

// hazardous looks for panes beside a door and for large low ones. The distance is taken in the plane of the frame only, and
// that people walk close by is taken for granted: a hint may come too often but should not stay away.
func hazardous(o Opening, t *Takeoff) (beside, low bool) {
	for _, p := range t.Panes {
		bottom := o.SillHeight + p.Place.Y
		top := bottom + p.Place.Height
		if p.Area > largePane && bottom < lowEdge && top > highEdge {
			low = true
		}
		for _, leaf := range t.Leaves {
			if bottom < nearDoorLow && gap(p.Place, leaf.Place) < nearDoor {
				beside = true
			}
		}
	}
	return beside, low
}

// gap is the horizontal distance between two places, 0 when one stands above the other.
func gap(a, b Rect) length.Length {
	return max(0, a.X-(b.X+b.Width), b.X-(a.X+a.Width))
}

// narrow reports whether no leaf gives the clear width; of a pair one leaf is enough (404.2.2).
func narrow(t *Takeoff) bool {
	for _, leaf := range t.Leaves {
		if leaf.Place.Width-doorLoss >= clearWidth {
			return false
		}
	}
	return len(t.Leaves) > 0
}

func atHeight(t *Takeoff) bool {
	for _, c := range t.Conditions {
		if c == Ladder || c == Lift {
			return true
		}
	}
	return false
}
