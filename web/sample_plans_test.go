package web

import (
	"fmt"
	"maps"
	"time"

	"jambwright/scheduler/forecast"
	"jambwright/scheduler/problem"
	"jambwright/web/elevation"
)

func reportPage(kind ReportKind, faults ...FieldFault) ReportPage {
	e := sampleElevation(1)
	return ReportPage{
		Chrome: chrome(RoleForeman),
		Task:   ReportTask{Key: "frame:1", Kind: KindFrame, OpeningID: "1", Mark: "D-102", Room: "Office 102", Area: "Level 1", Crew: "Alder", State: StateUnderWay, Elevation: &e},
		Form:   ReportForm{ReportID: "6f0a2c1e-0000-4000-8000-000000000001", Task: "frame:1", Kind: kind, Date: "2026-12-01", Time: "06:30", Return: "/tomorrow?crew=alder"},
		Faults: faults, Parties: []Choice{{"Harrow Drywall", "Harrow Drywall"}, {"General contractor", "General contractor"}}, Items: []Choice{{"glass-left", "Left sidelight pane"}, {"leaf", "Door leaf"}},
	}
}

var crewNames = []string{"Alder", "Birch", "Cedar", "Dogwood", "Elm", "Fir", "Gum", "Hazel"}

// crewsPage has n crews; each day a crew works in one area, sometimes in two with travel, sometimes with a gap.
func crewsPage(n int) CrewsPage {
	page := CrewsPage{
		Chrome: chrome(RoleOperations), From: on(1), Previous: on(-20), Next: on(22), DataDate: at(1, 6, 0),
		Draft: Draft{PlanID: "12", IssuedAt: at(-4, 17, 5), IssuedBy: "Ines Varga", Changes: 23},
	}
	for d := range 21 {
		day := Day{Date: on(1 + d)}
		if weekday := at(1+d, 12, 0).Weekday(); weekday == time.Saturday || weekday == time.Sunday {
			day.Off = "weekend"
		}
		page.Days = append(page.Days, day)
	}
	for c := range n {
		lane := CrewLane{Crew: CrewRef{ID: fmt.Sprintf("c%d", c), Name: crewNames[c%len(crewNames)], Heads: 2 + c%3}, Site: "Quarry Street", IdleMinutes: 150 * (c % 3)}
		if c >= len(crewNames) {
			lane.Crew.Name += fmt.Sprintf(" %d of the second shift", c)
		}
		for d, day := range page.Days {
			lane.Days = append(lane.Days, sampleLaneDay(c, d, day))
		}
		if c == 2 {
			lane.Trouble = []string{"Double-booked on Thu 3 Dec: Level 2 north and Level 3 south at 10:00 am"}
		}
		page.Lanes = append(page.Lanes, lane)
	}
	return page
}

func sampleLaneDay(c, d int, day Day) LaneDay {
	lane := LaneDay{Date: day.Date, Off: day.Off}
	if c == 3 && d > 1 && d < 5 {
		lane.Off = "away: training"
	}
	if lane.Off != "" {
		return lane
	}
	piece := LanePiece{Key: fmt.Sprintf("c%d-%s", c, day.Date), Kind: PieceWork, Area: fmt.Sprintf("L%d %s", 1+(c+d/4)%4, []string{"north", "south"}[(c+d/3)%2]), Minutes: 400, Start: at(1+d, 7, 0), Finish: at(1+d, 14, 0)}
	for i := range 2 + (c*3+d*5)%9 {
		piece.Marks = append(piece.Marks, LaneMark{TaskKey: fmt.Sprintf("t%d-%d-%d", c, d, i), OpeningID: fmt.Sprint(i), Mark: fmt.Sprintf("D-%d%02d", 1+c%4, (d*5+i)%60), Kind: TaskKinds()[3+(c+d)%4], State: StateClear, Start: at(1+d, 7+i%7, 0), Pinned: c == 1 && d == 0})
	}
	lane.Pieces = append(lane.Pieces, piece)
	if (c+d)%5 == 0 {
		lane.Pieces = append(lane.Pieces, LanePiece{Kind: PieceTravel, Site: "Harbor Annex", Minutes: 45}, LanePiece{Key: fmt.Sprintf("c%d-%s-2", c, day.Date), Kind: PieceWork, Area: "Annex L1", Minutes: 90, Start: at(1+d, 14, 0), Finish: at(1+d, 15, 30), Marks: []LaneMark{{TaskKey: fmt.Sprintf("x%d-%d", c, d), Mark: "H-11", Kind: KindHang, State: StateHeld}}})
	}
	if (c+d)%4 == 1 {
		lane.Pieces = append(lane.Pieces, LanePiece{Kind: PieceIdle, Minutes: 90 + 30*(d%3)})
	}
	if c == 2 && d == 2 {
		lane.Pieces[0].Trouble = "also on L3 south at 10:00 am"
	}
	return lane
}

