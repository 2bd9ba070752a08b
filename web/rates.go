package web

import (
	"fmt"
	"math"
	"strconv"
	"time"
)

// RatesPage answers the operations manager: what does our work really take. GET /rates.
type RatesPage struct {
	Chrome
	Kinds     []RateKind     // work on openings
	Shared    []RateKind     // work that several openings share
	Decisions []DecisionLine // newest first
	Standard  bool           // no row of the table was ever edited: it is the one everybody starts from
	Factors   []FactorRow    // conditions that make work slower
	Skipped   int            // finished tasks without hours to learn from
}

// RateKind is one kind of work.
type RateKind struct {
	Kind  TaskKind
	Name  string // "framing"
	Unit  string // by which its pace is told: "metre of frame"
	Rows  []RateRow
	Whole *LearnedRate // nil while nothing was finished
	Crews []LearnedRate
	Tasks []ObservedTask // newest first
	More  int            // finished tasks that Tasks leaves out
	Note  string         // how its hours are counted, in words
}

// RateRow is one row of the company table.
type RateRow struct {
	Type   string // in words; "" for all types
	What   string // "metre of frame"
	Hours  string // labour hours a unit, in the reader's own units
	Source string
	Edit   string // address of its form
}

// LearnedRate is what finished tasks say of one kind of work, of all crews or of one. Factors are labour hours against the
// company table.
type LearnedRate struct {
	ID      string // of the form: kind, or kind and crew
	Kind    string
	CrewID  string // "" for the kind as a whole
	Name    string // crew's name, "all crews"
	Count   int
	Bounded int
	Usual   float64 // labour hours a unit by the company table, for openings like those observed; 0 when no unit is counted
	Mean    float64
	Factor  float64
	Low     float64 // the learned rate lies from Low to High with eight chances in ten
	High    float64
	NextLow float64 // the next task lies there
	NextTop float64
	Planned float64 // what plans reckon with
	Dots    []float64
	// Decision is what was decided last, nil when nothing was; Seen names it for the form.
	Decision *DecisionLine
	Seen     string
	Accepted bool // a learned factor is in force
}

// DecisionLine is one dated decision.
type DecisionLine struct {
	At       time.Time
	By       string
	What     string // "framing", "framing by crew Alder"
	Accepted bool
	Factor   float64
	Count    int
	Note     string
}

// ObservedTask is one finished task beside the table.
type ObservedTask struct {
	At      time.Time
	Mark    string
	Crew    string
	Hours   float64 // labour hours reported
	Table   float64 // labour hours by the company table
	Amount  string  // "12.4 m of frame"
	PerUnit float64 // labour hours a unit
}

// Ratio is the task's hours over the table's.
func (o ObservedTask) Ratio() float64 { return o.Hours / o.Table }

// Rate writes labour hours a unit for a factor, or how often the table's hours where no unit is counted.
func (r LearnedRate) Rate(factor float64) string {
	if r.Usual == 0 {
		return Decimal(factor) + " times"
	}
	return Decimal(r.Usual*factor) + " h"
}

// Against says what a factor means beside the table: "12 % more than the table".
func (r LearnedRate) Against(factor float64) string { return Against(factor) }

// Against says what a factor means beside the table.
func Against(factor float64) string {
	percent := int(math.Round((factor - 1) * 100))
	switch {
	case percent == 0:
		return "as the table says"
	case percent > 0:
		return fmt.Sprintf("%d\u00a0%% more than the table", percent)
	}
	return fmt.Sprintf("%d\u00a0%% less than the table", -percent)
}

// Decimal writes a number to three significant digits without an exponent.
func Decimal(v float64) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return "0"
	}
	digits := max(0, 2-int(math.Floor(math.Log10(math.Abs(v)))))
	text := strconv.FormatFloat(v, 'f', digits, 64)
	if digits > 0 {
		for text[len(text)-1] == '0' {
			text = text[:len(text)-1]
		}
		if text[len(text)-1] == '.' {
			text = text[:len(text)-1]
		}
	}
	return text
}

// IsPlanned reports whether plans reckon with the learned rate as it is now, to a thousandth.
func (r LearnedRate) IsPlanned() bool { return math.Abs(r.Planned/r.Factor-1) < 0.001 }

// Learned lists the kind as a whole and its crews.
func (k RateKind) Learned() []LearnedRate {
	if k.Whole == nil {
		return nil
	}
	return append([]LearnedRate{*k.Whole}, k.Crews...)
}

// RateForm edits one row of the company table. GET and POST /rates/edit.
type RateForm struct {
	Kind    string `form:"kind"`
	Type    string `form:"type"`
	Driver  string `form:"driver"`
	Hours   string `form:"hours"`
	Source  string `form:"source"`
	Version string `form:"version"`
	Of      string `form:"of"` // type of the row that the version is of
	Do      string `form:"do"` // try, save
}

// RatePage is the form of one rate.
type RatePage struct {
	Chrome
	Form   RateForm
	Faults Faults
	Name   string // "framing, per metre of frame, all types"
	Unit   string
	Types  []Choice // when the row can be given for a type of its own
	Ends   []string // learned factors that a change ends, in words
}

// RevisionPage shows what a change of rates or settings does before it is done. Its form is sent again with do=save.
type RevisionPage struct {
	Chrome
	Title   string
	Lead    []string
	Action  string
	Fields  []Choice // name and value of what the form holds
	Accept  string   // word on the button
	Back    string
	Planned bool // there is a plan to compare with
	Dates   []DateEffect
	Moved   []MovedTask
	Cost    CostEffect
}

func (RatesPage) template() string    { return "rates" }
func (RatePage) template() string     { return "rate" }
func (RevisionPage) template() string { return "revision" }
