package importing

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/server/sheet"
)

// readSuppliers reads one table of suppliers and lead times, one row for each supplier or for each item of one.
func readSuppliers(c *collector, seen map[string]Place) {
	if !c.hasAny(fLeast, fLikely, fMost) {
		c.tableFault("no column holds a lead time", "name the columns Lead days least, Lead days likely, Lead days most, or one column Lead time")
		return
	}
	for _, rec := range c.result.Records {
		row := c.row(rec)
		row.orphans(fName, fItems, fLeast, fLikely, fMost, fBasis, fCalendar, fDays)
		s := SupplierRow{
			Place: row.place, Name: blank(row.text(fName)), Items: row.items(), Lead: row.lead(), OrderBasis: row.basis(),
			Calendar: blank(row.text(fCalendar)), Contact: row.joined(fContact), Notes: row.joined(fNotes), Raw: rec.Raw(),
		}
		if s.Name == "" {
			row.fault(fName, "the supplier's name is missing", "write the supplier's name")
		}
		first, twice := seen[s.Key()]
		if twice && !row.failed {
			row.fault(fName, "this supplier and item stand in row "+itoa(first.Row)+inSheet(first.Sheet)+" already", "keep one row for each supplier and item")
		}
		if row.failed {
			c.unread(s.Key())
			continue
		}
		seen[s.Key()] = row.place
		c.suppliers = append(c.suppliers, s)
	}
}

func itoa(n int) string { return strconv.Itoa(n) }

// itemWords maps what suppliers supply, tried in this order.
var itemWords = []struct {
	item  string
	words []string
}{
	{"hardware", []string{"hardware", "hdw", "lock", "hinge", "closer"}},
	{"glass", []string{"glass", "glazing", "lite", "igu", "pane"}},
	{"leaf", []string{"leaf", "leaves", "door", "slab"}},
	{"frame_kit", []string{"frame", "framing", "aluminum", "kit", "extrusion", "mullion", "channel"}},
}

// items reads a list of materials. "Door frames" is frames: the last word that fits decides, as the noun stands last.
func (r *rowReader) items() []string {
	text := blank(r.text(fItems))
	lower := strings.ToLower(length.Plain(text))
	if lower == "" || lower == "all" || lower == "everything" {
		return nil
	}
	var items []string
	for _, part := range workSplit.Split(lower, -1) {
		best, at := "", -1
		for _, i := range itemWords {
			for _, w := range i.words {
				if p := strings.LastIndex(part, w); p > at {
					best, at = i.item, p
				}
			}
		}
		switch {
		case strings.TrimSpace(part) == "":
		case best == "":
			r.fault(fItems, strconv.Quote(part)+" is no material of an opening", "write frame kits, glass, door leaves or hardware")
		case !slices.Contains(items, best):
			items = append(items, best)
		}
	}
	// In the order of pattern.Items, so that the same list in another order is the same row.
	slices.SortFunc(items, func(a, b string) int {
		order := pattern.Items()
		return slices.Index(order, pattern.Item(a)) - slices.Index(order, pattern.Item(b))
	})
	return items
}

var leadText = regexp.MustCompile(`^(\d{1,3}(?:\.\d)?)\s*(?:(?:-|to|–|/)\s*(\d{1,3}(?:\.\d)?))?\s*([a-z. ]*)\+?$`)

// leadUnits are the words that tell what a lead time counts.
var leadUnits = regexp.MustCompile(`\b(?:days?|d|wd|bd|cd|weeks?|wks?|w|working|business|calendar)\b`)

// leadPart is one lead time as written, in days, a span having two ends.
type leadPart struct {
	least, most  int
	calendarDays bool
}