func sampleEffects() []DateEffect {
	return []DateEffect{
		{"Level 2 glazing complete", at(11, 17, 0), atP(9, 15, 30), atP(10, 15, 30), 2, 1},
		{"Level 3 substantial completion", at(18, 17, 0), atP(17, 12, 0), atP(22, 12, 0), 1, -2},
		{"Lobby storefront", at(23, 17, 0), atP(22, 12, 0), atP(18, 12, 0), 1, 3},
		{"Level 4 glazed", at(28, 17, 0), atP(22, 12, 0), atP(22, 12, 20), 3.31, 3.29},
		{"Annex", at(30, 17, 0), nil, nil, 0, 0},
	}
}

func sampleMoves(n int) []MovedTask {
	var moved []MovedTask
	for i := range n {
		moved = append(moved, MovedTask{Mark: fmt.Sprintf("D-%d", 201+i), OpeningID: fmt.Sprint(i), Kind: TaskKinds()[3+i%4], CrewBefore: "Alder", CrewAfter: crewNames[i%8], Before: at(2+i%9, 7, 0), After: at(3+i%9, 9, 30), Cause: []string{"crew Alder goes to Level 3", "waits for glass of release R3, promised Thu 3 Dec"}[i%2]})
	}
	return append(moved, MovedTask{Mark: "D-300", Kind: KindPunch, Before: at(4, 7, 0)})
}

func movePage() MovePreviewPage {
	return MovePreviewPage{
		Chrome: chrome(RoleOperations), Token: "tk", Back: "/crews?from=2026-12-01", Marks: []string{"D-201", "D-202"}, FromCrew: "Alder", ToCrew: "Birch", Start: at(3, 7, 0), Pin: true,
		Dates: sampleEffects(), Moved: sampleMoves(6),
		Cost: CostEffect{Known: true, CrewBefore: 84250, CrewAfter: 83990, DamagesBefore: 0, DamagesAfter: 5000, TravelBefore: 340, TravelAfter: 385, IdleBefore: 600, IdleAfter: 420},
	}
}

func runningDates() DatesPage {
	page := datesPage(2)
	page.Forecast.Running = &ForecastRun{ID: "7", Done: 300, Most: 2000}
	return page
}

func failedDates() DatesPage {
	page := datesPage(2)
	page.Forecast = ForecastInfo{CanAsk: true, Failure: "the database went away", Stopped: true}
	return page
}

func calibrationPage() CalibrationPage {
	return CalibrationPage{
		Chrome: chrome(RoleProject), Result: forecast.Calibration{Dates: 3, Forecasts: 61, ByP50: 0.4, ByP80: 0.78, ByP90: 0.92, InBand: 0.8, Spread: 1.08},
		Dates: []CameDate{{Name: "Level 2 glazing complete", Project: "Quarry Street", Came: at(1, 15, 0), Nights: 21, Held: 17, First: &Outlook{P10: at(-3, 15, 0), P90: at(6, 15, 0)}}},
	}
}

