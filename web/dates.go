package web

import "time"

// DatesPage answers a project manager: will each GC date hold. GET /dates.
type DatesPage struct {
	Chrome
	DataDate time.Time // zero when nothing has been planned
	Forecast ForecastInfo
	Rows     []DateRow
	InForce  []ScenarioLine // moves that the plan has in it
}

// DateRow is one GC date.
type DateRow struct {
	ID            string
	Name          string
	Project       string
	Area          string
	Work          string // what must be complete: "hang", "all work"
	Date          time.Time
	Forecast      *time.Time // nil when a task of the date cannot be planned
	FloatDays     float64    // working days to the date, negative when late
	DamagesPerDay float64    // 0 when none are agreed
	Before        *time.Time // forecast of the plan in force, nil when there is none
	Missing       []string   // why there is no forecast, in sentences
	Chain         []ChainStep
	Openings      int
	OpeningsDone  int
	Outlook       *Outlook   // nil without a forecast of chances
	Links         []DateLink // further pages about the date, such as what would win days back
}

// DateLink leads to a page about a GC date.
type DateLink struct{ Href, Text string }

// Met reports whether the forecast keeps the date.
func (r DateRow) Met() bool { return r.Forecast != nil && !r.Forecast.After(r.Date) }

// Holds reports whether the plan keeps the date and chances are not against it.
func (r DateRow) Holds() bool { return r.Met() && (r.Outlook == nil || r.Outlook.Chance >= 0.5) }

// ChainStep is one link of the driving chain, from the data date to the GC date.
type ChainStep struct {
	Sentence  string // from Format.Step
	OpeningID string // empty when there is no page to go to
	Start     time.Time
	Finish    time.Time
}
