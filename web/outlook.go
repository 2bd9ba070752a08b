package web

import (
	"fmt"
	"math"
	"strings"
	"time"

	"jambwright/scheduler/forecast"
)

// Outlook is what a forecast says of one GC date beside the plan.
type Outlook struct {
	P10, P50, P80, P90 time.Time
	P80Low, P80High    time.Time // enclose the true P80 with 95 % confidence
	Settled            bool      // which are half a working day apart at most
	Chance             float64   // of being met, 0 to 1
	LateDays           float64   // expected, days of 24 hours
	Damages            float64   // expected
	Moves              []string  // what moves the date most, in sentences, strongest first
}

// ForecastInfo is the forecast that the page shows, and the one that is being made.
type ForecastInfo struct {
	Made    time.Time // zero when there is none
	Samples int
	ByHand  string // who asked for it; empty for a night's
	Older   bool   // it is of a plan before the one shown
	Certain bool   // nothing is uncertain
	CanAsk  bool
	// MayAssume says that the reader may edit what forecasts assume.
	MayAssume bool
	Running   *ForecastRun
	Failure   string // why the one asked for last was not made
	Stopped   bool   // somebody cancelled the one asked for last
	Verdict   string // what forecasts have been worth here, in a sentence
}

// ForecastRun is a forecast being made.
type ForecastRun struct {
	ID         string
	Done, Most int // samples; Most is 0 while it waits
}

// ChanceWords says a chance in words, for people who do not think in percentages. The number stands beside it.
func (f Format) ChanceWords(chance float64) string {
	switch {
	case chance >= 0.95:
		return "almost certain"
	case chance >= 0.75:
		return "likely"
	case chance > 0.55:
		return "more likely than not"
	case chance >= 0.45:
		return "as likely as not"
	case chance > 0.25:
		return "rather unlikely"
	case chance > 0.05:
		return "unlikely"
	}
	return "hardly possible"
}

// Percent is a share as a whole number, never 0 or 100 for what can happen or fail to.
func (f Format) Percent(share float64) string {
	whole := int(math.Round(100 * share))
	switch {
	case share > 0 && whole == 0:
		return "under 1 %"
	case share < 1 && whole == 100:
		return "over 99 %"
	}
	return fmt.Sprintf("%d %%", whole)
}

// Moves says how strongly something moves a GC date: "Supplier Northlight late: 3.1 working days of the spread".
func (f Format) Moves(s forecast.Sensitivity, names Names) string {
	days := fmt.Sprintf("%.1f working days of the spread", math.Abs(s.Days))
	if math.Abs(s.Days) < 0.05 {
		days = "less than a tenth of a working day of the spread"
	}
	if s.Days < 0 {
		days += ", the other way round"
	}
	return source(s.Source, names) + ": " + days
}

// source names what moves a date.
func source(s forecast.Source, names Names) string {
	if s.Cause != "" {
		return commonCause(s.Cause, s.Kind, names)
	}
	task := named(names.Tasks, s.Task, s.Task)
	switch s.Quantity {
	case forecast.Pace:
		return "Pace of crew " + named(names.Crews, s.Crew, s.Crew)
	case forecast.Slip:
		return capital(task) + " late"
	case forecast.Damage:
		return "Breakage at " + task
	case forecast.Remake:
		return "How long the remake for " + task + " takes"
	}
	return "How long " + task + " takes"
}

// commonCause names a cause that moves several things; its id is its kind and its name.
func commonCause(id, kind string, names Names) string {
	name := strings.TrimPrefix(id, kind+" ")
	switch kind {
	case "supplier":
		return "Supplier " + name + " late"
	case "trade":
		return capital(name) + " handing over late"
	case "area":
		return "Conditions in " + named(names.Areas, strings.Replace(name, " ", "/", 1), name)
	case "work":
		return "Hours of " + workNoun(name) + " in general"
	}
	return capital(name)
}

// workNoun is a kind of work as a noun.
func workNoun(kind string) string {
	switch kind {
	case "frame":
		return "framing"
	case "glaze":
		return "glazing"
	case "hang":
		return "hanging"
	case "punch":
		return "punch work"
	}
	return kind
}

// CalibrationPage answers what forecasts have been worth here. GET /dates/calibration.
type CalibrationPage struct {
	Chrome
	Result forecast.Calibration
	Dates  []CameDate
}

// Few reports whether too few dates have come to say much.
func (p CalibrationPage) Few() bool { return p.Result.Dates < fewDates }

const fewDates = 5

// Widened says what the next forecasts make of it, in a sentence.
func (p CalibrationPage) Widened() string { return widened(p.Result.Spread) }

func widened(spread float64) string {
	switch {
	case spread > 1.01:
		return fmt.Sprintf("The next forecasts’ spreads are widened by %.0f %%.", 100*(spread-1))
	case spread < 0.99:
		return fmt.Sprintf("The next forecasts’ spreads are narrowed by %.0f %%.", 100*(1-spread))
	}
	return "The next forecasts’ spreads stay as they are."
}

// Verdict is what a P80 has been worth, in a sentence; empty where no date has come.
func (f Format) Verdict(c forecast.Calibration) string {
	if c.Dates == 0 {
		return ""
	}
	return fmt.Sprintf("Of %s that came, %s did by the P80 of the nights before.", f.Of(c.Dates, "GC date", "GC dates"), f.Percent(c.ByP80))
}

// CameDate is one GC date that came, with what was said of it.
type CameDate struct {
	Name    string
	Project string
	Came    time.Time
	Nights  int
	Held    int      // nights whose P80 held
	First   *Outlook // of the first night kept
}

// Add counts a night's forecast.
func (d *CameDate) Add(k *forecast.Kept) {
	d.Nights++
	if !k.Came.After(k.P80) {
		d.Held++
	}
}
