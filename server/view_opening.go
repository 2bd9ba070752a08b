package server

import (
	"fmt"
	"slices"
	"strings"

	"jambwright/scheduler/length"
	"jambwright/scheduler/takeoff"
	"jambwright/web"
	"jambwright/web/elevation"
)

// elevationOf is the drawing of an opening.
func elevationOf(mark string, o takeoff.Opening, handing string, progress elevation.Progress, hold string) elevation.Opening {
	e := elevation.Opening{
		Mark: mark, Type: elevation.Type(o.Type), Width: o.Width, Height: o.Height, Leaves: o.Leaves, LeafWidth: o.LeafWidth,
		Transom: o.Transom, Lights: o.Lights, LightWidths: o.LightWidths, DoorLight: o.DoorLight, ButtJoints: o.ButtJoints,
		GlassLeaf: o.GlassLeaf, SolidLeaf: o.SolidLeaf, Handing: handingSide(handing),
		Progress: progress, Hold: hold,
	}
	for _, s := range o.Sidelights {
		e.Sidelights = append(e.Sidelights, elevation.Sidelight{Side: elevation.Side(s.Side), Width: s.Width})
	}
	return e
}

// handingSide reads the hinge side out of the usual hands: LH and LHR hang left, RH and RHR right.
func handingSide(handing string) elevation.Side {
	if strings.HasPrefix(strings.ToUpper(strings.TrimSpace(handing)), "R") {
		return elevation.Right
	}
	return elevation.Left
}

// gramsAKilogram turns the takeoff's whole grams into the pages' kilograms.
const gramsAKilogram = 1000

func kilograms(grams int64) float64 { return float64(grams) / gramsAKilogram }

// glassLift is the heaviest lift of one task of an opening. gear says that no crew has the hands.
func glassLift(kind takeoff.Kind, t *takeoff.Takeoff, gear bool) web.GlassLift {
	lift := web.GlassLift{}
	switch {
	case t == nil:
		return lift
	case kind == takeoff.Glaze && len(t.Panes) > 0:
		lift = web.GlassLift{HeaviestKg: kilograms(t.Heaviest), Panes: len(t.Panes), Hands: t.GlazeHands}
	case kind == takeoff.Hang && t.HangGrams > 0:
		lift = web.GlassLift{HeaviestKg: kilograms(t.HangGrams), Panes: len(t.Leaves), Hands: t.HangHands}
	}
	if gear && lift.Panes > 0 {
		lift.Gear = "vacuum lifter or glass robot rated for the pane"
	}
	return lift
}

// bringFor adds what one task takes to a list.
func bringFor(b *web.BringList, kind takeoff.Kind, t *takeoff.Takeoff, gear bool) {
	if t == nil {
		return
	}
	switch kind {
	case takeoff.Survey:
		b.Other = addCount(b.Other, "tape, level and marking set", 1)
	case takeoff.Frame:
		b.Fasteners = addCount(b.Fasteners, "screws", t.Fasteners-t.Anchors)
		b.Fasteners = addCount(b.Fasteners, "concrete anchors", t.Anchors)
		for _, m := range t.Members {
			b.Other = addCount(b.Other, "pieces of "+string(m.Role), m.Count)
		}
	case takeoff.Glaze:
		for _, p := range t.Panes {
			b.SettingBlocks += p.Blocks
			b.Gasket += p.Gasket
		}
		b.Other = addCount(b.Other, "panes", len(t.Panes))
		if lift := glassLift(kind, t, gear); lift.Gear != "" && !slices.Contains(b.Lifting, lift.Gear) {
			b.Lifting = append(b.Lifting, lift.Gear)
		} else if lift.Hands > 1 && !slices.Contains(b.Lifting, "suction cups, a pair for each person at the pane") {
			b.Lifting = append(b.Lifting, "suction cups, a pair for each person at the pane")
		}
	case takeoff.Hang:
		b.Other = addCount(b.Other, "door leaves", len(t.Leaves))
		b.Other = addCount(b.Other, "hardware pieces", t.Hardware)
	}
}

func addCount(list []web.Count, what string, n int) []web.Count {
	if n <= 0 {
		return list
	}
	for i := range list {
		if list[i].What == what {
			list[i].N += n
			return list
		}
	}
	return append(list, web.Count{What: what, N: n})
}

