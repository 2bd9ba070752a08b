package takeoff

// Basis is all that the hours of one task hang on: what a finished task is remembered by, so that its hours can be held against
// any table of rates, also after the opening was changed or its project closed.
type Basis struct {
	Type       Type               `json:"type,omitempty"`
	Quantities map[Driver]float64 `json:"quantities,omitempty"` // lengths in metres, areas in square metres; drivers with nothing are left out
	Conditions []Condition        `json:"conditions,omitempty"`
	Unit       int                `json:"unit,omitempty"` // how many like it were done by then, this one included; 0 reads as 1
}

// IsKnown reports whether the basis holds any quantity.
func (b Basis) IsKnown() bool { return len(b.Quantities) > 0 }

// Basis is what the hours of a task on the opening hang on, unit as Rates.Hours takes it. It shares no memory with the takeoff.
func (t *Takeoff) Basis(unit int) Basis {
	b := Basis{Type: t.Type, Quantities: map[Driver]float64{}, Conditions: append([]Condition(nil), t.Conditions...), Unit: unit}
	for _, d := range Drivers() {
		if q := t.Quantity(d); q != 0 {
			b.Quantities[d] = q
		}
	}
	return b
}

// SharedBasis is what the hours of a task that several openings share hang on: their number, and the pieces that are carried.
func SharedBasis(openings, pieces int) Basis {
	b := Basis{Quantities: map[Driver]float64{PerTask: 1}}
	for d, n := range map[Driver]int{PerOpening: openings, PerPiece: pieces} {
		if n > 0 {
			b.Quantities[d] = float64(n)
		}
	}
	return b
}

// HoursOn works out a kind of task from its basis: the same number as Hours on the takeoff that the basis was made from, or as
// SharedHours.
func (r *Rates) HoursOn(kind Kind, b Basis) Breakdown {
	if kind.IsShared() {
		return r.SharedHours(kind, b)
	}
	return r.hours(kind, b.Type, func(d Driver) float64 { return b.Quantities[d] }, b.Conditions, b.Unit)
}

// Accepted is a learned factor that a person took over for planning: hours of the kind are the company table's times Factor. It
// stands beside the table and never changes it.
type Accepted struct {
	Kind   Kind
	Factor float64
	Source string // when and by whom, in words
}

// Company is the table alone, without what was learned: what observations are held against.
func (r Rates) Company() Rates {
	r.Accepted = nil
	return r
}

// AcceptedFactor is what hours of a kind are multiplied with because it was learned and accepted; 1 when nothing was.
func (r *Rates) AcceptedFactor(kind Kind) float64 {
	for _, a := range r.Accepted {
		if a.Kind == kind {
			return a.Factor
		}
	}
	return 1
}

// DriversOf lists the quantities that the hours of a kind of task on a type hang on: those with a rate above zero, in the order of
// Drivers.
func (r *Rates) DriversOf(kind Kind, t Type) (list []Driver) {
	for _, d := range Drivers() {
		if row, found := r.rate(kind, t, d); found && row.Hours > 0 {
			list = append(list, d)
		}
	}
	return list
}

// MainDriver is the quantity by which people speak of the pace of a kind of task: metres of frame, square metres of glass, leaves.
// It serves to show hours for a unit and decides nothing.
func MainDriver(kind Kind) Driver {
	switch kind {
	case Frame:
		return PerMetre
	case Glaze:
		return PerGlassArea
	case Hang:
		return PerLeaf
	case Deliver:
		return PerPiece
	}
	return PerOpening
}