// lead reads the three columns, or the one, or a span such as 6-8 weeks. Missing parts follow from the others: a single
// figure stands for all three, the likely one of a span lies in its middle, rounded up.
func (r *rowReader) lead() LeadTime {
	var lead LeadTime
	days := sheet.Normalize(r.text(fDays))
	least, hasLeast := r.leadCell(fLeast, days)
	likely, hasLikely := r.leadCell(fLikely, days)
	most, hasMost := r.leadCell(fMost, days)
	if r.failed {
		return lead
	}
	switch {
	case !hasLeast && !hasLikely && !hasMost:
		r.fault(r.firstOf(fLikely, fLeast, fMost), "the lead time is missing", "write it as 15 days or 3 weeks")
		return lead
	case hasLikely:
		lead = LeadTime{Least: likely.least, Likely: (likely.least + likely.most + 1) / 2, Most: likely.most}
	case hasLeast && hasMost:
		lead.Likely = (least.least + most.most + 1) / 2
	case hasLeast:
		lead = LeadTime{Least: least.least, Likely: (least.least + least.most + 1) / 2, Most: least.most}
	default:
		lead = LeadTime{Least: most.least, Likely: (most.least + most.most + 1) / 2, Most: most.most}
	}
	if hasLeast {
		lead.Least = least.least
	}
	if hasMost {
		lead.Most = most.most
	}
	lead.CalendarDays = least.calendarDays || likely.calendarDays || most.calendarDays
	if lead.Least > lead.Likely || lead.Likely > lead.Most {
		r.fault(r.firstOf(fLeast, fLikely, fMost), "least, likely and most lead time do not ascend: "+itoa(lead.Least)+", "+itoa(lead.Likely)+", "+itoa(lead.Most), "write the shortest first")
	}
	return lead
}

func (r *rowReader) firstOf(fields ...string) string {
	for _, f := range fields {
		if r.has(f) {
			return f
		}
	}
	return fields[0]
}

// leadCell reads one lead time. The unit stands in the cell, else in the heading, else in a column of units, else it is
// working days. A week is five working days, or seven calendar days where the sheet counts those; a month is refused.
func (r *rowReader) leadCell(field, daysColumn string) (p leadPart, found bool) {
	text := blank(r.text(field))
	if text == "" {
		return p, false
	}
	cell, column, _ := r.rec.Get(field)
	m := leadText.FindStringSubmatch(strings.ToLower(length.Plain(text)))
	if m == nil || cell.Kind == sheet.Date {
		r.fault(field, "it is no lead time", "write it as 15 days, 3 weeks or 6-8 weeks")
		return p, true
	}
	factor, calendar, ok := leadUnit(m[3], sheet.Normalize(column.Heading)+" "+daysColumn)
	if !ok {
		r.fault(field, "the unit of the lead time is not days or weeks", "write it as 15 days, 3 weeks or 6-8 weeks")
		return p, true
	}
	if !leadUnits.MatchString(m[3] + " " + sheet.Normalize(column.Heading) + " " + daysColumn) {
		r.warn(field, "no unit is given; it is read as working days")
	}
	p.calendarDays = calendar
	p.least = daysOf(m[1], factor)
	p.most = p.least
	if m[2] != "" {
		p.most = daysOf(m[2], factor)
	}
	return p, true
}

func leadUnit(written, around string) (factor float64, calendar, ok bool) {
	words := " " + sheet.Normalize(written) + " "
	all := words + sheet.Normalize(around) + " "
	calendar = strings.Contains(all, "calendar") || strings.Contains(all, " cd ") || strings.Contains(all, " cal ")
	week := 5.0
	if calendar {
		week = 7
	}
	has := func(text string, any ...string) bool {
		for _, w := range any {
			if strings.Contains(text, " "+w+" ") {
				return true
			}
		}
		return false
	}
	weekWords := []string{"week", "weeks", "wk", "wks", "w"}
	dayWords := []string{"day", "days", "d", "wd", "cd", "bd"}
	switch {
	case has(words, weekWords...):
		return week, calendar, true
	case has(words, dayWords...):
		return 1, calendar, true
	case strings.TrimSpace(words) != "":
		return 0, false, false
	case has(" "+around+" ", weekWords...):
		return week, calendar, true
	}
	return 1, calendar, true
}

func daysOf(text string, factor float64) int {
	v, _ := strconv.ParseFloat(text, 64)
	return int(v*factor + 0.9999) // part of a day counts as a day
}

func (r *rowReader) basis() string {
	text := blank(r.text(fBasis))
	words := sheet.Normalize(text)
	switch {
	case text == "":
		return ""
	case strings.Contains(words, "drawing"), strings.Contains(words, "plan"), strings.Contains(words, "shop"):
		return "drawings"
	case strings.Contains(words, "after fram"), strings.Contains(words, "frame"), strings.Contains(words, "framing"):
		return "after_framing"
	case strings.Contains(words, "survey"), strings.Contains(words, "field"), strings.Contains(words, "measure"), strings.Contains(words, "site"):
		return "survey"
	}
	r.fault(fBasis, "it is no order basis", "write drawings, survey or after framing")
	return ""
}
