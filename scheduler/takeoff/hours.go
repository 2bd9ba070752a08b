package takeoff

import (
	"math"

	"jambwright/scheduler/length"
)

// Breakdown shows where the hours of a task come from.
type Breakdown struct {
	Kind    Kind
	Lines   []HourLine   // set-up first
	Factors []FactorLine // conditions, then the learning curve, then what was learned from finished tasks
	Sum     float64      // labour hours before factors
	Hours   float64      // labour hours
	Minutes int          // labour minutes, rounded up; the planner's number
}

// HourLine is one rate times one quantity.
type HourLine struct {
	Driver   Driver
	Quantity float64
	Rate     float64 // labour hours a unit
	Hours    float64
	Source   string
}

// FactorLine is one multiplier.
type FactorLine struct {
	Name   string
	Factor float64
	Source string
}

// Quantity returns how much of a driver the opening has. Lengths count metres, areas square metres.
func (t *Takeoff) Quantity(d Driver) float64 {
	switch d {
	case PerTask, PerOpening:
		return 1
	case PerMetre:
		return t.memberMetres(JambRole, HeadRole, MullionRole, BarRole, ChannelRole, BaseRole)
	case PerTrim:
		return t.memberMetres(TrimRole)
	case PerFastener:
		return float64(t.Fasteners)
	case PerAnchor:
		return float64(t.Anchors)
	case PerLight, PerPane:
		return float64(len(t.Panes))
	case PerLeaf:
		return float64(len(t.Leaves))
	case PerHardware:
		return float64(t.Hardware)
	case PerPiece:
		return float64(t.pieces())
	case PerCaulk:
		return t.line(CaulkLine).Length.FloatMetres()
	case PerGlassArea:
		return t.line(GlassAreaLine).Area.SquareMetres()
	case PerGasket:
		return t.line(GasketLine).Length.FloatMetres()
	case PerSealant:
		return t.line(SealantLine).Length.FloatMetres()
	}
	return 0
}

// line returns the line of a quantity, or an empty one.
func (t *Takeoff) line(q Quantity) Line {
	for _, l := range t.Lines {
		if l.Quantity == q {
			return l
		}
	}
	return Line{}
}

func (t *Takeoff) memberMetres(roles ...Role) float64 {
	var sum length.Length
	for _, m := range t.Members {
		for _, r := range roles {
			if m.Role == r {
				sum += length.Length(m.Count) * m.Length
			}
		}
	}
	return sum.FloatMetres()
}

// membersABundle is how many members of one opening's frame are strapped together for the way to the site: frames come knocked
// down, in a bundle for each opening (common practice; the number is ours).
const membersABundle = 10

// Bundles is how many bundles the members of the frame are carried in as.
func (t *Takeoff) Bundles() int {
	n := 0
	for _, m := range t.Members {
		n += m.Count
	}
	return (n + membersABundle - 1) / membersABundle
}

// pieces counts what is carried in: bundles of members, panes and leaves.
func (t *Takeoff) pieces() int { return t.Bundles() + len(t.Panes) + len(t.Leaves) }

// Hours works out a kind of task on one opening. A kind or driver without a row costs nothing; a condition without a factor
// changes nothing. Unit counts from 1 how many like it the firm has done by then, for
// learning; 0 reads as 1.
func (r *Rates) Hours(kind Kind, t *Takeoff, unit int) Breakdown {
	return r.hours(kind, t.Type, t.Quantity, t.Conditions, unit)
}

func (r *Rates) hours(kind Kind, t Type, quantity func(Driver) float64, conditions []Condition, unit int) Breakdown {
	b := r.sum(kind, t, quantity)
	for _, c := range conditions {
		if f, ok := r.factor(c, kind); ok {
			b.Factors = append(b.Factors, FactorLine{Name: string(c), Factor: f.Factor, Source: f.Source})
		}
	}
	for _, l := range r.Learning {
		if l.Kind == kind && l.Rate != 1 {
			b.Factors = append(b.Factors, FactorLine{Name: "learning", Factor: l.factor(unit), Source: "unit learning curve"})
		}
	}
	return r.taught(b).finish()
}

// taught adds the factor that was learned from finished tasks and accepted.
func (r *Rates) taught(b Breakdown) Breakdown {
	for _, a := range r.Accepted {
		if a.Kind == b.Kind && a.Factor != 1 {
			b.Factors = append(b.Factors, FactorLine{Name: AcceptedName, Factor: a.Factor, Source: a.Source})
		}
	}
	return b
}

// AcceptedName names the factor of an accepted learned rate in a breakdown.
const AcceptedName = "learned from finished tasks"

// SharedHours works out a task that several openings share, from its SharedBasis: conditions and the learning curve are of work on
// one opening.
func (r *Rates) SharedHours(kind Kind, b Basis) Breakdown {
	return r.taught(r.sum(kind, "", func(d Driver) float64 { return b.Quantities[d] })).finish()
}

// sum multiplies every driver that has a rate with its quantity. Drivers come in a fixed order, since sums of floating-point
// numbers depend on it.
func (r *Rates) sum(kind Kind, t Type, quantity func(Driver) float64) Breakdown {
	b := Breakdown{Kind: kind}
	for _, d := range Drivers() {
		row, ok := r.rate(kind, t, d)
		if !ok || row.Hours == 0 {
			continue
		}
		q := quantity(d)
		if q == 0 {
			continue
		}
		line := HourLine{Driver: d, Quantity: q, Rate: row.Hours, Hours: float64(q * row.Hours), Source: row.Source}
		b.Lines = append(b.Lines, line)
		b.Sum += line.Hours
	}
	return b
}

// finish applies the factors and rounds up to the minute. A hair is taken off first, so that 1.5 h made of many small
// products is 90 minutes and not 91. Explicit conversions keep machines with fused arithmetic from differing.
func (b Breakdown) finish() Breakdown {
	b.Hours = b.Sum
	for _, f := range b.Factors {
		b.Hours = float64(b.Hours * f.Factor)
	}
	const hair = 1e-6
	b.Minutes = int(math.Ceil(float64(b.Hours*60) - hair))
	return b
}

// Share returns the set-up and one piece's part of a task that is for n pieces: what doing one of them again takes.
func (b Breakdown) Share(n int) Breakdown {
	part := Breakdown{Kind: b.Kind, Factors: append([]FactorLine(nil), b.Factors...)}
	for _, line := range b.Lines {
		if line.Driver != PerTask {
			line.Quantity /= float64(max(n, 1))
			line.Hours = float64(line.Quantity * line.Rate)
		}
		part.Lines = append(part.Lines, line)
		part.Sum += line.Hours
	}
	return part.finish()
}
