package importing

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"jambwright/scheduler/length"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
	"jambwright/server/sheet"
)

// crewReader reads the records of one table of crews.
type crewReader struct {
	*collector
	at map[string]int // position in crews by lower-case name
}

func readCrews(c *collector, _ map[string]Place) {
	r := crewReader{collector: c, at: map[string]int{}}
	if !c.has(fHeads) {
		c.tableFault("no column holds the number of people", "name a column Heads")
		return
	}
	if !c.has(fSkills) && !c.hasAny("survey", "frame", "glaze", "hang", "punch") {
		c.tableFault("no column holds what the crews can do", "name a column Skills; "+workRemedy)
		return
	}
	for _, rec := range c.result.Records {
		r.record(rec)
	}
}

// record reads one row. A further row of a crew may only add absences.
func (r *crewReader) record(rec sheet.Record) {
	row := r.row(rec)
	row.orphans(fName, fForeman, fHeads, fSkills, fHomeSite, fSites, fCalendar, fShift, fStart, fFinishTime, fCost, fProductivity, fAway, fAwayFrom, fAwayTo)
	name := row.text(fName)
	if blank(name) == "" {
		row.fault(fName, "the crew's name is missing", "write the crew's name")
	}
	away := row.away()
	first, further := r.at[strings.ToLower(name)]
	if further && row.text(fHeads) == "" && row.text(fSkills) == "" {
		if row.failed {
			r.unread(name)
			return
		}
		r.crews[first].Away = append(r.crews[first].Away, away...)
		return
	}
	if further {
		row.fault(fName, "the crew stands in row "+strconv.Itoa(r.crews[first].Row)+" already", "keep one row a crew; further rows may only add absences")
	}
	crew := CrewRow{
		Place: row.place, Name: name, Foreman: blank(row.text(fForeman)), HomeSite: anywhere(row.text(fHomeSite)),
		Sites: list(anywhere(row.text(fSites))), Calendar: blank(row.text(fCalendar)), Notes: row.joined(fNotes), Raw: rec.Raw(), Away: away,
		Heads: row.count(fHeads, 1, 99, "write how many people the crew has"), Skills: row.skills(), CostPerHour: row.money(fCost),
		Shift: row.shift(), Productivity: row.factor(fProductivity),
	}
	if row.failed {
		r.unread(name)
		return
	}
	r.at[strings.ToLower(name)] = len(r.crews)
	r.crews = append(r.crews, crew)
}

// skills reads the skills column and the columns that have a mark for each kind of task.
func (r *rowReader) skills() []takeoff.Kind {
	kinds, err := readWork(blank(r.text(fSkills)))
	if err != nil {
		r.refuse(fSkills, err, workRemedy)
		return nil
	}
	for _, kind := range takeoff.Kinds() {
		switch strings.ToLower(blank(r.text(string(kind)))) {
		case "", "no", "n", "false", "0":
		case "x", "y", "yes", "true", "1", "✓", "✔", "•":
			if !slices.Contains(kinds, kind) {
				kinds = append(kinds, kind)
			}
		default:
			r.fault(string(kind), "it is neither yes nor no", "write x, or leave the cell empty")
		}
	}
	if len(kinds) == 0 && !r.failed {
		r.fault(fSkills, "the crew has no skill", workRemedy)
	}
	return slices.DeleteFunc(takeoff.Kinds(), func(k takeoff.Kind) bool { return !slices.Contains(kinds, k) })
}

// closeSpan is two dates with slashes joined by a dash without spaces.
var closeSpan = regexp.MustCompile(`^(\d{1,2}/\d{1,2}/\d{2,4})\s*[-–]\s*(\d{1,2}/\d{1,2}/\d{2,4})$`)

var rangeSplit = regexp.MustCompile(`\s*(?:\bto\b|\bthru\b|\bthrough\b|\buntil\b|–|—|\s-\s|\.\.)\s*`)

// away reads absences: a pair of columns, or one column with dates and spans parted by commas or semicolons.
func (r *rowReader) away() []Away {
	var all []Away
	from, to := r.date(fAwayFrom), r.date(fAwayTo)
	switch {
	case from != nil && to != nil:
		all = append(all, Away{*from, *to})
	case from != nil:
		all = append(all, Away{*from, *from})
	case to != nil && !r.failed:
		r.fault(fAwayFrom, "the absence has an end and no beginning", "write the first day away")
	}
	cell, _, found := r.rec.Get(fAway)
	if found && blank(cell.Text) != "" && cell.Kind != sheet.Orphan {
		for _, span := range strings.FieldsFunc(cell.Text, func(c rune) bool { return c == ';' || c == '\n' }) {
			if a, ok := r.span(span, cell.Kind); ok {
				all = append(all, a)
			}
		}
	}
	for _, a := range all {
		if a.To.String() < a.From.String() {
			r.fault(r.firstOf(fAwayTo, fAway), "the absence ends before it begins", "correct the one or the other date")
		}
	}
	return all
}