func datesPage(n int) DatesPage {
	page := DatesPage{Chrome: chrome(RoleProject), DataDate: at(1, 6, 0)}
	page.Forecast = ForecastInfo{Made: at(1, 2, 10), Samples: 1400, CanAsk: true, Verdict: page.Format.Verdict(forecast.Calibration{Dates: 3, ByP80: 0.81})}
	names := Names{
		Tasks: map[string]string{"t1": "framing of D-201", "t2": "glazing of D-201", "t3": "hanging of D-201", "d3": "delivery of release R3"}, Crews: map[string]string{"alder": "Alder", "cedar": "Cedar"},
		Handovers: map[string]Handover{"h": {"walls boarded", "Level 2", "promised", problem.Date{}}}, Materials: map[string]Material{"d3": {"glass of release R3", "Northpane", "promised", problem.Date{}}},
	}
	alder, cedar := "alder", "cedar"
	chain := []problem.PlannedTask{
		{ID: "t1", Crew: &alder, Start: at(3, 7, 0), Finish: at(3, 11, 0), Reason: problem.Reason{Kind: problem.ReasonHandover, Ref: "h", Until: at(3, 0, 0)}},
		{ID: "t2", Crew: &alder, Start: at(8, 7, 0), Finish: at(8, 9, 30), Reason: problem.Reason{Kind: problem.ReasonMaterial, Ref: "d3", Until: at(8, 0, 0)}},
		{ID: "t3", Crew: &cedar, Start: at(9, 7, 0), Finish: at(9, 15, 30), Reason: problem.Reason{Kind: problem.ReasonCrew, Ref: "t2", Until: at(9, 7, 0)}},
	}
	var steps []ChainStep
	before := ""
	for _, task := range chain {
		steps = append(steps, ChainStep{Sentence: page.Format.Step(task, before, names), OpeningID: "201", Start: task.Start, Finish: task.Finish})
		before = task.ID
	}
	for i := range n {
		row := DateRow{ID: fmt.Sprint(i), Name: []string{"Level 2 glazing complete", "Level 3 substantial completion", "Lobby storefront", "Annex ready for furniture"}[i%4], Project: "Quarry Street", Area: fmt.Sprintf("Level %d", 1+i%4), Work: "all work", Date: at(11+5*i%90, 17, 0), DamagesPerDay: 2500, Chain: steps, Openings: 46, OpeningsDone: 12, Before: atP(10, 12, 0)}
		row.Forecast, row.FloatDays = atP(9+5*i%90, 15, 30), 2
		if i%4 != 3 {
			row.Outlook = &Outlook{
				P10: at(7+5*i%90, 15, 0), P50: at(10+5*i%90, 15, 0), P80: at(14+5*i%90, 15, 0), P90: at(19+5*i%90, 15, 0),
				P80Low: at(13+5*i%90, 15, 0), P80High: at(16+5*i%90, 15, 0), Chance: float64(i%11) / 10, LateDays: 1.7, Damages: 4250, Settled: i%2 == 0,
				Moves: []string{"Supplier Northpane late: 3.1 working days of the spread", "Hours of framing in general: 1.2 working days of the spread"},
			}
			row.Links = []DateLink{{"/handovers", "What would win days back"}}
		}
		switch i % 4 {
		case 1:
			row.Forecast, row.FloatDays = atP(22+5*i%90, 12, 0), -3.5
		case 3:
			row.Forecast, row.Chain, row.Missing = nil, nil, []string{"D-411 is held without a date: the architect owes the answer"}
		}
		page.Rows = append(page.Rows, row)
	}
	return page
}

