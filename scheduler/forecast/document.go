package forecast

import (
	"encoding/json"
	"fmt"
	"io"
	"time"

	"jambwright/scheduler/problem"
)

// Forecast is what will happen to every GC date of a problem, with which chance.
type Forecast struct {
	Version   int       `json:"version"`
	DataDate  time.Time `json:"data_date"`
	Seed      uint64    `json:"seed"`
	Samples   int       `json:"samples"`    // 0 when nothing is uncertain
	StoppedBy StoppedBy `json:"stopped_by"` // why no further samples were made
	Spread    float64   `json:"spread"`     // by how much all spreads were widened, 1 for not at all
	Notes     []string  `json:"notes"`
	GCDates   []Date    `json:"gc_dates"` // in the order of the problem
}

// StoppedBy says why a forecast ended.
type StoppedBy string

// The reasons to stop.
const (
	Settled    StoppedBy = "settled" // the P80 of every GC date is known to half a working day
	AllSamples StoppedBy = "samples" // the number of samples that was asked for
	Certain    StoppedBy = "certain" // nothing is uncertain: the forecast is the plan
)

// Date is the forecast of one GC date. The times are nil where the plan has no finish for it, or too few samples reach one.
type Date struct {
	ID   string    `json:"id"`
	Date time.Time `json:"date"`
	// Plan is what the plan says, without any uncertainty.
	Plan *time.Time `json:"plan"`
	// P10 to P90: the least instant by which at least that part of the samples has finished.
	P10 *time.Time `json:"p10"`
	P50 *time.Time `json:"p50"`
	P80 *time.Time `json:"p80"`
	P90 *time.Time `json:"p90"`
	// P80Low and P80High enclose the true P80 with 95 % confidence. P80WorkingMinutes is how far apart they are in working
	// minutes of the crew (or calendar) that the plan finishes the date with; Settled says that it is half a working day at most.
	P80Low            *time.Time `json:"p80_low"`
	P80High           *time.Time `json:"p80_high"`
	P80WorkingMinutes int        `json:"p80_working_minutes"`
	Settled           bool       `json:"settled"`
	// Chance is the part of the samples that finish by the date; nil where the plan has no finish for it.
	Chance *float64 `json:"chance"`
	// ExpectedLateDays is the mean lateness in days of 24 hours, days in time counting 0; ExpectedDamages is what that costs.
	// Samples that do not reach the date do not count.
	ExpectedLateDays float64 `json:"expected_late_days"`
	ExpectedDamages  float64 `json:"expected_damages"`
	// Unfinished is the number of samples in which a task of the date found no working time.
	Unfinished int `json:"unfinished"`
	// Sensitivities are what moves the date more than chance would have it, strongest first.
	Sensitivities []Sensitivity `json:"sensitivities"`
	// Criticality lists the tasks that drive the date in some sample, most often first.
	Criticality []Criticality `json:"criticality"`
}

// Quantity is what varies of a source that is no common cause.
type Quantity string

// The quantities.
const (
	Length Quantity = "length" // of a task
	Slip   Quantity = "slip"   // of a task's not_before
	Pace   Quantity = "pace"   // of a crew
	Damage Quantity = "damage" // whether a task has to be done again
	Remake Quantity = "remake" // how long its remake takes
)

// Source is one thing that the samples draw: a common cause (Cause and Kind), or what a quantity of a task or crew has of its
// own beside the common causes (Quantity, Spread, and Task or Crew).
type Source struct {
	Cause    string   `json:"cause,omitempty"`
	Kind     string   `json:"kind,omitempty"`
	Quantity Quantity `json:"quantity,omitempty"`
	Spread   string   `json:"spread,omitempty"` // the entry of the uncertainty block
	Task     string   `json:"task,omitempty"`
	Crew     string   `json:"crew,omitempty"`
}

// Sensitivity is how strongly one source moves a GC date. Days is the mean finish in the fifth of the samples in which the
// source goes worst (its highest values) less that in the fifth in which it goes best, in working days. RankCorrelation is
// Spearman's, of the source and the finish. OnChain is, for a common cause, the part of the samples in which something that it
// moves drives the date.
type Sensitivity struct {
	Source
	RankCorrelation float64 `json:"rank_correlation"`
	Days            float64 `json:"days"`
	OnChain         float64 `json:"on_chain,omitempty"`
}

// Criticality is the part of the samples in which a task is on the chain that drives a GC date; a remake and rework count as
// their task.
type Criticality struct {
	Task  string  `json:"task"`
	Index float64 `json:"index"`
}

// Write writes a forecast document with its times in an IANA zone, the entries of a list one to a line.
func Write(out io.Writer, f *Forecast, zoneName string) error {
	zone, err := problem.LoadZone(zoneName)
	if err != nil {
		return fmt.Errorf("writing the forecast: %w", err)
	}
	text, err := json.MarshalIndent(f.in(zone), "", "  ")
	if err != nil {
		return fmt.Errorf("writing the forecast: %w", err)
	}
	if _, err := out.Write(append(text, '\n')); err != nil {
		return fmt.Errorf("writing the forecast: %w", err)
	}
	return nil
}

// in is the forecast with its times in a zone.
func (f *Forecast) in(zone *time.Location) *Forecast {
	local := *f
	local.DataDate = f.DataDate.In(zone)
	local.GCDates = make([]Date, len(f.GCDates))
	for i, d := range f.GCDates {
		d.Date = d.Date.In(zone)
		for _, t := range []**time.Time{&d.Plan, &d.P10, &d.P50, &d.P80, &d.P90, &d.P80Low, &d.P80High} {
			if *t != nil {
				*t = new((*t).In(zone))
			}
		}
		local.GCDates[i] = d
	}
	return &local
}
