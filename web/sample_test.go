package web

import (
	"fmt"
	"strings"
	"time"

	"jambwright/scheduler/length"
	"jambwright/scheduler/problem"
	"jambwright/web/elevation"
)

// The samples are an invented project read on an invented morning: Tuesday 1 December 2026, in New York.
var (
	newYork, _ = time.LoadLocation("America/New_York")
	now        = at(1, 6, 30)
	imperial   = Format{Units: Imperial, Zone: newYork, Now: now}
	metric     = Format{Units: Metric, Clock24: true, WeekStart: time.Monday, Zone: newYork, Now: now, Currency: "€"}
)

// at is an instant of December 2026 in New York; days past the end of the month run on into January.
func at(day, hour, minute int) time.Time {
	return time.Date(2026, time.December, day, hour, minute, 0, 0, newYork)
}

func on(day int) problem.Date { return problem.DateOf(at(day, 12, 0)) }

func atP(day, hour, minute int) *time.Time {
	t := at(day, hour, minute)
	return &t
}

func chrome(role Role) Chrome {
	names := map[Role]string{RoleOperations: "Ines Varga", RoleForeman: "Tomas Okoye", RoleProject: "Lena Brandt"}
	return Chrome{Viewer: Viewer{Name: names[role], Role: role}, Format: imperial, Demo: true}
}

// sampleTypes are the six types with usual measures.
var sampleTypes = []elevation.Opening{
	{Type: elevation.SlidingFront, Width: 78 * length.Inch, Height: 108 * length.Inch, Sidelights: []elevation.Sidelight{{Side: elevation.Left}}, Handing: elevation.Right},
	{Type: elevation.HingedFront, Width: 66 * length.Inch, Height: 96 * length.Inch, Sidelights: []elevation.Sidelight{{Side: elevation.Right}}},
	{Type: elevation.FixedLight, Width: 48 * length.Inch, Height: 48 * length.Inch},
	{Type: elevation.DoorFrame, Width: 36 * length.Inch, Height: 84 * length.Inch},
	{Type: elevation.Pair, Width: 72 * length.Inch, Height: 96 * length.Inch, Transom: 14 * length.Inch},
	{Type: elevation.Storefront, Width: 240 * length.Inch, Height: 108 * length.Inch, Lights: 5, Leaves: 1, DoorLight: 2},
}

func sampleElevation(i int) elevation.Opening {
	e := sampleTypes[i%len(sampleTypes)]
	e.Mark = fmt.Sprintf("D-%d%02d", 1+i/60, 1+i%60)
	e.Progress = elevation.Progress((i * 5) % 7)
	if i%11 == 4 {
		e.Hold = "wall"
	}
	return e
}

const longName = "Conference suite with operable partition, north-east corner, beside the freight elevator lobby of the high-rise bank"

func sampleTask(i int, state TaskState) DayTask {
	e := sampleElevation(i)
	e.Hold = ""
	kinds := []TaskKind{KindFrame, KindGlaze, KindHang, KindGlaze, KindPunch}
	task := DayTask{
		Key: fmt.Sprintf("frame:%d", i), Kind: kinds[i%len(kinds)], OpeningID: fmt.Sprint(i), Mark: e.Mark, Room: []string{"Office 214", "Quiet room", "Meeting room 2"}[i%3],
		Area: "Level 2 north", TypeName: e.Type.Name(), Width: e.Width, Height: e.Height, Elevation: &e, Start: at(2, 7+i%8, 0), Finish: at(2, 8+i%8, 30),
		Minutes: 90, State: state,
	}
	if task.Kind == KindGlaze {
		task.Glass = GlassLift{HeaviestKg: 71.3, Panes: 3, Hands: 4}
	}
	return task
}

var sampleCautions = []string{
	"Glass: cut-resistant gloves and sleeves, eye protection; edges are sharp until set.",
	"Drilling concrete: shroud and HEPA vacuum for silica dust.",
	"Above 6 ft: fall protection. Carry panes upright, never flat.",
}