// cautionsFor are the usual cautions for the tasks of a day, without repeats.
func cautionsFor(list []string, kind takeoff.Kind, t *takeoff.Takeoff) []string {
	add := func(text string) {
		if !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	if t == nil {
		return list
	}
	if (kind == takeoff.Glaze || kind == takeoff.Hang) && len(t.Panes)+len(t.Leaves) > 0 {
		add("Glass edges cut: wear cut-resistant gloves and sleeves, and eye protection.")
	}
	if kind == takeoff.Frame && t.Anchors > 0 {
		add("Drilling concrete makes silica dust: use a shroud with a HEPA vacuum on the drill.")
	}
	if kind != takeoff.Punch && slices.Contains(t.Conditions, takeoff.Ladder) || slices.Contains(t.Conditions, takeoff.Lift) {
		add("Work above reach: inspect ladder or platform first; fall protection from 6 ft (1.8 m) or as your local code says.")
	}
	if kind == takeoff.Glaze && t.GlazeHands > 1 {
		add("Lift glass together, on one person's word. Never lift more than the hands on the sheet allow.")
	}
	return list
}

// quantitiesOf writes the lines of a takeoff in the reader's own units.
func quantitiesOf(t *takeoff.Takeoff, f web.Format) []web.Quantity {
	var list []web.Quantity
	write := workingWriter(f)
	for _, l := range t.Lines {
		list = append(list, web.Quantity{
			Name: string(l.Quantity), Value: amountOf(l, f), Working: l.Working.Text(write),
		})
	}
	return list
}

// workingWriter writes the amounts of workings in the reader's own units, those first where both are shown.
func workingWriter(f web.Format) takeoff.Writer {
	if f.Units != web.Metric {
		return takeoff.InFeet()
	}
	return takeoff.InMillimetres()
}

// Square feet and square metres are printed to two places: the trade orders glass so.
func amountOf(l takeoff.Line, f web.Format) string {
	switch l.Measure {
	case takeoff.ByLength:
		return f.Length(l.Length)
	case takeoff.ByArea:
		if f.Units == web.Metric {
			return fmt.Sprintf("%.2f m²", l.Area.SquareMetres())
		}
		return fmt.Sprintf("%.2f sq ft", l.Area.SquareFeet())
	case takeoff.ByWeight:
		return f.Weight(kilograms(l.Grams))
	}
	return f.Number(l.Count)
}

// panesOf lists the glass of an opening, pane by pane.
func panesOf(t *takeoff.Takeoff, glass string, gear bool) []web.Pane {
	var list []web.Pane
	for i, p := range t.Panes {
		list = append(list, web.Pane{
			Name: fmt.Sprintf("pane %d", i+1), Width: p.Width, Height: p.Height, Glass: glass,
			WeightKg: kilograms(p.Grams), Hands: p.Hands, Gear: glassLift(takeoff.Glaze, t, gear).Gear,
		})
	}
	for i, l := range t.Leaves {
		if l.Glass != nil {
			list = append(list, web.Pane{
				Name: fmt.Sprintf("glass of leaf %d", i+1), Width: l.Glass.Width, Height: l.Glass.Height, Glass: glass,
				WeightKg: kilograms(l.Glass.Grams), Hands: l.Glass.Hands,
			})
		}
	}
	return list
}

// glassWords names the glass of an opening.
func glassWords(g takeoff.Glass, f web.Format) string {
	if g.Thickness == 0 {
		return ""
	}
	words := f.Length(g.Thickness)
	if f.Units != web.Metric {
		words = inches(g.Thickness)
	}
	if g.Kind != "" && g.Kind != takeoff.Monolithic {
		words += " " + string(g.Kind)
	}
	if g.Safety {
		words += ", safety glazing"
	}
	return words
}

// inches writes a small length without feet: 3/8".
func inches(l length.Length) string { return strings.TrimPrefix(l.FeetInches(), "0'-") }

// hintsOf are the things to look up before work or an order.
func hintsOf(t *takeoff.Takeoff) []string {
	var list []string
	for _, h := range t.Hints {
		list = append(list, h.Text)
	}
	return list
}
