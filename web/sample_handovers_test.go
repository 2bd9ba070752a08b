package web

import (
	"fmt"

	"jambwright/scheduler/length"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/slippage"
)

func onP(day int) *problem.Date { d := on(day); return &d }

// sampleCell is a handover in one of its states.
func sampleCell(i int) HandoverCell {
	c := HandoverCell{
		ID: fmt.Sprint(i + 1), Condition: []string{"walls boarded", "ceiling closed", "floor finished", "power live"}[i%4], Trade: "Partitions",
		State: HandoverStates()[i%6], Promised: onP(4), Slips: i % 3, Moved: (i % 3) * 4,
	}
	switch c.State {
	case HandedOver:
		c.Actual = onP(7)
	case NoDate:
		c.Promised = nil
	case ExpectedDate:
		c.Promised, c.Forecast = nil, onP(9)
	case Overdue, ExpectedLate:
		c.Forecast, c.Waiting = onP(10), 23
		c.Next = &NextTask{Kind: KindFrame, Mark: "D-201", OpeningID: "3", Start: at(11, 7, 0)}
		c.Dates = []WaitingDate{{Name: "Level 2 glazing complete", Forecast: true, Float: -2.5, Drives: true}, {Name: longName}}
		c.Latest = at(18, 15, 30)
	}
	return c
}

func handoversPage(areas int) HandoversPage {
	p := HandoversPage{
		Chrome: chrome(RoleProject), Filter: HandoversFilter{Project: "1"}, Projects: []Choice{{"1", "Quarry Street"}}, Areas: []Choice{{"1", "Level 1"}},
		Conditions: []Choice{{"walls_boarded", "walls boarded"}}, Trades: []Choice{{"Partitions", "Partitions"}}, Total: areas * 4, PlannedAt: at(1, 2, 0),
		Columns: []HandoverColumn{{"walls boarded", []string{"survey", "frame"}}, {"ceiling closed", nil}, {"floor finished", []string{"frame", "hang"}}, {"power live", nil}},
		Records: slippage.ByTrade([]slippage.Story{
			{Trade: "Partitions", Promises: []problem.Date{on(1), on(4)}, Actual: onP(5)},
			{Trade: "Partitions", Promises: []problem.Date{on(1)}},
			{Trade: "", Promises: []problem.Date{on(2)}, Actual: onP(1)},
			{Trade: longName, Promises: []problem.Date{on(2)}},
		}),
	}
	for i := range areas {
		row := HandoverRow{AreaID: fmt.Sprint(i), Area: fmt.Sprintf("Level %d", i+1), Openings: 45, Depth: i % 3}
		for j := range p.Columns {
			cell := sampleCell(i*5 + j)
			switch {
			case i%3 == 1:
				cell.From = "Level 1"
			case i%4 == 2 && j == 1:
				cell = HandoverCell{Condition: cell.Condition, State: NotListed, Within: i%8 == 2}
			}
			row.Cells = append(row.Cells, cell)
		}
		p.Rows = append(p.Rows, row)
	}
	if areas > 10 {
		p.Rows[0].Area = longName
	}
	return p
}

// handoverPage is a handover that slipped twice, one gain between, and came in the end.
func handoverPage(steps int) HandoverPage {
	p := HandoverPage{
		Chrome: chrome(RoleProject), ID: "3", Version: 4, Project: "Quarry Street", ProjectID: "1", Area: "Level 2", Cell: sampleCell(1), MayRecord: true,
		Holds: []string{"Level 2 / East", "Level 2 / West"}, Record: &handoversPage(1).Records[0],
	}
	if steps > 20 {
		p.Steps = append(p.Steps, PromiseStep{At: at(-21, 9, 0), Ours: true})
	}
	for i := range steps {
		p.Steps = append(p.Steps, PromiseStep{At: at(-20+i*2, 9, 0), Date: on(4 + i*3 - (i%4)*5), Ours: i%5 == 3})
		p.Changes = append(p.Changes, HandoverChangeLine{
			At: at(-20+i*2, 9, 0), By: "Lena Brandt", Text: "promise slipped 6 days (Fri 4 Dec to Thu 10 Dec)", Cause: "screed is still wet",
			Source: "site walk", Photos: []PhotoRef{{ID: 4, Width: 1600, Height: 1200, About: "Photo: promise slipped 6 days"}},
		})
	}
	for i := range steps * 4 {
		p.Needs = append(p.Needs, NeedLine{Kind: KindFrame, Mark: fmt.Sprintf("D-%d", 200+i), OpeningID: "7", Area: "Level 2 / East", Start: at(11, 7, 0), Crew: "Alder", Driven: i == 0})
	}
	return p
}

