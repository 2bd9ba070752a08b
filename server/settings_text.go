package server

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"jambwright/scheduler/length"
	"jambwright/scheduler/takeoff"
	"jambwright/web"
)

// text writes a stored number in the reader's units.
func (s *setting) text(v float64, f web.Format) string {
	metric := f.Units == web.Metric
	switch s.measure {
	case asLength:
		if l := length.Length(v); metric || !l.IsWholeSixteenths() { // glass is made to whole millimetres
			return l.Millimetres() + " mm"
		}
		return strings.TrimPrefix(strings.TrimPrefix(length.Length(v).FeetInches(), "0'-"), "0 ")
	case asWeight:
		if metric {
			return short(v/1000, 2) + " kg"
		}
		return short(v/pound, 1) + " lb"
	case asArea:
		if metric {
			return short(takeoff.Area(v).SquareMetres(), 3) + " m²"
		}
		return short(takeoff.Area(v).SquareFeet(), 2) + " sq ft"
	case asHours:
		return short(v/60, 2) + " h"
	}
	return short(v, 4)
}

// short writes a number to so many places at most.
func short(v float64, places int) string {
	scale := math.Pow10(places)
	return strconv.FormatFloat(math.Round(v*scale)/scale, 'f', -1, 64)
}

// numberIn reads a plain number in a range; the message says what would do.
func numberIn(text string, least, most float64) (v float64, message string) {
	v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || math.IsNaN(v) || v < least || v > most {
		return 0, fmt.Sprintf("Write a number from %s to %s.", amount(least), amount(most))
	}
	return v, ""
}

func amount(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// read reads what a person wrote; the message says what would do.
func (s *setting) read(text string, f web.Format) (v float64, message string) {
	v, err := s.parse(strings.TrimSpace(text), f)
	const hair = 1e-3 // the ends are told in the reader's units, rounded
	if err != nil || math.IsNaN(v) || v < s.least*(1-hair) || v > s.most*(1+hair) {
		return 0, fmt.Sprintf("“%s” will not do here. Write from %s to %s.", text, s.text(s.least, f), s.text(s.most, f))
	}
	if s.measure == asCount && v != math.Trunc(v) {
		return 0, fmt.Sprintf("“%s” is no whole number.", text)
	}
	return v, ""
}

func (s *setting) parse(text string, f web.Format) (float64, error) {
	if s.measure == asLength {
		bare := length.Inch
		if f.Units == web.Metric {
			bare = length.Millimetre
		}
		l, err := length.Parse(text, bare)
		return float64(l), err
	}
	plain, unit := strings.ToLower(strings.ReplaceAll(text, ",", ".")), 1.0
	for _, known := range s.units(f) {
		if rest, found := strings.CutSuffix(plain, known.name); found {
			plain, unit = rest, known.size
			break
		}
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(plain), 64)
	if s.measure == asFactor || s.measure == asCount {
		return v * unit, err
	}
	return math.Round(v * unit), err
}

// unitName is a unit that a number may be written with, in stored units; the one without a name holds for bare numbers.
type unitName struct {
	name string
	size float64
}

func (s *setting) units(f web.Format) []unitName {
	var list []unitName
	switch s.measure {
	case asWeight:
		list = []unitName{{"lb", pound}, {"kg", 1000}}
	case asArea:
		list = []unitName{{"sq ft", float64(takeoff.SquareFoot)}, {"m²", float64(takeoff.SquareMetre)}}
	case asHours:
		return []unitName{{"h", 60}, {"", 60}}
	default:
		return nil
	}
	own := 0
	if f.Units == web.Metric {
		own = 1
	}
	return append(list, unitName{"m2", float64(takeoff.SquareMetre)}, unitName{"", list[own].size})
}