func typicalTomorrow() TomorrowPage {
	names := Names{
		Tasks:     map[string]string{"t1": "D-201"},
		Crews:     map[string]string{"alder": "Alder"},
		Handovers: map[string]Handover{"h1": {Condition: "walls boarded", Area: "Level 2", Basis: "promised"}},
	}
	clear, waiting, held, busy, under := sampleTask(0, StateClear), sampleTask(1, StateWaiting), sampleTask(3, StateHeld), sampleTask(2, StateWaiting), sampleTask(5, StateUnderWay)
	waiting.Why = []string{imperial.OnDay(on(2)).Why(problem.Reason{Kind: problem.ReasonHandover, Ref: "h1", Until: at(2, 17, 0)}, "alder", names)}
	busy.Why = []string{imperial.OnDay(on(2)).Why(problem.Reason{Kind: problem.ReasonCrew, Ref: "t1", Until: at(2, 10, 30)}, "alder", names)}
	held.Why = []string{"held: wall out of plumb by 3/8\" over the height; Harrow Drywall owes the answer by Thu 3 Dec"}
	under.Note = "Started yesterday, 2 h left."
	clear.Pinned = true
	heavy := sampleTask(11, StateClear)
	heavy.Kind, heavy.Glass = KindGlaze, GlassLift{HeaviestKg: 142, Panes: 5, Hands: 8, Gear: "a vacuum lifter for 350 lb"}
	survey := DayTask{Key: "survey:L3", Kind: KindSurvey, Mark: "Survey of Level 3", Area: "Level 3", Start: at(2, 14, 0), Finish: at(2, 15, 30), Minutes: 90, State: StateClear}
	return TomorrowPage{
		Chrome: chrome(RoleForeman), Date: on(2), Previous: on(1), Next: on(3),
		Crews: []CrewDay{{
			Crew: CrewRef{ID: "alder", Name: "Alder", Heads: 3}, From: at(2, 7, 0), To: at(2, 15, 30), Minutes: 450,
			Tasks: []DayTask{under, clear, waiting, busy, held, heavy, survey},
			Bring: BringList{
				Fasteners: []Count{{"#8 × 1 1/4\" screws", 212}, {"1/4\" concrete anchors", 36}}, Gasket: 148 * length.Foot, SettingBlocks: 14,
				Lifting: []string{"Vacuum lifter for 350 lb, for D-112"}, Other: []Count{{"door closers", 2}},
			},
			Cautions: sampleCautions,
		}},
	}
}

func worstTomorrow() TomorrowPage {
	page := typicalTomorrow()
	page.Chrome = chrome(RoleOperations)
	page.Format = metric
	page.Alerts = []Alert{{Text: "Last night’s re-plan of Quarry Street failed: the plan was refused because crew Birch would have been in two places.", Href: "/nights/9", LinkText: "What happened"}}
	page.Notice = Notice{Text: "Reported: D-201 is done."}
	page.Crews = nil
	for c := range 60 {
		id := fmt.Sprintf("crew%d", c)
		page.Choices = append(page.Choices, CrewRef{ID: id, Name: fmt.Sprintf("Alder and Birch joined for the long weekend %d", c)})
		day := typicalTomorrow().Crews[0]
		day.Crew = CrewRef{ID: id, Name: fmt.Sprintf("Alder and Birch joined for the long weekend %d", c), Heads: 12}
		if c%9 == 8 {
			day = CrewDay{Crew: day.Crew, Off: "away: safety training"}
		}
		for i := range day.Tasks {
			day.Tasks[i].Room, day.Tasks[i].Area = longName, longName
		}
		page.Crews = append(page.Crews, day)
	}
	return page
}

