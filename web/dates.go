package web

import "time"

// DatesPage answers a project manager: will each GC date hold. GET /dates.
type DatesPage struct {
	Chrome
	DataDate time.Time // zero when nothing has been planned
	Rows     []DateRow
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
}

// Met reports whether the forecast keeps the date.
func (r DateRow) Met() bool { return r.Forecast != nil && !r.Forecast.After(r.Date) }

// ChainStep is one link of the driving chain, from the data date to the GC date.
type ChainStep struct {
	Sentence  string // from Format.Step
	OpeningID string // empty when there is no page to go to
	Start     time.Time
	Finish    time.Time
}
