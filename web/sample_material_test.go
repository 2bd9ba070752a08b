package web

import (
	"fmt"
	"time"
)

func someDays(n float64) *float64 { return &n }

// sampleDelivery is a delivery in one of the ways in which one stands.
func sampleDelivery(i int) Delivery {
	d := Delivery{
		Href: fmt.Sprintf("/material/releases/%d", i), EditHref: fmt.Sprintf("/material/edit?release=%d&drop=1", i), Name: fmt.Sprintf("L%d-glass", i), Drop: 1, Drops: 1 + i%2,
		Supplier: "Ninefold Glass", What: "glass of 33 openings", Where: "Level 3 / East", Basis: "the survey", Least: 10, Likely: 15, Most: 21,
		OrderLeast: at(15, 15, 30), OrderBy: at(8, 15, 30), OrderMost: at(0, 15, 30), Need: at(30, 7, 0), UsedFrom: at(31, 7, 0), CanOrder: at(3, 9, 0),
		Expected: at(24, 15, 30), Latest: at(31, 15, 30), Rule: "to_order", MarginDays: someDays(3.5), OrderDays: someDays(5),
	}
	switch i % 6 {
	case 1: // late to order
		d.OrderBy, d.OrderDays, d.Expected, d.MarginDays = at(-3, 15, 30), someDays(-3), at(34, 15, 30), someDays(-2)
	case 2: // promised
		d.Ordered, d.Promised, d.Expected, d.Rule, d.OrderDays = at(-10, 9, 0), at(18, 7, 0), at(18, 7, 0), "promised", nil
	case 3: // a missed promise
		d.Ordered, d.Promised, d.Expected, d.Rule, d.MarginDays = at(-30, 9, 0), at(-2, 7, 0), at(33, 9, 0), "missed_promise", someDays(-1.5)
		d.Shipped = at(-1, 9, 0)
	case 4: // nobody can say
		d.OrderBy, d.Need, d.Expected, d.Rule, d.MarginDays, d.OrderDays = time.Time{}, time.Time{}, time.Time{}, "", nil, nil
		d.Name, d.Waits = longName, "handover L3 walls boarded has no date"
	case 5: // a part came
		d.Ordered, d.Received, d.RestOf = at(-30, 9, 0), at(-1, 9, 0), 1
	}
	return d
}

func materialPage(n int) MaterialPage {
	p := MaterialPage{
		Chrome: chrome(RoleProject), Filter: MaterialFilter{Project: "1"}, Projects: []Choice{{"1", "Quarry Street"}},
		Suppliers: []Choice{{"ninefold", "Ninefold Glass"}}, Areas: []Choice{{"L2", "Level 2"}}, Items: []Choice{{"glass", "glass"}},
		DataDate: at(1, 2, 0), Total: n, Merges: n / 12, Splits: n / 60, Exports: []Choice{{"/material/export/order-list.csv?project=1", "Order list, CSV"}},
	}
	for i := range n {
		d := sampleDelivery(i)
		switch {
		case !d.Received.IsZero():
			p.Here = append(p.Here, d)
		case d.Ordered.IsZero():
			p.ToOrder = append(p.ToOrder, d)
		default:
			p.Coming = append(p.Coming, d)
		}
		p.Releases = append(p.Releases, ReleaseLine{Href: d.Href, Name: d.Name, Supplier: d.Supplier, What: d.What, Where: d.Where, Basis: d.Basis, States: []string{d.State()}})
	}
	remake := sampleDelivery(1)
	remake.Remake, remake.Cause, remake.Mark, remake.OpeningID, remake.Name = true, "corner broken", "D-204", "4", "Remade glass of D-204"
	p.Remakes = []Delivery{remake}
	p.Releases = append(p.Releases, ReleaseLine{Href: "/material/releases/99", Name: "R99", Supplier: "Ninefold Glass", Basis: "drawings", Empty: true})
	for i := range 15 {
		day := DeliveryDay{Day: Day{Date: on(1 + i)}, DockRoom: 510}
		if i%3 == 0 {
			day.Lines, day.DockMinutes = []Delivery{sampleDelivery(2), sampleDelivery(3)}, 100+200*i
		}
		p.Days = append(p.Days, day)
	}
	return p
}

func releasePage() ReleasePage {
	p := ReleasePage{
		Chrome: chrome(RoleProject), ID: "7", Name: "Frames of the third floor", Code: "L3-frames", Project: "Quarry Street", ProjectID: "1",
		Facts: []Fact{{"Supplier", "Pellam Frame Works"}, {"Ordered from", "the survey"}}, EditHref: "/material/edit?release=7&version=1", Movable: true,
		History: []HistoryLine{{at(0, 9, 0), "promised Fri 11 Dec, was Mon 7 Dec; furnace down"}},
	}
	for i := range 6 {
		part := DropPart{Delivery: sampleDelivery(i), Actions: []Choice{{"order", "Record order"}, {"promise", "Record promise"}}}
		for j := range 4 {
			part.Items = append(part.Items, ItemLine{fmt.Sprint(j), "frame kit", "4", fmt.Sprintf("D-20%d", j), "Office", "Level 3 / East", "5'-6\" × 8'-0\"", "received", "/report?task=x"})
		}
		p.Drops = append(p.Drops, part)
	}
	return p
}

