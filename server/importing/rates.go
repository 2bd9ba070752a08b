package importing

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"jambwright/scheduler/length"
	"jambwright/scheduler/takeoff"
	"jambwright/server/sheet"
)

// RateRow is one row of the company's table of rates. Hours are for one unit of the driver, metres and square metres as the
// planner counts, whatever the sheet is written in.
type RateRow struct {
	Place

	Work   takeoff.Kind
	Type   takeoff.Type // "" for all types
	Driver takeoff.Driver
	Hours  float64
	Source string

	// Condition makes the row a factor on the hours of work, of every kind when Work is ""; it then has neither type nor driver.
	Condition takeoff.Condition
	Factor    float64

	Raw map[string]string
}

var rateHeadings = sheet.Vocabulary{
	{Field: fEach, Names: []string{"for each", "each", "per", "unit", "driver", "quantity", "for", "by", "per unit"}},
	{Field: fWork, Names: []string{"work", "kind of work", "kind", "task", "kind of task", "activity"}, Repeat: sheet.Always},
	{Field: fType, Names: []string{"type", "opening type", "type of opening", "for type"}},
	{Field: fHours, Names: []string{
		"hours", "labour hours", "labor hours", "man hours", "manhours", "mh", "rate", "hours a unit", "hours per unit", "hours each", "labour hours for each", "labor hours for each",
	}},
	{Field: fUnder, Names: []string{"condition", "conditions", "under", "when", "under condition", "circumstance"}},
	{Field: fFactor, Names: []string{"factor", "times", "multiplier", "factor on hours", "hours factor"}},
	{Field: fSource, Names: []string{"source", "where from", "from", "basis", "notes", "remarks", "reference"}},
	{Field: fOther, Names: []string{"no", "id", "status"}, Many: true},
}

// Exact by the international foot of 1959.
const (
	metresAFoot             = 0.3048
	squareMetresASquareFoot = metresAFoot * metresAFoot
)

// DriverUnit is how many metres or square metres a unit of a driver has, in feet or in metres: hours a metre times it are hours
// a unit. It is 1 for what is counted.
func DriverUnit(d takeoff.Driver, metric bool) float64 {
	if metric {
		return 1
	}
	switch d {
	case takeoff.PerMetre, takeoff.PerTrim, takeoff.PerCaulk, takeoff.PerGasket, takeoff.PerSealant:
		return metresAFoot
	case takeoff.PerGlassArea:
		return squareMetresASquareFoot
	}
	return 1
}

// DriverWords names one unit of a driver: "foot of frame", "task (set-up)".
func DriverWords(d takeoff.Driver, metric bool) string {
	run, area := "foot of ", "square foot of "
	if metric {
		run, area = "metre of ", "square metre of "
	}
	switch d {
	case takeoff.PerTask:
		return "task (set-up)"
	case takeoff.PerPiece:
		return "bundle, pane or leaf unloaded"
	case takeoff.PerMetre:
		return run + "frame"
	case takeoff.PerTrim:
		return run + "trim"
	case takeoff.PerCaulk:
		return run + "perimeter sealant"
	case takeoff.PerGasket:
		return run + "gasket"
	case takeoff.PerSealant:
		return run + "butt joint"
	case takeoff.PerGlassArea:
		return area + "glass"
	case takeoff.PerAnchor:
		return "anchor hole in concrete"
	case takeoff.PerLight:
		return "light in the frame"
	case takeoff.PerHardware:
		return "piece of hardware"
	}
	return string(d)
}

// spellings are other ways of writing parts of a driver's words.
var spellings = strings.NewReplacer(
	"linear foot", "foot", "lineal foot", "foot", "lin ft", "foot", "lf", "foot", "sq. ft.", "square foot", "sq ft", "square foot", "sf", "square foot", "sq m", "square metre", "m²", "square metre", "m2", "square metre",
	"meter", "metre", "ft", "foot", "lm", "metre", "set up", "set-up", "setup", "set-up", "(", "", ")", "",
)