func sampleOpenings(areas, each int) []AreaStrip {
	var strips []AreaStrip
	for a := range areas {
		strip := AreaStrip{ID: fmt.Sprint(a), Name: fmt.Sprintf("Quarry Street / Level %d %s", 1+a/2, []string{"north", "south"}[a%2])}
		for i := range each {
			e := sampleElevation(a*each + i)
			strip.Openings = append(strip.Openings, OpeningMark{ID: fmt.Sprint(a*each + i), Mark: e.Mark, Room: "Office", Elevation: e})
		}
		strips = append(strips, strip)
	}
	return strips
}

func openingsPage(areas, each int) OpeningsPage {
	return OpeningsPage{
		Chrome: chrome(RoleProject), Filter: OpeningsFilter{Project: "1"}, Projects: []Choice{{"1", "Quarry Street"}, {"2", "Harbor Annex"}},
		Areas: []Choice{{"a", "Level 1"}, {"b", "Level 2"}}, Types: []Choice{{"pair", "pair"}}, Strips: sampleOpenings(areas, each), Total: areas * each,
	}
}

func typicalOpening() OpeningPage {
	e := sampleTypes[0]
	e.Mark, e.Progress, e.Hold = "D-204", elevation.Framed, "wall"
	return OpeningPage{
		Chrome: chrome(RoleProject), ID: "204", Mark: "D-204", Project: "Quarry Street", ProjectID: "1", Area: "Level 2 north", Room: "Office 214",
		TypeName: "Sliding front with sidelight", Width: e.Width, Height: e.Height, Elevation: e,
		Facts: []Fact{{"Handing", "slides right"}, {"Glass", "3/8\" tempered"}, {"Release", "R3"}, {"Set in", "drywall on steel studs"}},
		Path: []PathStep{
			{Kind: KindSurvey, Shared: "survey of Level 2", State: StateDone, Crew: "Alder", Start: at(-18, 8, 0), Finish: at(-18, 9, 0), Actual: true, Minutes: 60},
			{Kind: KindOrder, Shared: "release R3", State: StateDone, Start: at(-16, 8, 0), Finish: at(-15, 12, 0), Actual: true},
			{Kind: KindDeliver, Shared: "release R3, drop 2", State: StateDone, Start: at(-4, 7, 0), Finish: at(-4, 9, 0), Actual: true},
			{Key: "frame:204", Kind: KindFrame, State: StateDone, Crew: "Alder", Start: at(-1, 7, 0), Finish: at(-1, 11, 0), Actual: true, Minutes: 240, Working: "set-up 20 min + 34.5 ft of jamb and head × 3.2 min + 28 screws × 1 min, × 1.15 for work off a ladder"},
			{Key: "glaze:204", Kind: KindGlaze, State: StateHeld, Crew: "Alder", Start: at(4, 7, 0), Finish: at(4, 9, 30), Minutes: 150, Why: []string{"held: wall out of plumb by 3/8\"; Harrow Drywall owes the answer by Thu 3 Dec"}, Float: "2 working days to spare"},
			{Key: "hang:204", Kind: KindHang, State: StateWaiting, Crew: "Cedar", Start: at(7, 7, 0), Finish: at(7, 8, 30), Minutes: 90, Why: []string{"waits for glazing of D-204, done Fri 4 Dec, 9:30 am"}},
			{Key: "punch:204", Kind: KindPunch, State: StateWaiting, Crew: "Cedar", Start: at(8, 13, 0), Finish: at(8, 13, 30), Minutes: 30, Why: []string{"waits for floor finished on Level 2, promised Mon 7 Dec"}},
		},
		Sizes: OpeningSizes{
			Measured: "6'-5 15/16\" × 9'-0 1/16\"", MeasuredAt: at(-18, 8, 30), Differs: "differs by width 1/16\" less and height 1/16\" more",
			Items: []Fact{{"Glass made to", "survey, measured Mon 9 Nov"}, {"Door leaf made to", "drawings, as the order basis says; measured after ordering, differs by width 1/16\" less"}},
			Panes: []PaneChange{{"pane 1", "3'-4 5/8\" × 8'-8\"", "3'-4 9/16\" × 8'-8 1/16\"", "width 1/16\" less and height 1/16\" more", "138 lb, now 138 lb"}},
		},
		Panes: []Pane{
			{Name: "Left sidelight", Width: 40*length.Inch + 5*2*length.Sixteenth, Height: 104 * length.Inch, Glass: "3/8\" tempered", WeightKg: 62.4, Hands: 3, Hint: "beside a door: check safety glazing with local code"},
			{Name: "Leaf", Width: 36 * length.Inch, Height: 102 * length.Inch, Glass: "3/8\" tempered", WeightKg: 55.1, Hands: 3},
		},
		Quantities: []Quantity{
			{"Head channel", "6'-6\"", "width of the opening"},
			{"Jambs", "18'-0\"", "2 × 9'-0\""},
			{"Screws", "44", "jambs: 2 × (1 + 108 in ÷ 18 in, rounded up) = 14; head track, two rows: 2 × (1 + 78 in ÷ 12 in, rounded up) = 16; channel 14"},
			{"Gasket", "48 ft", "both faces of the glazed frame"},
			{"Setting blocks", "4", "2 for each of 2 panes"},
		},
		Material:  []MaterialLine{{Item: "Frame kit", Supplier: "Bellrow Metals", State: "received", Received: at(-4, 9, 0)}, {Item: "Glass", Supplier: "Northpane", State: "acknowledged", OrderBy: at(-20, 12, 0), Promised: at(3, 12, 0), Late: "2 working days late by Northpane"}},
		Handovers: []HandoverLine{{Condition: "walls boarded", Area: "Level 2", Needed: "frame", Promised: at(-5, 12, 0), Actual: at(-3, 12, 0)}, {Condition: "floor finished", Area: "Level 2", Needed: "punch", Promised: at(7, 12, 0), Forecast: at(9, 12, 0)}},
		Reports:   []ReportLine{{At: at(1, 6, 10), By: "Tomas Okoye", Text: "hold: wall out of plumb by 3/8\"", Photos: []PhotoRef{{ID: 7, Width: 900, Height: 1200, About: "Photo: hold"}}}, {At: at(-1, 11, 0), By: "Tomas Okoye", Text: "frame done, 4 h"}, {At: at(-18, 8, 30), By: "Tomas Okoye", Text: "frame D-204 measured 6'-5 15/16 x 9'-0", TakeBack: "12", ReportID: "ab12"}},
		Cautions:  sampleCautions,
	}
}

func worstOpening() OpeningPage {
	page := typicalOpening()
	page.Format = metric
	page.Mark, page.Room, page.Area, page.Project = "D-2041A-NE-"+strings.Repeat("X", 30), longName, longName, longName
	page.Elevation = elevation.Opening{Mark: page.Mark, Type: elevation.Storefront, Width: 900 * length.Inch, Height: 120 * length.Inch, Lights: 18, Leaves: 2, DoorLight: 9, Transom: 24 * length.Inch, Progress: elevation.Punched, Hold: "damaged glass"}
	for range 60 {
		page.Reports = append(page.Reports, ReportLine{At: at(1, 6, 10), By: longName, Text: longName})
	}
	return page
}

func sampleOpeningEdit() OpeningEditPage {
	return OpeningEditPage{
		Chrome: chrome(RoleProject), ID: "204", Mark: "D-204", HasLeaves: true,
		Conditions: []Choice{{"occupied", "Occupied space"}, {"night_work", longName}},
		Form:       OpeningForm{Leaf: "solid", Conditions: []string{"occupied"}, Version: "3"},
		Faults:     Faults{{Field: "leaf", Message: "Say whether the leaves are solid or of glass."}},
	}
}
