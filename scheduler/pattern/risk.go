package pattern

import (
	"cmp"
	"slices"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// Risk is what forecasts assume where the firm's own history says nothing yet. Every figure is ours to edit, none is published;
// a zero field reads as its default. What has been recorded replaces the assumptions little by little, see Uncertain.
type Risk struct {
	// HoursSpread is the standard deviation of the logarithm of a task's hours against the plan. Default: that of
	// takeoff.DefaultPrior, 0.3.
	HoursSpread float64
	// PaceSpread is that of a crew's pace as a whole. Default 0.08.
	PaceSpread float64
	// AreaShare is the part of the hours' spread that an area's conditions make up, 0 to 1. Default 0.15.
	AreaShare float64
	// SupplierShare is the part of the spread of lead times and promises that a supplier's own state makes up. Default 0.6.
	SupplierShare float64
	// TradeShare is the part of the spread of handovers that the trade's own state makes up. Default 0.5.
	TradeShare float64
	// Late is how many days a handover or an answer comes after its date, PromiseLate a delivery after its promise; nil reads as
	// DefaultLate and DefaultPromiseLate.
	Late, PromiseLate []DayChance
	// Breakage is the chance that the glass of one task of glazing has to be remade. Default 0.02.
	Breakage float64
	// PriorWeight is how many recorded events the assumptions on days are worth, BreakageWeight how many glazed openings that on
	// breakage. Defaults 5 and 50.
	PriorWeight, BreakageWeight float64
}

// DayChance is a number of calendar days with its chance.
type DayChance struct {
	Days   float64
	Chance float64
}

// DefaultLate is assumed of other trades' handovers: half of them come as said.
func DefaultLate() []DayChance { return []DayChance{{0, 0.5}, {3, 0.25}, {7, 0.15}, {14, 0.1}} }

// DefaultPromiseLate is assumed of suppliers' promises: most are kept.
func DefaultPromiseLate() []DayChance {
	return []DayChance{{0, 0.65}, {2, 0.15}, {5, 0.12}, {10, 0.08}}
}

func (r Risk) withDefaults() Risk {
	r.HoursSpread, r.PaceSpread = cmp.Or(r.HoursSpread, takeoff.DefaultPrior().Spread), cmp.Or(r.PaceSpread, 0.08)
	r.AreaShare, r.SupplierShare, r.TradeShare = cmp.Or(r.AreaShare, 0.15), cmp.Or(r.SupplierShare, 0.6), cmp.Or(r.TradeShare, 0.5)
	r.Breakage, r.PriorWeight, r.BreakageWeight = cmp.Or(r.Breakage, 0.02), cmp.Or(r.PriorWeight, 5), cmp.Or(r.BreakageWeight, 50)
	if r.Late == nil {
		r.Late = DefaultLate()
	}
	if r.PromiseLate == nil {
		r.PromiseLate = DefaultPromiseLate()
	}
	return r
}

// History is what has been recorded of dates and breakage, for forecasts.
type History struct {
	// Handovers are handovers that came: by how many days after the date last said, below 0 for before it.
	Handovers []HandoverCame
	// Promises are deliveries that came, likewise after the date last promised.
	Promises []PromiseCame
	// Glazed is how many openings' glazing was finished, Broken how much glass had to be remade.
	Glazed, Broken int
}

// HandoverCame is one handover that has come.
type HandoverCame struct {
	Trade     string
	Condition Condition
	Days      float64
}

// PromiseCame is one delivery that has come.
type PromiseCame struct {
	Supplier string // id
	Days     float64
}

// slippage mixes recorded days with assumed ones: each record counts once, all assumptions together count weight times. Records
// beyond half a year count as that. The values come ascending, each once.
func slippage(assumed []DayChance, weight float64, recorded []float64) []DayChance {
	const most = 183
	total := weight + float64(len(recorded))
	var mixed []DayChance
	for _, a := range assumed {
		mixed = append(mixed, DayChance{a.Days, a.Chance * weight / total})
	}
	for _, days := range recorded {
		mixed = append(mixed, DayChance{min(max(days, -most), most), 1 / total})
	}
	slices.SortFunc(mixed, func(a, b DayChance) int { return cmp.Compare(a.Days, b.Days) })
	var merged []DayChance
	for _, m := range mixed {
		if n := len(merged); n > 0 && merged[n-1].Days == m.Days {
			merged[n-1].Chance += m.Chance
			continue
		}
		merged = append(merged, m)
	}
	return merged
}

// values makes days a distribution, each turned into a value.
func values(days []DayChance, value func(days float64) float64) *problem.Distribution {
	d := &problem.Distribution{}
	for _, c := range days {
		d.Values, d.Chances = append(d.Values, value(c.Days)), append(d.Chances, c.Chance)
	}
	return d
}
