package importing

import (
	"slices"
	"strings"

	"jambwright/scheduler/problem"
	"jambwright/server/sheet"
)

// readHandovers reads one table of handovers. The same condition of the same area may stand once.
func readHandovers(c *collector, seen map[string]Place) {
	if !c.hasAny(fPromised, fForecast, fActual) {
		c.tableFault("no column holds a date", "name a column Promised, Forecast or Actual")
		return
	}
	for _, rec := range c.result.Records {
		row := c.row(rec)
		row.orphans(fCondition, fLevel, fArea, fRoom, fTrade, fPromised, fForecast, fActual)
		h := HandoverRow{
			Place: row.place, Level: firstNonEmpty(blank(row.text(fLevel)), rec.Banner.Level, c.level), Area: firstNonEmpty(blank(row.text(fArea)), rec.Banner.Area),
			Room: row.joined(fRoom), Condition: conditionOf(row.text(fCondition)), Trade: blank(row.text(fTrade)),
			Promised: row.handoverDate(fPromised), Forecast: row.handoverDate(fForecast), Actual: row.handoverDate(fActual), Notes: row.joined(fNotes), Raw: rec.Raw(),
		}
		// Handovers are kept by level and area: a room is an area of its own.
		if h.Room != "" {
			h.Area, h.Room = strings.TrimSpace(h.Area+" "+h.Room), ""
		}
		if h.Condition == "" {
			row.fault(fCondition, "the condition is missing", "write what is handed over: walls boarded, ceiling closed, floor finished, power live")
		}
		first, twice := seen[h.Key()]
		if twice && !row.failed {
			row.fault(fCondition, "this condition of this area stands in row "+itoa(first.Row)+inSheet(first.Sheet)+" already", "keep one row for each condition of an area")
		}
		if row.failed {
			c.unread(h.Key())
			continue
		}
		if !isUsual(h.Condition) {
			row.warn(fCondition, "it is kept as written; no task waits for it until a work pattern does")
		}
		seen[h.Key()] = row.place
		c.handovers = append(c.handovers, h)
	}
}

// handoverDate reads a date that another trade may still owe: a cell that says so is no fault, and is told.
func (r *rowReader) handoverDate(field string) *problem.Date {
	if cell, _, found := r.rec.Get(field); found && cell.Kind != sheet.Date && undecided.MatchString(r.text(field)) {
		r.warn(field, noDate)
		return nil
	}
	return r.date(field)
}

type usualCondition struct {
	name  string
	words []string
}

// conditionWords maps the trade's names of the usual conditions, tried in this order; anything else is kept in the
// sheet's own words.
var conditionWords = []usualCondition{
	{"ceiling_closed", []string{"ceiling", "act grid", "grid"}},
	{"floor_finished", []string{"floor finish", "flooring", "finished floor", "floor covering", "carpet", "floor complete", "floors"}},
	{"power_live", []string{"power", "electric", "energi"}},
	{"walls_boarded", []string{"board", "drywall", "gypsum", "gwb", "walls", "wall finish", "partition", "taped"}},
}

// isUsual reports whether a condition is one of the four that every job has.
func isUsual(condition string) bool {
	return slices.ContainsFunc(conditionWords, func(c usualCondition) bool { return c.name == condition })
}

func conditionOf(text string) string {
	text = blank(text)
	words := sheet.Normalize(text)
	for _, later := range []string{"paint", "tile", "wallpaper", "wallcovering", "wall covering"} {
		if strings.Contains(words, later) { // walls painted is another and later condition than walls boarded
			return text
		}
	}
	if words == "floor" || words == "floor done" {
		return "floor_finished"
	}
	for _, c := range conditionWords {
		for _, w := range c.words {
			if strings.Contains(words, w) {
				return c.name
			}
		}
	}
	return text
}
