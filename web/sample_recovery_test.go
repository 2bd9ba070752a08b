package web

import "strings"

// sampleMove is a move that wins some days.
func sampleMove(value, letter, text string, days, cost float64) MoveLine {
	return MoveLine{
		Value: value, Letter: letter, Texts: []string{text}, Days: days, WorkDays: days, After: atP(11, 16, 0), Cost: cost, TellsCost: true,
		Damages: 1200 * days, Cautions: []string{"The price, $750, is what is reckoned with until the supplier names one."},
	}
}

func recoveryPage() RecoveryPage {
	p := RecoveryPage{
		Chrome: chrome(RoleOperations), ID: "3", Name: "Level 1 ready to furnish", Project: "Quarry Lane", Date: at(8, 0, 0),
		Forecast: atP(18, 12, 7), FloatDays: -8.6, PerDay: 1200, DataDate: at(1, 6, 0), MayPrice: true,
		Search: Search{State: SearchDone, Done: 9, Total: 9},
		Moves: []MoveLine{
			sampleMove("0", "A", "Pay Ninefold Glass to make remade glass of 133 in the least lead time", 7, 776),
			sampleMove("1", "B", "Crew Hazel works 2 h longer a day, Thu 10 Dec to Fri 18 Dec", 1.2, 2400),
			{Value: "2", Texts: []string{"Ask the GC for floor finished on Level 2 by Mon 7 Dec"}, Unpriced: true},
		},
		Sets: []MoveLine{sampleMove("set-0", "C", "Pay Ninefold Glass", 11, 4100)},
		Useless: []UselessLine{
			{Why: "making of remade glass of 133 holds the date: material, not hours", Texts: []string{"Crew Birch works on Sat 5 Dec", "A second crew like Birch, Birch 2, from Fri 4 Dec"}},
		},
		Untried:   4,
		Scenarios: []ScenarioLine{{ID: "1", Name: "Win days for Level 1", State: "in force", By: "Ines Varga", Since: at(1, 6, 30)}},
		Prices:    []Fact{{"Longer days are paid", "1.5 times"}, {"Material sooner", "$150 a day"}},
	}
	p.Moves[1].Worse = []string{"Level 2 ready to furnish comes 1 day later, Tue 15 Dec.", "12 more tasks differ from the plan in force."}
	p.Sets[0].Texts = append(p.Sets[0].Texts, "Crew Hazel works 2 h longer a day, Thu 10 Dec to Fri 18 Dec", longName)
	p.Sets[0].Keeps, p.Sets[0].Work, p.Moves[0].Work = true, 120, -300
	return p
}

func recoverySamples() map[string]Page {
	looking, failed, holds, none, unplanned := recoveryPage(), recoveryPage(), recoveryPage(), recoveryPage(), recoveryPage()
	looking.Search = Search{State: SearchRunning, Done: 4, Total: 60}
	failed.Search, failed.Scenarios, failed.Viewer = Search{State: SearchFailed, Failure: "the planner stopped"}, nil, chrome(RoleProject).Viewer
	failed.MayPrice = false
	holds.FloatDays, holds.Forecast, holds.Search.Old, holds.Search.At = 2, atP(4, 12, 0), true, at(1, 5, 0)
	holds.Faults = Faults{{Field: "move", Message: "Tick at least one move."}}
	none.Moves, none.Sets = nil, nil
	unplanned.Forecast = nil
	first := RecoveryPage{Chrome: chrome(RoleProject), ID: "3", Name: "Level 1", Date: at(8, 0, 0)}
	draft := ScenarioPage{
		Chrome: chrome(RoleOperations), Project: "Quarry Lane", DateName: "Level 1 ready to furnish", DateID: "3", Promised: atP(11, 16, 0),
		Without: atP(18, 12, 0), Cost: 776, MayDecide: true, Cautions: []string{"Tired people get hurt and break glass."},
		ScenarioLine: ScenarioLine{ID: "1", Name: "Win days for Level 1", State: "draft", By: "Ines Varga", Since: at(1, 6, 30), Texts: []string{"Pay Ninefold Glass", longName}},
		Dates:        []DateEffect{{Name: "Level 1", Date: at(8, 0, 0), Before: atP(18, 12, 0), After: atP(11, 16, 0), FloatBefore: -8, FloatAfter: -3}},
		Moved:        []MovedTask{{Mark: "133", Kind: KindGlaze, CrewBefore: "Hazel", CrewAfter: "Hazel", Before: at(18, 7, 0), After: at(11, 7, 0)}},
		Sums:         CostEffect{Known: true, CrewBefore: 42000, CrewAfter: 42776, DamagesBefore: 12606, DamagesAfter: 4206},
	}
	inForce, gone := draft, draft
	inForce.State, inForce.MayDecide = "in force", false
	gone.State, gone.Dates, gone.Moved, gone.Withdrawn, gone.LetGoBy, gone.DateID = "withdrawn", nil, nil, at(1, 6, 40), "Ines Varga", ""
	prices := RecoveryPricesPage{Chrome: chrome(RoleOperations), Default: true, Form: RecoveryPricesForm{
		Loss: "15", Overtime: "1.5", Saturday: "1.5", Hire: "1", HireDays: "7", AtLeast: "5", Bring: "500", Expedite: strings.Repeat("9", 12),
	}, Faults: Faults{{Field: "expedite", Message: "Write a number from 0 to 1000000."}}}
	line := CostLine{
		Name: "Whole project", Tasks: 700, Done: 210, WithoutHours: 3, Planned: 60112, Spent: 20050, ToCome: 39200, Travel: 610, Premiums: 950, Prices: 750,
		Forecast: 61560, Idle: 1204, Damages: 12606,
		Hours: CostHours{Planned: 1204.5, Spent: 402, ToCome: 786, Travel: 12.25, Lost: 4.5, Forecast: 1204.75, Overtime: 12.5, Idle: 24},
	}
	date := line
	date.Name, date.ID, date.Late, date.Counts = longName, "3", true, "punch work of Level 1 / East, and all crew work that it waits for"
	cost := CostPage{
		Chrome: chrome(RoleOperations), DataDate: at(1, 6, 0), Known: true, Firm: true, Whole: line, Unshared: 2400,
		Projects: []CostProject{{Name: "Quarry Lane", Whole: line, Dates: []CostLine{date}}},
		InForce:  []ScenarioLine{{ID: "1", Name: "Win days for Level 1", Texts: []string{"Pay Ninefold Glass", "Crew Hazel works on Sat 5 Dec"}}},
	}
	hoursOnly := cost
	hoursOnly.Known, hoursOnly.Firm = false, false
	return map[string]Page{
		"cost": cost, "cost-hours": hoursOnly, "cost-empty": CostPage{Chrome: chrome(RoleProject)},
		"recovery": recoveryPage(), "recovery-looking": looking, "recovery-failed": failed, "recovery-holds": holds, "recovery-none": none,
		"recovery-unplanned": unplanned, "recovery-first": first, "scenario": draft, "scenario-in-force": inForce, "scenario-withdrawn": gone,
		"recovery-prices": prices,
	}
}
