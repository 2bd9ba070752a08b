package importing

import (
	"encoding/json"
	"fmt"

	"jambwright/scheduler/length"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// Report is a sheet as a JSON document for other programs. Lengths are exact decimal numbers of millimetres.
type Report struct {
	Kind     Kind           `json:"kind"`
	File     string         `json:"file"`
	Rows     []any          `json:"rows"`
	Errors   []ReportFault  `json:"errors"`
	Warnings []ReportFault  `json:"warnings"`
	Passed   []ReportPassed `json:"passed_over"`
}

// ReportFault is a fault or warning.
type ReportFault struct {
	File    string `json:"file"`
	Sheet   string `json:"sheet,omitempty"`
	Row     int    `json:"row"`
	Column  string `json:"column"`
	Cell    string `json:"cell,omitempty"`
	Value   string `json:"value"`
	Message string `json:"message"`
}

// ReportPassed is a row left out on purpose.
type ReportPassed struct {
	Sheet string `json:"sheet,omitempty"`
	Row   int    `json:"row"`
	Text  string `json:"text"`
	Why   string `json:"why"`
}

// NewReport writes a sheet as a report. Its lists are never null.
func NewReport(s *Sheet) Report {
	r := Report{Kind: s.Kind, File: s.File, Rows: []any{}, Errors: reportFaults(s.Faults), Warnings: reportFaults(s.Warnings), Passed: []ReportPassed{}}
	for _, o := range s.Openings {
		r.Rows = append(r.Rows, reportOpening(o))
	}
	for _, c := range s.Crews {
		r.Rows = append(r.Rows, reportCrew(c))
	}
	for _, h := range s.Handovers {
		r.Rows = append(r.Rows, reportedHandover{h.Row, h.Sheet, h.Level, h.Area, h.Room, h.Condition, h.Trade, h.Promised, h.Forecast, h.Actual, h.Notes})
	}
	for _, x := range s.Suppliers {
		r.Rows = append(r.Rows, reportedSupplier{x.Row, x.Sheet, x.Name, nonNil(x.Items), x.Lead.Least, x.Lead.Likely, x.Lead.Most, x.Lead.CalendarDays, x.OrderBasis, x.Notes})
	}
	for _, g := range s.GCDates {
		r.Rows = append(r.Rows, reportedGCDate{g.Row, g.Sheet, g.Name, g.Level, g.Area, g.Work, g.Date, g.DamagesPerDay, g.Notes})
	}
	for _, x := range s.Rates {
		r.Rows = append(r.Rows, reportedRate{x.Row, x.Sheet, x.Work, x.Type, x.Driver, x.Hours, x.Source})
	}
	for _, p := range s.Passed {
		r.Passed = append(r.Passed, ReportPassed{p.Sheet, p.Row, p.Text, p.Why})
	}
	return r
}

func reportFaults(faults []Fault) []ReportFault {
	list := make([]ReportFault, 0, len(faults))
	for _, f := range faults {
		list = append(list, ReportFault{f.File, f.Sheet, f.Row, f.Column, f.Cell, f.Value, f.Explanation()})
	}
	return list
}

// reportedRate holds labour hours a unit; lengths count metres, areas square metres.
type reportedRate struct {
	Row    int            `json:"row"`
	Sheet  string         `json:"sheet,omitempty"`
	Work   takeoff.Kind   `json:"work"`
	Type   takeoff.Type   `json:"type,omitempty"`
	Driver takeoff.Driver `json:"driver"`
	Hours  float64        `json:"hours"`
	Source string         `json:"source,omitempty"`
}

type reportedOpening struct {
	Row            int                 `json:"row"`
	Sheet          string              `json:"sheet,omitempty"`
	Mark           string              `json:"mark"`
	Type           takeoff.Type        `json:"type"`
	Level          string              `json:"level"`
	Area           string              `json:"area"`
	Room           string              `json:"room,omitempty"`
	Width          json.Number         `json:"width_mm"`
	Height         json.Number         `json:"height_mm"`
	Quantity       int                 `json:"quantity"`
	Thickness      *json.Number        `json:"thickness_mm,omitempty"`
	Leaves         int                 `json:"leaves"`
	LeafWidth      *json.Number        `json:"leaf_width_mm,omitempty"`
	LeafHeight     *json.Number        `json:"leaf_height_mm,omitempty"`
	Sidelights     []reportedSidelight `json:"sidelights,omitempty"`
	Lights         int                 `json:"lights,omitempty"`
	Transom        *json.Number        `json:"transom_mm,omitempty"`
	ButtJoints     bool                `json:"butt_joints,omitempty"`
	Handing        string              `json:"handing,omitempty"`
	Glass          string              `json:"glass,omitempty"`
	GlassKind      takeoff.GlassKind   `json:"glass_kind,omitempty"`
	GlassThickness *json.Number        `json:"glass_thickness_mm,omitempty"`
	FireRating     string              `json:"fire_rating,omitempty"`
	FireMinutes    int                 `json:"fire_minutes,omitempty"`
	HardwareSet    string              `json:"hardware_set,omitempty"`
	Release        string              `json:"release,omitempty"`
	Supplier       string              `json:"supplier,omitempty"`
	Finish         string              `json:"finish,omitempty"`
	Notes          string              `json:"notes,omitempty"`
}

type reportedSidelight struct {
	Width *json.Number `json:"width_mm"` // null where the sheet gives none
	Side  takeoff.Side `json:"side,omitempty"`
}

// reportOpening gives the room as the area of a sheet that knows no other part of a level.
func reportOpening(o OpeningRow) reportedOpening {
	r := reportedOpening{
		Row: o.Row, Sheet: o.Sheet, Mark: o.Mark, Type: o.Type, Level: o.Level, Area: firstNonEmpty(o.Area, o.Room), Room: o.Room,
		Width: o.Width.MillimetreNumber(), Height: o.Height.MillimetreNumber(), Quantity: o.Quantity, Thickness: given(o.Thickness),
		Leaves: o.Leaves, LeafWidth: given(o.LeafWidth), LeafHeight: given(o.LeafHeight), Lights: o.Lights,
		Transom: given(o.Transom), ButtJoints: o.ButtJoints, Handing: o.Handing, Glass: o.Glass,
		GlassKind: o.GlassKind, GlassThickness: given(o.GlassThickness), FireRating: o.FireRating, FireMinutes: o.FireMinutes,
		HardwareSet: o.HardwareSet, Release: o.Release, Supplier: o.Supplier, Finish: o.Finish, Notes: o.Notes,
	}
	for _, s := range o.Sidelights {
		r.Sidelights = append(r.Sidelights, reportedSidelight{given(s.Width), s.Side})
	}
	return r
}

// given is nil for a length that the sheet does not give.
func given(l length.Length) *json.Number {
	if l == 0 {
		return nil
	}
	n := l.MillimetreNumber()
	return &n
}

type reportedCrew struct {
	Row          int            `json:"row"`
	Sheet        string         `json:"sheet,omitempty"`
	Name         string         `json:"name"`
	Foreman      string         `json:"foreman,omitempty"`
	Heads        int            `json:"heads"`
	Skills       []takeoff.Kind `json:"skills"`
	HomeSite     string         `json:"home_site,omitempty"`
	Sites        []string       `json:"sites,omitempty"`
	Calendar     string         `json:"calendar,omitempty"`
	Shift        string         `json:"shift,omitempty"`
	CostPerHour  *float64       `json:"cost_per_hour,omitempty"`
	Productivity *float64       `json:"productivity,omitempty"`
	Away         []reportedAway `json:"away,omitempty"`
	Notes        string         `json:"notes,omitempty"`
}

type reportedAway struct {
	From problem.Date `json:"from"`
	To   problem.Date `json:"to"`
}

func reportCrew(c CrewRow) reportedCrew {
	r := reportedCrew{
		c.Row, c.Sheet, c.Name, c.Foreman, c.Heads, nonNil(c.Skills), c.HomeSite, c.Sites, c.Calendar, c.Shift.String(),
		c.CostPerHour, c.Productivity, nil, c.Notes,
	}
	for _, a := range c.Away {
		r.Away = append(r.Away, reportedAway(a))
	}
	return r
}

// String shows a shift as 07:00-15:30, "" for none.
func (s Shift) String() string {
	if s == (Shift{}) {
		return ""
	}
	return fmt.Sprintf("%02d:%02d-%02d:%02d", s.Start/60, s.Start%60, s.Finish/60%24, s.Finish%60)
}

type reportedHandover struct {
	Row       int           `json:"row"`
	Sheet     string        `json:"sheet,omitempty"`
	Level     string        `json:"level"`
	Area      string        `json:"area"`
	Room      string        `json:"room,omitempty"`
	Condition string        `json:"condition"`
	Trade     string        `json:"trade,omitempty"`
	Promised  *problem.Date `json:"promised"`
	Forecast  *problem.Date `json:"forecast"`
	Actual    *problem.Date `json:"actual"`
	Notes     string        `json:"notes,omitempty"`
}

type reportedSupplier struct {
	Row          int      `json:"row"`
	Sheet        string   `json:"sheet,omitempty"`
	Name         string   `json:"name"`
	Items        []string `json:"items"`
	Least        int      `json:"lead_days_least"`
	Likely       int      `json:"lead_days_likely"`
	Most         int      `json:"lead_days_most"`
	CalendarDays bool     `json:"calendar_days"`
	OrderBasis   string   `json:"order_basis,omitempty"`
	Notes        string   `json:"notes,omitempty"`
}

type reportedGCDate struct {
	Row           int          `json:"row"`
	Sheet         string       `json:"sheet,omitempty"`
	Name          string       `json:"name"`
	Level         string       `json:"level"`
	Area          string       `json:"area"`
	Work          takeoff.Kind `json:"work"`
	Date          problem.Date `json:"date"`
	DamagesPerDay *float64     `json:"damages_per_day"`
	Notes         string       `json:"notes,omitempty"`
}

func nonNil[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