func nightsPage() NightsPage {
	return NightsPage{
		Chrome: chrome(RoleOperations), NextRun: at(2, 2, 0), CanRun: true, Projects: []Choice{{"1", "Quarry Street"}, {"2", "Harbor Annex"}},
		Runs: []NightLine{
			{ID: "9", Project: "Quarry Street", Night: at(1, 2, 0), Outcome: NightFailed, Failure: "the plan was refused: crew Birch would have been in two places at 10:00 am."},
			{ID: "8", Project: "Harbor Annex", Night: at(1, 2, 0), Outcome: NightDone, Moved: 12, Reports: 7, DatesOut: 1},
			{ID: "7", Project: "Quarry Street", Night: at(-1, 2, 0), ByHand: "Ines Varga", Outcome: NightDone, Moved: 0, Reports: 0},
		},
	}
}

func nightPage() NightPage {
	return NightPage{
		Chrome: chrome(RoleOperations), ID: "8", Project: "Harbor Annex", Night: at(1, 2, 0), Started: at(1, 2, 0), Finished: at(1, 2, 1), Outcome: NightDone,
		Read:  []ReadLine{{At: at(-1, 15, 0), Text: "Tomas Okoye: D-204 glaze held, wall out of plumb"}, {At: at(-1, 16, 0), Text: "walls boarded on Level 3 slips from Wed 2 Dec to Mon 7 Dec"}, {At: at(-1, 16, 5), Text: "Tomas Okoye: D-201 frame done", Usual: true}},
		Dates: sampleEffects(), Moved: sampleMoves(12), NoForecast: "it was not ready within 2m0s", Unplanned: []UnplannedLine{{"D-411", "411", KindGlaze, "no crew has the 8 pairs of hands its pane needs; use a vacuum lifter"}},
		Notes: []string{"D-207 was glazed before it was framed; it goes on as reported"}, Found: "Best of 400 plans; lateness cannot be lower than $2,500.",
	}
}

func previewPage(rows int) ImportPreviewPage {
	page := ImportPreviewPage{
		Chrome: chrome(RoleProject), Token: "tk", File: "Door schedule rev 4.xlsx", Kind: SheetKinds()[0], Project: "Quarry Street", ProjectID: "1",
		Read: "sheet “Doors”, headings in row 4", Columns: []string{"Type", "Size", "Level", "Room"},
		Faults:    []SheetFault{{"Door schedule rev 4.xlsx", 18, "Width", "3-0-7", "is no length", "write 3'-0\" or 914 mm"}, {"Door schedule rev 4.xlsx", 22, "Mark", "", "is missing", "give each opening a mark"}},
		Warnings:  []SheetFault{{"Door schedule rev 4.xlsx", 30, "Height", "70'-0\"", "is very high for a pair", "check it on the drawings"}},
		Questions: []ImportQuestion{{"204", "D-204 was 6'-6\" wide and is framed; the sheet says 6'-8\".", []Choice{{"keep", "Keep what stands"}, {"take", "Take the sheet’s size and order glass again"}}, ""}},
	}
	for i := range rows {
		e := sampleElevation(i)
		e.Progress, e.Hold = elevation.Measured, ""
		row := PreviewRow{Row: 5 + i, Change: []RowChange{RowNew, RowSame, RowChanged, RowGone}[i%4], Name: e.Mark, Cells: []string{e.Type.Name(), imperial.Size(e.Width, e.Height), "Level 2", "Office 214"}, Elevation: &e}
		if row.Change == RowChanged {
			row.Was = []string{"", "3'-0\" × 7'-0\"", "", ""}
		}
		page.Rows = append(page.Rows, row)
	}
	return page
}