// readDriver reads what a rate is for, and how many metres or square metres its unit has.
func readDriver(text string) (takeoff.Driver, float64, error) {
	plain := strings.TrimPrefix(spellings.Replace(strings.ToLower(length.Plain(text))), "per ")
	for _, metric := range []bool{false, true} {
		for _, d := range takeoff.Drivers() {
			words := spellings.Replace(DriverWords(d, metric))
			if plain == words || DriverUnit(d, metric) == 1 && plain == strings.ReplaceAll(string(d), "_", " ") || plain == string(d) && metric {
				return d, DriverUnit(d, metric), nil
			}
		}
	}
	if plain == "set-up" || plain == "task" {
		return takeoff.PerTask, 1, nil
	}
	return "", 0, refuse(driverRemedy(), "it is nothing that rates are for")
}

func driverRemedy() string {
	var words []string
	for _, d := range takeoff.Drivers() {
		words = append(words, DriverWords(d, false))
	}
	return "write one of: " + strings.Join(words, ", ") + "; or metre in place of foot"
}

// readRates reads one table of rates.
func readRates(c *collector, seen map[string]Place) {
	for _, field := range []struct{ name, words string }{{fWork, "Work"}, {fHours, "Hours"}} {
		if !c.has(field.name) {
			c.tableFault("no column holds the "+strings.ToLower(field.words), "name a column "+field.words)
			return
		}
	}
	for _, rec := range c.result.Records {
		row := c.row(rec)
		row.orphans(fWork, fType, fEach, fHours)
		r := RateRow{Place: row.place, Source: row.joined(fSource), Raw: rec.Raw()}
		if blank(row.text(fUnder)) != "" {
			row.conditionFactor(&r)
		} else {
			row.rate(&r)
		}
		if first, twice := seen[r.Key()]; twice && !row.failed {
			row.fault(fEach, "this rate stands in row "+itoa(first.Row)+inSheet(first.Sheet)+" already", "keep one row for each kind of work, type and unit")
		}
		if row.failed {
			c.unread(r.Key())
			continue
		}
		seen[r.Key()] = row.place
		c.rates = append(c.rates, r)
	}
}

// rate reads a row of hours.
func (r *rowReader) rate(row *RateRow) {
	r.rateFor(row)
	unit := r.rateDriver(row)
	if hours, ok := r.rateHours(); ok && unit > 0 {
		row.Hours = hours / unit
	}
}

// Bounds of a factor, so that a slip of a decimal point is met here.
const leastFactor, mostFactor = 0.5, 4

var conditionCode = regexp.MustCompile(`^[a-z][a-z0-9_]{0,39}$`)

// ReadCondition reads the name of a condition: "Occupied" and "tight access" are the conditions occupied and tight_access.
func ReadCondition(text string) (takeoff.Condition, bool) {
	code := strings.NewReplacer(" ", "_", "-", "_").Replace(strings.Join(strings.Fields(strings.ToLower(text)), " "))
	return takeoff.Condition(code), conditionCode.MatchString(code)
}

// ReadFactor reads a factor of a condition.
func ReadFactor(text string) (float64, bool) {
	v, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(text), ",", "."), 64)
	return v, err == nil && v >= leastFactor && v <= mostFactor
}

// conditionFactor reads a row of a condition. It is for every kind of work unless one is named, and for all types.
func (r *rowReader) conditionFactor(row *RateRow) {
	var ok bool
	if row.Condition, ok = ReadCondition(blank(r.text(fUnder))); !ok {
		r.fault(fUnder, "it is no name of a condition", "write a few plain words, such as occupied or night work")
	}
	if row.Factor, ok = ReadFactor(blank(r.text(fFactor))); !ok {
		r.fault(fFactor, "it is no factor from 0.5 to 4", "write what the hours are multiplied by, such as 1.2 for a fifth more")
	}
	text := strings.ToLower(blank(r.text(fWork)))
	if slices.Contains([]string{"", "all", "all work", "any", "every kind"}, text) {
		return
	}
	kinds, err := readWork(text)
	if err != nil || len(kinds) != 1 {
		r.fault(fWork, "a factor is for one kind of work or for all work", workRemedy+", or all work")
		return
	}
	row.Work = kinds[0]
}

// rateFor reads the kind of work and the type of opening; no type, or all, is every type.
func (r *rowReader) rateFor(row *RateRow) {
	kinds, err := readWork(blank(r.text(fWork)))
	switch {
	case err != nil:
		r.refuse(fWork, err, workRemedy)
	case len(kinds) != 1:
		r.fault(fWork, "a rate is for one kind of work", workRemedy)
	default:
		row.Work = kinds[0]
	}
	text := blank(r.text(fType))
	if slices.Contains([]string{"", "all", "all types", "any", "every type"}, strings.ToLower(text)) {
		return
	}
	for _, t := range takeoff.Types() {
		if strings.EqualFold(text, string(t)) {
			row.Type = t
			return
		}
	}
	reading, err := readType(text)
	if err != nil {
		r.refuse(fType, err, knownTypes+", or leave the cell empty for all types")
		return
	}
	row.Type = reading.kind
}

