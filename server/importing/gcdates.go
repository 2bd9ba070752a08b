package importing

import (
	"strings"

	"jambwright/scheduler/length"
)

// readGCDates reads one table of dates the general contractor holds. A date without a name is named by its area and work.
func readGCDates(c *collector, seen map[string]Place) {
	for _, rec := range c.result.Records {
		row := c.row(rec)
		row.orphans(fName, fLevel, fArea, fWork, fDate, fDamages)
		g := GCDateRow{
			Place: row.place, Name: blank(row.text(fName)), Level: firstNonEmpty(whole(row.text(fLevel)), rec.Banner.Level, c.level),
			Area: firstNonEmpty(whole(row.text(fArea)), rec.Banner.Area), DamagesPerDay: row.money(fDamages), Notes: row.joined(fNotes), Raw: rec.Raw(),
		}
		row.gcWork(&g)
		if date := row.date(fDate); date != nil {
			g.Date = *date
		} else if !row.failed {
			row.fault(fDate, "the date is missing", "write it as 2026-11-25")
		}
		if g.Name == "" {
			g.Name = strings.Join(strings.Fields(g.Level+" "+g.Area+" "+string(g.Work)), " ")
		}
		if g.Name == "" && !row.failed {
			row.fault(fName, "the date has no name, level, area or kind of work", "write at least a name")
		}
		if first, twice := seen[g.Key()]; twice && !row.failed {
			row.fault(fName, "a date of this name stands in row "+itoa(first.Row)+inSheet(first.Sheet)+" already", "give each date a name of its own")
		}
		if row.failed {
			c.unread(g.Key())
			continue
		}
		seen[g.Key()] = row.place
		c.gcDates = append(c.gcDates, g)
	}
}

// gcWork reads the kind of work. Of several, or "all", the date holds for all work.
func (r *rowReader) gcWork(g *GCDateRow) {
	text := blank(r.text(fWork))
	switch strings.ToLower(length.Plain(text)) {
	case "", "all", "everything", "all work", "complete", "any", "final completion", "substantial completion":
		return
	}
	kinds, err := readWork(text)
	switch {
	case err != nil:
		r.refuse(fWork, err, workRemedy)
	case len(kinds) == 1:
		g.Work = kinds[0]
	default:
		r.fault(fWork, "a date holds for one kind of work or for all", workRemedy+", or leave the cell empty for all work")
	}
}

// whole turns the ways of saying the whole project into nothing.
func whole(text string) string {
	switch strings.ToLower(text) {
	case "all", "project", "whole project", "entire project", "all levels", "all floors", "whole building", "building", "all areas":
		return ""
	}
	return blank(text)
}
