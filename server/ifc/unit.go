package ifc

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"jambwright/scheduler/length"
)

// siPrefixes are the prefixes of ISO 16739's IfcSIPrefix that a length may carry.
var siPrefixes = map[string]float64{
	"": 1, "NANO": 1e-9, "MICRO": 1e-6, "MILLI": 1e-3, "CENTI": 1e-2, "DECI": 1e-1, "DECA": 1e1, "HECTO": 1e2, "KILO": 1e3,
}

// measure is a unit of length: its size in millimetres and its name for people.
type measure struct {
	millimetres float64
	name        string
}

// unitOf is the size of a unit of length. A conversion (the inch is 25.4 of a millimetre) may lead over others.
func (r *records) unitOf(id uint32, steps int) (measure, error) {
	u, known := r.units[id]
	switch {
	case !known:
		return measure{}, fmt.Errorf("the unit of length #%d is not in the file", id)
	case steps == 0:
		return measure{}, fmt.Errorf("the unit of length #%d is defined by itself", id)
	case u.factor == 0:
		prefix, ok := siPrefixes[u.prefix]
		if u.name != "METRE" || !ok {
			return measure{}, fmt.Errorf("the unit #%d, %s, is no unit of length", id, strings.TrimSpace(u.prefix+" "+u.name))
		}
		return measure{1000 * prefix, strings.ToLower(u.prefix + u.name)}, nil
	}
	by, known := r.units[u.factor]
	if !known || !by.amount.given || by.amount.num <= 0 || math.IsInf(by.amount.num, 0) {
		return measure{}, fmt.Errorf("the unit of length #%d, %s, does not say what it converts to", id, u.name)
	}
	base, err := r.unitOf(by.base, steps-1)
	return measure{base.millimetres * by.amount.num, strings.ToLower(u.name)}, err
}

// mostConversions is how many units a unit may be defined over.
const mostConversions = 8

// fileUnit is the unit that lengths of the file are counted in: that of the project, else the only one that is assigned.
func (r *records) fileUnit() (measure, error) {
	ids := r.assignments[r.projectUses]
	if r.projectUses == 0 && len(r.assignments) == 1 {
		for _, only := range r.assignments {
			ids = only
		}
	}
	for _, id := range ids {
		if u := r.units[id]; u.length {
			return r.unitOf(id, mostConversions)
		}
	}
	return measure{}, fmt.Errorf("the model names no unit of length")
}

// unitFault says that no length of the file can be read.
func (r *records) unitFault(err error) Fault {
	line := max(r.projectLine, 1)
	if lines := slices.Sorted(maps.Keys(r.units)); r.projectLine == 0 && len(lines) > 0 {
		line = r.units[lines[0]].line
	}
	return Fault{Line: line, Message: err.Error(), Remedy: "export the model with its units"}
}

// Steps of rounding. Sizes are not built, nor drawn, finer than this, and floating-point numbers carry noise far below it.
const (
	hundredth = length.Millimetre / 100
	nearInch  = hundredth / 2 // within this of a sixteenth of an inch, it is that sixteenth
)

// lengthOf rounds a number of units to a length. A number that is no size at all gives an error.
func (m measure) lengthOf(n float64) (length.Length, error) {
	mm := n * m.millimetres
	if math.IsNaN(mm) || mm <= 0 || mm > length.Longest.FloatMillimetres() {
		return 0, fmt.Errorf("%v %s is no size", n, m.name)
	}
	return m.round(mm), nil
}

func (m measure) round(mm float64) length.Length {
	exact := length.FromMillimetres(mm)
	if inch := nearest(exact, length.Sixteenth); max(inch-exact, exact-inch) <= nearInch {
		return inch
	}
	return nearest(exact, hundredth)
}

// nearest is the multiple of a step nearest to a length that is not negative.
func nearest(l, step length.Length) length.Length { return (l + step/2) / step * step }