func (r *rowReader) rateDriver(row *RateRow) (unit float64) {
	driver, unit, err := readDriver(blank(r.text(fEach)))
	if err != nil {
		r.refuse(fEach, err, driverRemedy())
		return 0
	}
	row.Driver = driver
	return unit
}

// mostHours bounds a rate so that a slip of a decimal point is met here and not in a plan.
const mostHours = 10_000

func (r *rowReader) rateHours() (float64, bool) {
	text := strings.ToLower(blank(r.text(fHours)))
	for _, unit := range []string{"hours", "hrs", "hr", "mh", "h"} {
		text = strings.TrimSpace(strings.TrimSuffix(text, unit))
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64)
	if err != nil || !(v >= 0 && v <= mostHours) {
		r.fault(fHours, "it is no number of hours from 0 to 10,000", "write labour hours for one unit, such as 0.25")
		return 0, false
	}
	return v, true
}

// RateSheet writes rates as a sheet that reads back as the same rates, in feet or metres.
func RateSheet(rates []RateRow, metric bool) [][]string {
	rows := [][]string{{"Work", "Type", "For each", "Hours", "Condition", "Factor", "Source"}}
	for _, r := range rates {
		if r.Condition != "" {
			work := firstNonEmpty(string(r.Work), "all work")
			rows = append(rows, []string{
				work, "all types", "", "", strings.ReplaceAll(string(r.Condition), "_", " "), strconv.FormatFloat(r.Factor, 'g', 8, 64), r.Source,
			})
			continue
		}
		t := "all types"
		if r.Type != "" {
			t = strings.ReplaceAll(string(r.Type), "_", " ")
		}
		if r.Type == takeoff.DoorFrame {
			t = "door and frame"
		}
		hours := strconv.FormatFloat(r.Hours*DriverUnit(r.Driver, metric), 'g', 8, 64)
		rows = append(rows, []string{string(r.Work), t, DriverWords(r.Driver, metric), hours, "", "", r.Source})
	}
	return rows
}

// standardRates is the table that everybody starts from.
func standardRates() (rows []RateRow) {
	for _, r := range takeoff.DefaultRates().Rates {
		rows = append(rows, RateRow{Work: r.Kind, Type: r.Type, Driver: r.Driver, Hours: r.Hours, Source: r.Source})
	}
	for _, f := range takeoff.DefaultRates().Factors {
		rows = append(rows, RateRow{Work: f.Kind, Condition: f.Condition, Factor: f.Factor, Source: f.Source})
	}
	return rows
}

var rateFields = []field[RateRow]{
	shown("work", false, func(r *RateRow) *takeoff.Kind { return &r.Work }, func(k takeoff.Kind) string { return string(k) }),
	shown("type", false, func(r *RateRow) *takeoff.Type { return &r.Type }, func(t takeoff.Type) string { return string(t) }),
	shown("for each", false, func(r *RateRow) *takeoff.Driver { return &r.Driver }, func(d takeoff.Driver) string { return DriverWords(d, true) }, fEach),
	shown("condition", false, func(r *RateRow) *takeoff.Condition { return &r.Condition }, func(c takeoff.Condition) string { return strings.ReplaceAll(string(c), "_", " ") }, fUnder),
	shown("factor", false, func(r *RateRow) *float64 { return &r.Factor }, showRate, fFactor),
	shown("hours", false, func(r *RateRow) *float64 { return &r.Hours }, showRate),
	words("source", false, func(r *RateRow) *string { return &r.Source }),
}

// showRate shows hours to six digits, so that a rate that went through feet is still the same.
func showRate(hours float64) string { return fmt.Sprintf("%.6g", hours) }

// comparedRates are the stored rows that a sheet speaks of: one without a column of conditions says nothing of their factors.
func comparedRates(stored []RateRow, s *Sheet) []RateRow {
	if s.Has(fUnder) {
		return stored
	}
	return slices.DeleteFunc(slices.Clone(stored), func(r RateRow) bool { return r.Condition != "" })
}
