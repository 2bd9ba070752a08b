package takeoff

import (
	"errors"
	"fmt"
	"math"
)

// Driver is the quantity that a rate multiplies.
type Driver string

// The drivers.
const (
	PerTask      Driver = "task"           // set-up, once a task
	PerOpening   Driver = "opening"        // survey, order, deliver: openings that share the task
	PerPiece     Driver = "piece"          // deliver: pieces to unload
	PerMetre     Driver = "frame_metre"    // all members of the frame but trim and rail
	PerTrim      Driver = "trim_metre"     // trim
	PerCaulk     Driver = "caulk_metre"    // perimeter sealant
	PerFastener  Driver = "fastener"       // all screws
	PerAnchor    Driver = "anchor"         // on top of the screw: a hole in concrete
	PerLight     Driver = "light"          // fixed lights in the frame, transom lights included
	PerPane      Driver = "pane"           // panes set on site
	PerGlassArea Driver = "glass_m2"       // their area, bite included
	PerGasket    Driver = "gasket_metre"   // both faces
	PerSealant   Driver = "sealant_metre"  // butt joints
	PerLeaf      Driver = "leaf"           // leaves
	PerHardware  Driver = "hardware_point" // pieces of hardware
)

// Drivers returns all drivers, set-up first, in the order in which a breakdown lists them.
func Drivers() []Driver {
	return []Driver{
		PerTask, PerOpening, PerPiece, PerMetre, PerTrim, PerCaulk, PerFastener, PerAnchor, PerLight, PerPane, PerGlassArea,
		PerGasket, PerSealant, PerLeaf, PerHardware,
	}
}

// Rate says how many labour hours one unit of a driver takes in a kind of task. The row of the opening's own type
// replaces the row without a type for the same kind and driver.
type Rate struct {
	Kind   Kind
	Type   Type // "" holds for every type without a row of its own
	Driver Driver
	Hours  float64 // labour hours a unit
	Source string  // where the number comes from, in words
}

// Factor multiplies the hours of a kind of task under a condition. The row of the kind replaces the row without one.
type Factor struct {
	Condition Condition
	Kind      Kind // "" holds for every kind without a row of its own
	Factor    float64
	Source    string
}

// Rates is the company's table. The zero value reads as DefaultRates; a table with any row stands alone.
type Rates struct {
	Rates    []Rate
	Factors  []Factor
	Learning []Learning // none by default: the evidence for learning on building sites is thin
	Accepted []Accepted // learned factors that were taken over, one a kind at most
}

// WithDefaults returns DefaultRates for the zero value and the table itself otherwise.
func (r Rates) WithDefaults() Rates {
	if len(r.Rates) == 0 && len(r.Factors) == 0 {
		d := DefaultRates()
		d.Learning, d.Accepted = r.Learning, r.Accepted
		return d
	}
	return r
}

// Check finds every row that cannot be used: two rows for the same work, or a number that is no rate.
func (r Rates) Check() error {
	var faults []error
	known := map[Driver]bool{}
	for _, d := range Drivers() {
		known[d] = true
	}
	seen := map[Rate]bool{}
	for _, row := range r.Rates {
		key := Rate{Kind: row.Kind, Type: row.Type, Driver: row.Driver}
		switch {
		case !known[row.Driver]:
			faults = append(faults, fmt.Errorf("rate %s: driver %q is not one of %v", key.name(), row.Driver, Drivers()))
		case seen[key]:
			faults = append(faults, fmt.Errorf("rate %s is given twice", key.name()))
		case !isUsable(row.Hours, 0):
			faults = append(faults, fmt.Errorf("rate %s: %v hours a unit; it must be zero or more", key.name(), row.Hours))
		}
		seen[key] = true
	}
	seenFactor := map[Factor]bool{}
	for _, row := range r.Factors {
		key := Factor{Condition: row.Condition, Kind: row.Kind}
		switch {
		case seenFactor[key]:
			faults = append(faults, fmt.Errorf("factor of condition %q for kind %q is given twice", row.Condition, row.Kind))
		case !isUsable(row.Factor, 0.01):
			faults = append(faults, fmt.Errorf("factor of condition %q for kind %q is %v; it must be from 0.01 to %d", row.Condition, row.Kind, row.Factor, mostHours))
		}
		seenFactor[key] = true
	}
	for _, l := range r.Learning {
		faults = append(faults, l.check())
	}
	for _, a := range r.Accepted {
		if !isUsable(a.Factor, 0.01) {
			faults = append(faults, fmt.Errorf("the learned factor of %s is %v; it must be from 0.01 to %d", a.Kind, a.Factor, mostHours))
		}
	}
	return errors.Join(faults...)
}

func (r Rate) name() string {
	return fmt.Sprintf("%s/%s/%s", r.Kind, cmpOr(string(r.Type), "all"), r.Driver)
}

func cmpOr(a, b string) string {
	if a == "" {
		return b
	}
	return a
}

// mostHours bounds rates and factors so that a slip of a decimal point cannot overflow a plan.
const mostHours = 10_000

func isUsable(v, least float64) bool { return !math.IsNaN(v) && v >= least && v <= mostHours }

// rate finds the row for a driver: of the type, else without a type. Tables are short, and callers keep what they found, so a
// walk is enough.
func (r *Rates) rate(kind Kind, t Type, d Driver) (Rate, bool) {
	var general Rate
	found := false
	for _, row := range r.Rates {
		if row.Kind != kind || row.Driver != d {
			continue
		}
		if row.Type == t {
			return row, true
		}
		if row.Type == "" {
			general, found = row, true
		}
	}
	return general, found
}

// factor finds the row for a condition: of the kind, else without a kind.
func (r *Rates) factor(c Condition, kind Kind) (Factor, bool) {
	var general Factor
	found := false
	for _, row := range r.Factors {
		if row.Condition != c {
			continue
		}
		if row.Kind == kind {
			return row, true
		}
		if row.Kind == "" {
			general, found = row, true
		}
	}
	return general, found
}
