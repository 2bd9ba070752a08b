package server

import (
	"strings"

	"jambwright/scheduler/takeoff"
	"jambwright/server/importing"
	"jambwright/web"
	"jambwright/web/elevation"
)

// driverUnit is how many metres or square metres the reader's unit of a driver has: hours a metre times it are hours a unit.
func driverUnit(d takeoff.Driver, f web.Format) float64 {
	return importing.DriverUnit(d, f.Units == web.Metric)
}

// driverWords names one unit of a driver as the reader measures it: "foot of frame", "task (set-up)".
func driverWords(d takeoff.Driver, f web.Format) string {
	return importing.DriverWords(d, f.Units == web.Metric)
}

// driverPlural names many units: "ft of frame".
func driverPlural(d takeoff.Driver, f web.Format) string {
	words := driverWords(d, f)
	short := strings.NewReplacer("square foot", "sq ft", "square metre", "m²", "foot", "ft", "metre", "m").Replace(words)
	if short != words {
		return short
	}
	switch d {
	case takeoff.PerLeaf:
		return "leaves"
	case takeoff.PerHardware:
		return "pieces of hardware"
	case takeoff.PerAnchor:
		return "anchor holes in concrete"
	case takeoff.PerPiece:
		return "bundles, panes or leaves unloaded"
	case takeoff.PerLight:
		return "lights in the frame"
	}
	return words + "s"
}

// typeWords is an opening type as people say it; "" for all.
func typeWords(t takeoff.Type) string {
	if t == "" {
		return ""
	}
	return elevation.Type(t).Name()
}

// workConditionWords is a condition that makes work slower, as people say it.
func workConditionWords(c takeoff.Condition) string {
	switch c {
	case takeoff.Ladder:
		return "from a ladder"
	case takeoff.Lift:
		return "from a platform lift or scaffold"
	case takeoff.Occupied:
		return "occupied space"
	case takeoff.HardDrill:
		return "hard substrate to drill"
	case takeoff.TightAccess:
		return "tight access"
	case takeoff.HeavyDuty:
		return "heavy frames, leaves or hardware"
	}
	return strings.ReplaceAll(string(c), "_", " ")
}

// countedDriver names a number of units of a driver: "1 leaf", "2 leaves", "12.4 ft of frame".
func countedDriver(d takeoff.Driver, n float64, f web.Format) string {
	if n == 1 {
		return driverWords(d, f)
	}
	return driverPlural(d, f)
}