func (r *rowReader) span(text string, kind sheet.CellKind) (Away, bool) {
	parts := []string{text}
	if kind != sheet.Date {
		parts = rangeSplit.Split(strings.TrimSpace(text), -1)
	}
	if m := closeSpan.FindStringSubmatch(strings.TrimSpace(text)); m != nil {
		parts = m[1:]
	}
	var dates []problem.Date
	order := r.order
	for _, p := range parts {
		if o := orderOf(p); order == DateOrderUnknown {
			order = o // both ends of a span are written alike
		}
	}
	for _, p := range parts {
		d, err := parseDate(sheet.Cell{Text: p, Kind: kind}, order)
		if err != nil {
			r.refuse(fAway, err, "write 2026-11-25, or 2026-11-25 to 2026-11-27, with semicolons between absences")
			return Away{}, false
		}
		dates = append(dates, d)
	}
	return Away{dates[0], dates[len(dates)-1]}, true
}

var (
	clockText = regexp.MustCompile(`^(\d{1,2})(?::?(\d{2}))?\s*(a|p|am|pm|a\.m\.|p\.m\.)?$`)
	clockCell = regexp.MustCompile(`^0?\.\d+$`) // a time of day in a workbook is a fraction of a day
)

// shift reads 07:00-15:30, 7am to 3:30pm, or the columns start and finish.
func (r *rowReader) shift() Shift {
	field, from, to := fShift, "", ""
	if text := blank(r.text(fShift)); text != "" {
		parts := regexp.MustCompile(`\s*(?:-|\bto\b|–)\s*`).Split(strings.ToLower(length.Plain(text)), -1)
		if len(parts) != 2 {
			r.fault(fShift, "it is no shift", "write it as 07:00-15:30")
			return Shift{}
		}
		from, to = parts[0], parts[1]
	} else if blank(r.text(fStart)) != "" || blank(r.text(fFinishTime)) != "" {
		field, from, to = fStart, strings.ToLower(r.text(fStart)), strings.ToLower(r.text(fFinishTime))
	} else {
		return Shift{}
	}
	start, ok1 := clock(from)
	finish, ok2 := clock(to)
	if ok1 && ok2 && finish <= start && finish < 12*60 && !strings.Contains(to, "a") && !strings.Contains(to, ":") {
		ok2 = false // 7-3 may be until 3 in the afternoon or in the night
	}
	if !ok1 || !ok2 || start == finish {
		r.fault(field, "it is no shift, or its end can be read in two ways", "write it as 07:00-15:30")
		return Shift{}
	}
	if finish < start {
		finish += 24 * 60
	}
	return Shift{start, finish}
}

func clock(text string) (minutes int, ok bool) {
	if clockCell.MatchString(text) {
		f, err := strconv.ParseFloat(text, 64)
		return int(f*24*60 + 0.5), err == nil
	}
	m := clockText.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil || number(m[1]) > 24 || number(m[2]) > 59 {
		return 0, false
	}
	hour := number(m[1])
	switch {
	case strings.HasPrefix(m[3], "p") && hour < 12:
		hour += 12
	case strings.HasPrefix(m[3], "a") && hour == 12:
		hour = 0
	}
	return hour*60 + number(m[2]), hour <= 24
}

// factor reads 1.1 and 110 %.
func (r *rowReader) factor(field string) *float64 {
	text := blank(r.text(field))
	if text == "" {
		return nil
	}
	digits, percent := strings.CutSuffix(text, "%")
	v, err := strconv.ParseFloat(strings.TrimSpace(digits), 64)
	if percent {
		v /= 100
	}
	if err != nil || !(v >= 0.1 && v <= 5) {
		r.fault(field, "it is no factor from 0.1 to 5", "write 1 for the company's rate, 1.1 for a tenth faster, or a percentage")
		return nil
	}
	return &v
}

// anywhere turns the ways of saying every site into nothing.
func anywhere(text string) string {
	switch strings.ToLower(text) {
	case "any", "all", "all sites", "anywhere", "float", "floating", "various":
		return ""
	}
	return blank(text)
}

func list(text string) []string {
	var items []string
	for _, item := range regexp.MustCompile(`\s*[,;|\n]\s*`).Split(text, -1) {
		if item = strings.TrimSpace(item); blank(item) != "" && !slices.Contains(items, item) {
			items = append(items, item)
		}
	}
	return items
}