func materialEditPage(do string, faults ...FieldFault) MaterialEditPage {
	line := sampleDelivery(2)
	return MaterialEditPage{
		Chrome: chrome(RoleProject), Title: "Promise for L2-glass", Back: "/material/releases/7", Line: &line, Faults: faults,
		Form:  MaterialForm{Do: do, Release: "7", Drop: "1", Version: "2", Date: "2026-12-01", Items: []string{"1"}, Supplier: "2", Basis: "survey", Target: "7.0"},
		Items: releasePage().Drops[0].Items, Suppliers: []Choice{{"1", "Ninefold Glass"}, {"2", longName}}, Bases: []Choice{{"drawings", "drawings"}, {"survey", "the survey"}},
		Targets: []Choice{{"7.0", "a new drop of this release"}, {"new", "a new release"}}, Lead: "10 to 21 working days",
	}
}

// materialPages are the samples of all pages of material.
func materialPages() map[string]Page {
	check := MaterialCheckPage{
		Chrome: chrome(RoleProject), Form: materialEditPage("promise").Form, Title: "Promise for L2-glass", Back: "/material/releases/7",
		Says: []string{"it is promised for Fri 18 Dec"}, Before: []Delivery{sampleDelivery(0)}, After: []Delivery{sampleDelivery(3)},
		Dates: sampleEffects(), Moved: sampleMoves(3),
	}
	regroup := Regrouping{
		"/material/releases/7", "7", "L3-frames", "ab12",
		[]string{"West comes as a drop of its own: it is needed 23 working days after the first."},
		[]SuggestedOrder{{"L3-frames", at(8, 15, 30), true, []SuggestedDrop{{1, "12 frame kits", "Level 3 / East", at(20, 7, 0)}, {2, "9 frame kits", longName, at(50, 7, 0)}}}},
		2,
	}
	return map[string]Page{
		"suggest-empty": SuggestPage{Chrome: chrome(RoleProject), Project: "Quarry Street", ProjectID: "1", Days: 15}, "suggest-kept": SuggestPage{Chrome: chrome(RoleProject), Project: "Quarry Street", ProjectID: "1", Days: 15, Planned: true, Kept: []Regrouping{regroup}},
		"limits-empty": SiteLimitsPage{Chrome: chrome(RoleProject), Project: "Quarry Street", ProjectID: "1"},
		"limits":       SiteLimitsPage{Chrome: chrome(RoleProject), Project: "Quarry Street", ProjectID: "1", Dock: "1", Hoist: "x", Areas: []AreaLimits{{"1", "Level 2", "3", true, "40"}, {"2", longName, "1", false, "none"}}, Faults: Faults{{"hoist", "Write a number."}, {"stored-2", "Write a number."}}},
		"limits-shown": SiteLimitsPage{Chrome: chrome(RoleProject), Project: "Quarry Street", ProjectID: "1", Dock: "1", Areas: []AreaLimits{{"1", "Level 2", "3", true, "40"}}, Shown: true, Effect: TrialEffect{Dates: sampleEffects(), Moved: sampleMoves(3), Openings: 2}},
		"suggest": SuggestPage{
			Chrome: chrome(RoleProject), Project: "Quarry Street", ProjectID: "1", Days: 15, Items: 60, Planned: true, Regroup: []Regrouping{regroup}, Faults: Faults{{"days", "write a number"}, {"items", "write a number"}},
			Merges: []Merging{{"R4 and R5", "cd34", "One order of Pellam Works and one truck to Level 3.", at(8, 15, 30), true, []MergedRelease{
				{"4", "/material/releases/4", "R4", "2 frame kits", "Level 3 / East", at(20, 7, 0), at(8, 15, 30)}, {"5", "/material/releases/5", longName, "1 frame kit", longName, at(22, 7, 0), at(9, 15, 30)},
			}}},
		},
		"material-empty": MaterialPage{Chrome: chrome(RoleProject)}, "material-none": MaterialPage{Chrome: chrome(RoleProject), Total: 3, Projects: []Choice{{"1", "Quarry Street"}}, Filter: MaterialFilter{Project: "1", Item: "glass"}},
		"material-typical": materialPage(12), "material-worst": materialPage(120),
		"release": releasePage(), "release-empty": ReleasePage{Chrome: chrome(RoleProject), Name: "R9", Code: "R9", EditHref: "/material/edit?release=9"},
		"material-order": materialEditPage("order"), "material-promise": materialEditPage("promise", FieldFault{"promised", "say for which day it is promised"}), "material-part": materialEditPage("receive_part"),
		"material-terms": materialEditPage("terms", FieldFault{"lead", "least, likely, most"}, FieldFault{"", "somebody changed it"}), "material-move": materialEditPage("move"), "material-back": materialEditPage("take_back"),
		"material-check": check, "material-check-unplanned": MaterialCheckPage{Chrome: chrome(RoleProject), Title: "Order of R9", Back: "/material/releases/9", Says: []string{"it was ordered Tue 1 Dec"}, NoPlan: true},
	}
}
