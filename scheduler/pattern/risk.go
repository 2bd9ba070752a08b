package pattern

import (
	"cmp"
	"slices"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// Risk is what forecasts assume where the firm's own history says nothing yet. Every figure is ours to edit, none is published,
// and each stands as it is: see DefaultRisk. What has been recorded replaces the assumptions little by little, see uncertainty.
type Risk struct {
	// HoursSpread is the standard deviation of the logarithm of a task's hours against the plan, above 0.
	HoursSpread float64
	// PaceSpread is that of a crew's pace as a whole.
	PaceSpread float64
	// AreaShare is the part of the hours' spread that an area's conditions make up, 0 to 1.
	AreaShare float64
	// LeadLeast and LeadMost are what a lead time may come to that is given as one number, as factors of it: at most 1, at least 1.
	LeadLeast, LeadMost float64
	// SupplierShare is the part of the spread of lead times and promises that a supplier's own state makes up.
	SupplierShare float64
	// TradeShare is the part of the spread of handovers that the trade's own state makes up.
	TradeShare float64
	// Late is how many days a handover or an answer comes after its date, PromiseLate a delivery after its promise. The chances of
	// each sum to 1.
	Late, PromiseLate []DayChance
	// Breakage is the chance that the glass of one task of glazing has to be remade.
	Breakage float64
	// PriorWeight is how many recorded events the assumptions on days are worth, BreakageWeight how many glazed openings that on
	// breakage; both above 0.
	PriorWeight, BreakageWeight float64
}

// DefaultRisk returns what is assumed until somebody says otherwise. Half of the handovers and two promises in three come as said.
func DefaultRisk() Risk {
	return Risk{
		HoursSpread: takeoff.DefaultPrior().Spread, PaceSpread: 0.08, AreaShare: 0.15, LeadLeast: 0.9, LeadMost: 1.3,
		SupplierShare: 0.6, TradeShare: 0.5,
		Late:        []DayChance{{0, 0.5}, {3, 0.25}, {7, 0.15}, {14, 0.1}},
		PromiseLate: []DayChance{{0, 0.65}, {2, 0.15}, {5, 0.12}, {10, 0.08}},
		Breakage:    0.02, PriorWeight: 5, BreakageWeight: 50,
	}
}

// DayChance is a number of calendar days with its chance.
type DayChance struct {
	Days   float64 `json:"days"`
	Chance float64 `json:"chance"`
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