// sampleHandoverPages are the pages of handovers: empty, typical, worst.
func sampleHandoverPages() map[string]Page {
	came := handoverPage(3)
	came.Cell.State, came.Cell.Actual = HandedOver, onP(3)
	came.Changes, came.Needs = nil, nil
	none := handoversPage(1)
	none.Rows, none.Filter.Show = nil, "no date"
	faults := handoverPage(2)
	faults.Form, faults.Faults = HandoverForm{Do: "promise", Date: "2026-12-24", Cause: longName}, Faults{{"date", "Write the day as 2026-11-25."}, {"photo", "wall.gif: this is no photo in JPEG, PNG or WebP."}, {"do", "Choose what to record."}}
	try := HandoverTryPage{Chrome: chrome(RoleProject), Token: "abc", ID: "3", Condition: "floor finished", Area: "Level 2", News: "promise slipped 6 days (Fri 4 Dec to Thu 10 Dec)", Cause: "screed is still wet", Photos: 1, Effect: TrialEffect{Dates: sampleEffects(), Moved: sampleMoves(40), Openings: 12}}
	nothing := try
	nothing.Effect = TrialEffect{Dates: sampleEffects()[:1]}
	unplanned := try
	unplanned.Effect = TrialEffect{Unplanned: "There is nothing to plan yet, so nothing moves."}
	sheet := previewPage(6)
	sheet.Slips = []SheetSlip{{4, "Level 2 / East", "ceiling closed", "promise slipped 6 days (Fri 4 Dec to Thu 10 Dec)", true}, {5, longName, "power live", "handed over Tue 1 Dec, 2 days early", false}}
	sheet.Effect = &TrialEffect{Dates: sampleEffects(), Moved: sampleMoves(40), Openings: 12}
	measured := reportPage(ReportMeasured, FieldFault{"plumb", "This says how far it is off, from 0 to 1'-0\"."}, FieldFault{"photo", "x.gif: this is no photo in JPEG, PNG or WebP."})
	sixteenth := length.Inch / 16
	measured.Allowed = &AllowedOff{Width: 36 * length.Inch, Height: 84 * length.Inch, Size: 4 * sixteenth, Plumb: sixteenth, Level: sixteenth, Square: sixteenth, Proposed: "Partitions", Others: []Choice{{"architect", "Architect"}}}
	figures := TolerancesPage{Chrome: chrome(RoleOperations), MayFirm: true, Projects: []Choice{{"1", "Quarry Street"}}, Project: "1", Name: "Quarry Street", Faults: Faults{{"frames_plumb", "Write a figure above 0."}}, Families: []ToleranceFamily{
		{"Doors and frames", "Usual figures.", []ToleranceField{{"frames_size", "Size", "1/4\"", "1/4\", as usual"}, {"frames_plumb", "Plumb", "x", "1/16\", as usual"}}},
	}}
	entry := HandoverNewPage{Chrome: chrome(RoleProject), Project: "Quarry Street", Areas: []Choice{{"1", "Level 1"}, {"2", longName}}, Conditions: []Choice{{"walls_boarded", "walls boarded"}}, Trades: []string{"Partitions", longName}, Form: HandoverNewForm{Project: "1"}}
	entryFaults, entryShown := entry, entry
	entryFaults.Form, entryFaults.Faults = HandoverNewForm{Project: "1", Area: "2", Trade: longName, Date: "2026-12-24"}, Faults{{"condition", "Choose what the area is brought to."}, {"date", "Write the day as 2026-11-25."}}
	entryShown.Shown, entryShown.Area, entryShown.Condition, entryShown.Promised, entryShown.Instead = true, "Level 2 / East", "walls boarded", "Fri 4 Dec", "Level 2"
	entryShown.Form, entryShown.Effect = HandoverNewForm{Project: "1", Area: "2", Condition: "walls_boarded", Trade: longName, Date: "2026-12-04"}, try.Effect
	return map[string]Page{
		"handover-new": entry, "handover-new-faults": entryFaults, "handover-new-shown": entryShown,
		"tolerances": figures, "report-measured-beyond": measured, "preview-slips": sheet,
		"handover-faults": faults, "handover-try": try, "handover-try-nothing": nothing, "handover-try-unplanned": unplanned,
		"handovers-empty": HandoversPage{Chrome: chrome(RoleProject)}, "handovers-none-yet": HandoversPage{Chrome: chrome(RoleProject), Projects: []Choice{{"1", "Quarry Street"}}},
		"handovers-none": none, "handovers-typical": handoversPage(6), "handovers-worst": handoversPage(60),
		"handover-typical": handoverPage(3), "handover-came": came, "handover-worst": handoverPage(24), "handover-empty": HandoverPage{Chrome: chrome(RoleProject), ID: "1", Area: "Level 1", Cell: HandoverCell{ID: "1", Condition: "power live", State: NoDate}},
	}
}