// samplePages are all pages in the states worth looking at, by name.
func samplePages() map[string]Page {
	crewsOpen := crewsPage(8)
	crewsOpen.Open = "c1-" + on(1).String()
	crewsFault := crewsPage(3)
	crewsFault.Open, crewsFault.Form, crewsFault.Faults = "c0-"+on(1).String(), MoveForm{Crew: "c2", Date: "2026-12-03", Time: "07:00"}, Faults{{"crew", "Crew Cedar cannot glaze."}}
	refused := movePage()
	refused.Refused = "crew Birch has 2 heads and D-201 needs 4 to lift its pane."
	failed := nightPage()
	failed.Outcome, failed.Failure, failed.Reference = NightFailed, "the plan was refused: crew Birch would have been in two places.", "n8-4f2c"
	noFault := previewPage(0)
	noFault.Faults, noFault.Warnings, noFault.Questions = nil, nil, nil
	guest := Chrome{Format: imperial}
	demo := Chrome{Format: imperial, Demo: true}
	filtered := openingsPage(0, 0)
	filtered.Total, filtered.Filter = 160, OpeningsFilter{Project: "1", State: "held"}
	pages := map[string]Page{
		"tomorrow-empty":   TomorrowPage{Chrome: chrome(RoleOperations), Date: on(2), Previous: on(1), Next: on(3), NoPlan: true},
		"tomorrow-no-crew": TomorrowPage{Chrome: chrome(RoleForeman), Date: on(2), Previous: on(1), Next: on(3)},
		"tomorrow-typical": typicalTomorrow(),
		"tomorrow-worst":   worstTomorrow(),
		"report-kinds":     reportPage(""),
		"report-start":     reportPage(ReportStart), "report-done": reportPage(ReportDone), "report-part": reportPage(ReportPartDone), "report-hours": reportPage(ReportHours),
		"report-hold":    reportPage(ReportHold, FieldFault{"cause", "Say what stops the work."}, FieldFault{"", "The task has been reported done at 6:10 am."}),
		"report-damaged": reportPage(ReportDamaged), "report-measured": reportPage(ReportMeasured, FieldFault{"width", "“6-7x” is no length; write 6'-7\"."}),
		"report-try": ReportTryPage{
			Chrome: chrome(RoleProject), Token: "abc", Task: reportPage(ReportDamaged).Task, News: "glaze D-204 damaged glass: corner broken", Photos: 2,
			Effect: TrialEffect{Dates: sampleEffects(), Moved: sampleMoves(40), Openings: 12},
		},
		"openings-empty":   OpeningsPage{Chrome: chrome(RoleProject)},
		"openings-none":    filtered,
		"openings-typical": openingsPage(4, 41),
		"openings-worst":   openingsPage(20, 100),
		"factor-add":       FactorPage{Chrome: chrome(RoleOperations), Adds: true, Kinds: []Choice{{"", "all work on an opening"}}, Faults: Faults{{Field: "factor", Message: "Write a factor."}}},
		"factor-change":    FactorPage{Chrome: chrome(RoleOperations), Name: longName, Kinds: []Choice{{"hang", "hanging"}}, Form: FactorForm{Condition: "occupied", Kind: "hang", Factor: "1.2", Version: "2"}},
		"opening-edit":     sampleOpeningEdit(),
		"opening-empty":    OpeningPage{Chrome: chrome(RoleForeman), ID: "1", Mark: "D-1", TypeName: "pair"},
		"opening-typical":  typicalOpening(), "opening-worst": worstOpening(),
		"sooner-empty": SoonerPage{Chrome: chrome(RoleForeman), ID: "1", Mark: "D-1"}, "sooner-done": SoonerPage{Chrome: chrome(RoleForeman), ID: "1", Mark: "D-1", MadeAt: at(1, 2, 0)},
		"sooner-typical": SoonerPage{Chrome: chrome(RoleProject), ID: "1", Mark: "D-201", Project: "Quarry Street", ProjectID: "1", MadeAt: at(1, 2, 0), Tasks: []SoonerTask{{Key: "QS/D-201/frame", Kind: KindFrame, Lines: imperial.Sooner(sampleLadder(), soonerNames)}, {Key: "QS/R3/deliver", Kind: KindDeliver, Shared: "release R3", Lines: []string{"It is not in this plan. The next plan takes it in."}}}},
		"sooner-worst":   worstSooner(),
		"crews-empty":    CrewsPage{Chrome: chrome(RoleOperations), From: on(1), Previous: on(-20), Next: on(22)}, "crews-typical": crewsPage(8), "crews-open": crewsOpen, "crews-fault": crewsFault, "crews-worst": crewsPage(60),
		"move": movePage(), "move-refused": refused,
		"issue":       IssuePage{Chrome: chrome(RoleOperations), Draft: Draft{PlanID: "12", IssuedAt: at(-4, 17, 0), Changes: 23}, Dates: sampleEffects(), Moved: sampleMoves(400), Notes: []string{"pin of D-201 had to move: crew Alder is away"}},
		"issue-empty": IssuePage{Chrome: chrome(RoleOperations), Draft: Draft{PlanID: "12", Issued: true, IssuedAt: at(-4, 17, 0)}}, "issue-first": IssuePage{Chrome: chrome(RoleOperations), Draft: Draft{PlanID: "1"}},
		"dates-empty": DatesPage{Chrome: chrome(RoleProject)}, "dates-typical": datesPage(4), "dates-worst": datesPage(40),
		"dates-running": runningDates(), "dates-failed": failedDates(),
		"calibration-empty": CalibrationPage{Chrome: chrome(RoleProject)}, "calibration-typical": calibrationPage(),
		"dates-unplanned": DatesPage{Chrome: chrome(RoleProject), Rows: []DateRow{{ID: "1", Name: "Level 2", Date: at(9, 17, 0)}}},
		"nights-empty":    NightsPage{Chrome: chrome(RoleProject)}, "nights-typical": nightsPage(),
		"night": nightPage(), "night-failed": failed, "night-queued": NightPage{Chrome: chrome(RoleProject), ID: "1", Project: "Quarry Street", Night: at(1, 2, 0), Outcome: NightQueued},
		"import-empty": ImportPage{Chrome: chrome(RoleProject), NoneYet: true}, "import-typical": ImportPage{Chrome: chrome(RoleProject), Projects: []Choice{{"1", "Quarry Street"}}, Form: ImportForm{Project: "1", Kind: "crews"}, Faults: Faults{{"file", "Choose a file."}}},
		"preview-same": noFault, "preview-typical": previewPage(24), "preview-worst": previewPage(2000),
		"projects-empty": ProjectsPage{Chrome: chrome(RoleOperations)},
		"projects":       ProjectsPage{Chrome: chrome(RoleProject), Projects: []ProjectLine{{"1", "Quarry Street", "Quarry Street 14", 164, 22, 3, "Next GC date: Level 2 glazing complete, Fri 11 Dec, 2 working days to spare."}, {"2", longName, longName, 2000, 0, 0, ""}}},
		"sign-in":        SignInPage{Chrome: guest, Fault: "Name or password is not right."}, "sign-in-demo": SignInPage{Chrome: demo}, "sign-in-wait": SignInPage{Chrome: guest, Wait: 40},
		"welcome":         WelcomePage{Chrome: guest, Token: "abc", Faults: Faults{{"password", "Use twelve characters or more."}}},
		"error-not-found": ErrorPage{Chrome: chrome(RoleForeman), Kind: ErrorNotFound}, "error-not-allowed": ErrorPage{Chrome: chrome(RoleForeman), Kind: ErrorNotAllowed}, "error-unknown": ErrorPage{Chrome: guest, Kind: ErrorUnknown, Reference: "r-81c2"},
		"error-stale": ErrorPage{Chrome: chrome(RoleOperations), Kind: ErrorStale, Again: "/crews", Stale: StaleWrite{"crew Alder", "Lena Brandt", at(1, 6, 12), []StaleField{{"Heads", "3", "4"}}}},
	}
	maps.Copy(pages, sampleHandoverPages())
	maps.Copy(pages, materialPages())
	maps.Copy(pages, sampleDelayPages())
	maps.Copy(pages, recoverySamples())
	return withRates(pages)
}
