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

// date reads a date column; an empty cell is no date.
func (r *rowReader) date(field string) *problem.Date {
	cell, _, found := r.rec.Get(field)
	if !found || cell.Kind != sheet.Date && blank(r.text(field)) == "" {
		return nil
	}
	d, err := parseDate(cell, r.order)
	if err != nil {
		r.refuse(field, err, "write it as 2026-11-25, 25 Nov 2026 or November 25, 2026")
		return nil
	}
	return &d
}

var moneyText = regexp.MustCompile(`^(?:us)?\$?\s*(\d{1,3}(?:,\d{3})+|\d+)(\.\d+|,\d{2})?\s*(k)?\s*(?:usd|\$)?\s*(?:/|per|a|an)?\s*(?:h|hr|hour|d|day|calendar day|cal day|cd)?\.?$`)

// money reads $1,200.00 and 1200/day; an empty cell is none.
func (r *rowReader) money(field string) *float64 {
	text := blank(r.text(field))
	if text == "" {
		return nil
	}
	m := moneyText.FindStringSubmatch(strings.ToLower(text))
	if m == nil {
		r.fault(field, "it is no amount of money", "write it as 1200 or $1,200.00")
		return nil
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(m[1], ",", "")+strings.ReplaceAll(m[2], ",", "."), 64)
	if err != nil {
		r.fault(field, "it is no amount of money", "write it as 1200 or $1,200.00")
		return nil
	}
	if m[3] != "" {
		v *= 1000
	}
	return &v
}

// smallNumbers are the numbers that people spell out.
var smallNumbers = map[string]string{
	"one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7", "eight": "8", "nine": "9", "ten": "10",
}

var countText = regexp.MustCompile(`^(\d{1,3})(?:\.0+)?\s*(?:heads?|people|persons?|men|hands?|workers?|installers?)?$`)

// count reads a whole number from least to most.
func (r *rowReader) count(field string, least, most int, remedy string) int {
	text := strings.ToLower(r.text(field))
	if first, rest, _ := strings.Cut(text, " "); smallNumbers[first] != "" {
		text = strings.TrimSpace(smallNumbers[first] + " " + rest)
	}
	m := countText.FindStringSubmatch(text)
	if m == nil || number(m[1]) < least || number(m[1]) > most {
		r.fault(field, "it is no whole number from "+strconv.Itoa(least)+" to "+strconv.Itoa(most), remedy)
		return 0
	}
	return number(m[1])
}

// workWords maps what people call the kinds of task.
var workWords = map[string]takeoff.Kind{
	"survey": takeoff.Survey, "surveying": takeoff.Survey, "measure": takeoff.Survey, "measuring": takeoff.Survey, "field measure": takeoff.Survey, "field measuring": takeoff.Survey, "measurement": takeoff.Survey, "layout": takeoff.Survey,
	"order": takeoff.Order, "ordering": takeoff.Order, "purchasing": takeoff.Order,
	"deliver": takeoff.Deliver, "delivery": takeoff.Deliver, "deliveries": takeoff.Deliver, "unloading": takeoff.Deliver, "distribution": takeoff.Deliver,
	"frame": takeoff.Frame, "framing": takeoff.Frame, "frames": takeoff.Frame, "set frames": takeoff.Frame, "frame setting": takeoff.Frame, "install frames": takeoff.Frame, "frames set": takeoff.Frame, "frame installation": takeoff.Frame, "framed": takeoff.Frame,
	"glaze": takeoff.Glaze, "glazing": takeoff.Glaze, "glazier": takeoff.Glaze, "glaziers": takeoff.Glaze, "glass": takeoff.Glaze, "glazed": takeoff.Glaze, "glass installation": takeoff.Glaze,
	"hang": takeoff.Hang, "hanging": takeoff.Hang, "door hanging": takeoff.Hang, "doors": takeoff.Hang, "hang doors": takeoff.Hang, "hardware": takeoff.Hang, "doors and hardware": takeoff.Hang, "hung": takeoff.Hang, "doors hung": takeoff.Hang,
	"punch": takeoff.Punch, "punch list": takeoff.Punch, "punchlist": takeoff.Punch, "punching": takeoff.Punch, "snag": takeoff.Punch, "snagging": takeoff.Punch, "punched": takeoff.Punch, "punch out": takeoff.Punch, "final": takeoff.Punch,
}

const workRemedy = "write survey, order, deliver, frame, glaze, hang or punch"

// finished are words that say of work what its date says anyway.
var finished = regexp.MustCompile(`\b(?:100 ?%|complete[d]?|completion|done|finished|work|crew|install(?:ed|ation)?)`)

var workSplit = regexp.MustCompile(`\s*(?:[,;/+&|\n]|\band\b|\bthen\b)\s*`)

// readWork reads a list of kinds of task, in the order of takeoff.Kinds.
func readWork(text string) ([]takeoff.Kind, error) {
	lower := strings.ToLower(length.Plain(text))
	if lower == "all" || lower == "everything" || lower == "any" || lower == "full" {
		return []takeoff.Kind{takeoff.Survey, takeoff.Frame, takeoff.Glaze, takeoff.Hang, takeoff.Punch}, nil
	}
	if kind, ok := workWords[lower]; ok { // doors and hardware: one phrase
		return []takeoff.Kind{kind}, nil
	}
	found := map[takeoff.Kind]bool{}
	for _, part := range workSplit.Split(lower, -1) {
		part = strings.Trim(finished.ReplaceAllString(part, ""), " .()")
		if part == "" {
			continue
		}
		kind, ok := workWords[part]
		if !ok {
			return nil, refuse(workRemedy, "%q is no kind of work", part)
		}
		found[kind] = true
	}
	return slices.DeleteFunc(takeoff.Kinds(), func(k takeoff.Kind) bool { return !found[k] }), nil
}
