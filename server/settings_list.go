package server

import (
	"jambwright/models"
	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

// measure is what the number of a setting counts; it decides how the number is written and read.
type measure string

// The measures. Numbers are kept in the stored unit: lengths in units of package length, weights in grams, areas in those of
// takeoff.
const (
	asLength measure = "length"
	asWeight measure = "weight"
	asArea   measure = "area"
	asCount  measure = "count"
	asFactor measure = "factor"
	asHours  measure = "hours" // stored in minutes
)

// setting is one number of the settings page.
type setting struct {
	name, label, help string
	measure           measure
	least, most       float64 // in the stored unit
	value             func(e *firmEdit) float64
	set               func(e *firmEdit, v float64)
}

// settingGroup is a part of the page.
type settingGroup struct {
	title, about string
	settings     []setting
}

// firmEdit is what the page edits: the firm's row, the factors of conditions, the learning curves.
type firmEdit struct {
	firm    models.FirmSettings
	factors []models.RateFactor
	curves  []models.RateLearning // one for each kind of work on an opening; those not stored have a rate of 1

	firmChanged    bool
	factorsChanged map[int]bool
	curvesChanged  map[int]bool
}

// settingGroups lists the page, with a line for each factor and curve of the edit.
func settingGroups(e *firmEdit) []settingGroup {
	return []settingGroup{
		{"Fasteners and glass", "Common practice unless you know better. A change alters the quantities, bring-lists and hours of every opening.", takeoffSettings()},
		{"Lifting", "A house rule, not a law. Local codes, makers’ instructions and licensed practice govern; the limit is for one person under good conditions.", liftSettings()},
		{"Conditions", "What makes work slower multiplies its hours. A change ends rates that were learned against the old factors and accepted.", factorSettings(e)},
		{"Crowding", "Up to so many people of one crew find room at one opening; each further one is worth a share of a person. 0 people: no limit.", crowdingSettings()},
		{"Learning from opening to opening", "Off at 1, and off unless you set it: evidence for such curves on building sites is thin, and what finished tasks teach is on the rates page already. At 0.9 each doubling of the number of openings alike takes a tenth off the hours of one.", curveSettings(e)},
		{"Planning", "Times that plans reckon with where nobody gave one.", planSettings()},
	}
}

// number is what a stored field holds.
type number interface{ ~int | ~int64 | ~float64 }

// rule makes a setting of a rule of takeoff; a rule that was never set shows its default.
func rule[T number](s setting, field func(r *takeoff.Rules) *T) setting {
	s.value = func(e *firmEdit) float64 {
		rules := e.firm.TakeoffRules.V.WithDefaults()
		return float64(*field(&rules))
	}
	s.set = func(e *firmEdit, v float64) { *field(&e.firm.TakeoffRules.V), e.firmChanged = T(v), true }
	return s
}

const inch = float64(length.Inch)

func takeoffSettings() []setting {
	return []setting{
		rule(setting{name: "screw_spacing", label: "Jamb and channel screws, on centre", measure: asLength, least: 4 * inch, most: 48 * inch, help: "each end included"}, func(r *takeoff.Rules) *length.Length { return &r.ScrewSpacing }),
		rule(setting{name: "head_spacing", label: "Head track screws, on centre", measure: asLength, least: 4 * inch, most: 48 * inch}, func(r *takeoff.Rules) *length.Length { return &r.HeadSpacing }),
		rule(setting{name: "head_rows", label: "Rows in the head track", measure: asCount, least: 1, most: 4}, func(r *takeoff.Rules) *int { return &r.HeadRows }),
		rule(setting{name: "mullion_spacing", label: "Mullion screws, on centre", measure: asLength, least: 4 * inch, most: 48 * inch}, func(r *takeoff.Rules) *length.Length { return &r.MullionSpacing }),
		rule(setting{name: "bar_screws", label: "Screws in each end of a transom bar", measure: asCount, least: 1, most: 10}, func(r *takeoff.Rules) *int { return &r.BarScrews }),
		rule(setting{name: "bite", label: "Bite on each framed edge of a pane", measure: asLength, least: inch / 8, most: 2 * inch, help: "glass that the frame hides; verify against the shop drawings"}, func(r *takeoff.Rules) *length.Length { return &r.Bite }),
		rule(setting{name: "blocks", label: "Setting blocks a pane", measure: asCount, least: 1, most: 6}, func(r *takeoff.Rules) *int { return &r.BlocksPerPane }),
		rule(setting{name: "leaf_width", label: "Leaf of a front that states none", measure: asLength, least: 18 * inch, most: 72 * inch}, func(r *takeoff.Rules) *length.Length { return &r.LeafWidth }),
		rule(setting{name: "sidelight", label: "Sidelight that states no width", measure: asLength, least: 4 * inch, most: 72 * inch}, func(r *takeoff.Rules) *length.Length { return &r.Sidelight }),
		rule(setting{name: "glass", label: "Glass that states no thickness", measure: asLength, least: 3 * float64(length.Millimetre), most: 40 * float64(length.Millimetre)}, func(r *takeoff.Rules) *length.Length { return &r.Glass.Thickness }),
		rule(setting{name: "ladder_over", label: "Head of the frame worked from a ladder above", measure: asLength, least: 48 * inch, most: 240 * inch}, func(r *takeoff.Rules) *length.Length { return &r.LadderOver }),
	}
}

const pound = 453.59237

func liftSettings() []setting {
	return []setting{
		rule(setting{name: "lift_limit", label: "Lift limit for one person", measure: asWeight, least: 20 * pound, most: 75 * pound, help: "51 lb is the load constant of the revised NIOSH lifting equation, under ideal conditions"}, func(r *takeoff.Rules) *int64 { return &r.Lifting.LimitGrams }),
		rule(setting{name: "two_hands", label: "Two people for any pane larger than", measure: asArea, least: float64(takeoff.SquareFoot), most: 50 * float64(takeoff.SquareFoot)}, func(r *takeoff.Rules) *takeoff.Area { return &r.Lifting.TwoHandsOver }),
		rule(setting{name: "leaf_hands", label: "People to hang a leaf that is not of glass", measure: asCount, least: 1, most: 6}, func(r *takeoff.Rules) *int { return &r.Lifting.LeafHands }),
		rule(setting{name: "gear_hands", label: "People with lifting gear", measure: asCount, least: 1, most: 6}, func(r *takeoff.Rules) *int { return &r.Lifting.GearHands }),
		rule(setting{name: "gear_limit", label: "Heaviest pane for the lifting gear", measure: asWeight, least: 100 * pound, most: 2200 * pound, help: "as the maker of the gear rates it"}, func(r *takeoff.Rules) *int64 { return &r.Lifting.GearLimitGrams }),
	}
}

func factorSettings(e *firmEdit) (list []setting) {
	for i := range e.factors {
		row := &e.factors[i]
		label := workConditionWords(row.Condition)
		if row.Kind != "" {
			label += ", " + gerund(row.Kind)
		}
		list = append(list, setting{
			name: "factor_" + string(row.Condition) + "_" + string(row.Kind), label: label, help: row.Source, measure: asFactor, least: 0.5, most: 4,
			value: func(e *firmEdit) float64 { return e.factors[i].Factor },
			set:   func(e *firmEdit, v float64) { e.factors[i].Factor, e.factorsChanged[i] = v, true },
		})
	}
	return list
}

func crowdingSettings() (list []setting) {
	for _, kind := range pattern.StepKinds() {
		list = append(list,
			setting{
				name: "room_" + string(kind), label: "People with room, " + gerund(kind), measure: asCount, least: 0, most: 20,
				value: func(e *firmEdit) float64 { return float64(e.crowding(kind).Room) },
				set:   func(e *firmEdit, v float64) { e.crowd(kind, func(c *pattern.Crowding) { c.Room = int(v) }) },
			},
			setting{
				name: "extra_" + string(kind), label: "A further one is worth, " + gerund(kind), measure: asFactor, least: 0, most: 1,
				value: func(e *firmEdit) float64 { return e.crowding(kind).Extra },
				set:   func(e *firmEdit, v float64) { e.crowd(kind, func(c *pattern.Crowding) { c.Extra = v }) },
			})
	}
	return list
}

// crowding is the rule of a kind; without one, no limit, with the half of a person that is usual to start from.
func (e *firmEdit) crowding(kind takeoff.Kind) pattern.Crowding {
	for _, c := range e.firm.Crowding {
		if c.Kind == kind {
			return c
		}
	}
	return pattern.Crowding{Kind: kind, Extra: 0.5}
}

func (e *firmEdit) crowd(kind takeoff.Kind, change func(*pattern.Crowding)) {
	rule := e.crowding(kind)
	change(&rule)
	list := models.List[pattern.Crowding]{rule}
	for _, c := range e.firm.Crowding {
		if c.Kind != kind {
			list = append(list, c)
		}
	}
	e.firm.Crowding, e.firmChanged = list, true
}

func curveSettings(e *firmEdit) (list []setting) {
	for i := range e.curves {
		kind := e.curves[i].Kind
		list = append(list,
			setting{
				name: "curve_" + string(kind), label: "Hours left by each doubling, " + gerund(kind), measure: asFactor, least: 0.5, most: 1,
				value: func(e *firmEdit) float64 { return e.curves[i].Rate },
				set:   func(e *firmEdit, v float64) { e.curves[i].Rate, e.curvesChanged[i] = v, true },
			},
			setting{
				name: "curve_unit_" + string(kind), label: "The table is right at opening number, " + gerund(kind), measure: asCount, least: 1, most: 1000,
				value: func(e *firmEdit) float64 { return float64(e.curves[i].StandardUnit) },
				set:   func(e *firmEdit, v float64) { e.curves[i].StandardUnit, e.curvesChanged[i] = int(v), true },
			})
	}
	return list
}

// firmNumber makes a setting of a number of the firm's row whose 0 reads as a default.
func firmNumber[T number](s setting, standard T, field func(f *models.FirmSettings) *T) setting {
	s.value = func(e *firmEdit) float64 {
		if v := *field(&e.firm); v != 0 {
			return float64(v)
		}
		return float64(standard)
	}
	s.set = func(e *firmEdit, v float64) { *field(&e.firm), e.firmChanged = T(v), true }
	return s
}

func planSettings() []setting {
	return []setting{
		firmNumber(setting{name: "frozen", label: "Frozen window, working days", measure: asCount, least: 0, most: 20, help: "issued work so near stays as issued"}, 0, func(f *models.FirmSettings) *int { return &f.FrozenDays }),
		firmNumber(setting{name: "cure", label: "Sealed butt joints cure for", measure: asHours, least: 60, most: 14 * 1440, help: "as the maker of the sealant states"}, 1440, func(f *models.FirmSettings) *int { return &f.SealantCureMinutes }),
		firmNumber(setting{name: "overdue_handover", label: "An overdue handover is expected after", measure: asHours, least: 60, most: 100 * 60, help: "working time of the site, from the data date"}, 480, func(f *models.FirmSettings) *int { return &f.OverdueHandoverMinutes }),
		firmNumber(setting{name: "overdue_delivery", label: "An overdue delivery is expected after, days of the supplier", measure: asCount, least: 1, most: 60}, 1, func(f *models.FirmSettings) *int { return &f.OverdueDeliveryDays }),
	}
}
