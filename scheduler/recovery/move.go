package recovery

import (
	"errors"
	"fmt"
	"time"

	"jambwright/scheduler/problem"
)

// Kind is what a move does.
type Kind string

// The kinds of move.
const (
	Overtime        Kind = "overtime"         // a crew works longer on its working days
	Saturdays       Kind = "saturdays"        // a crew works on Saturdays as on its Fridays
	SecondCrew      Kind = "second_crew"      // a crew like another one, hired from a day on
	Expedite        Kind = "expedite"         // a supplier is paid for the least lead time
	EarlierHandover Kind = "earlier_handover" // the GC is asked to hand over sooner
	OtherBasis      Kind = "other_basis"      // ordered from less certain sizes, sooner
)

// What an order can go by instead.
const (
	BasisDrawings = "drawings"
	BasisSurvey   = "survey"
)

// Move is one thing that could be done otherwise, with all that it takes to apply and to price it, so that a kept move
// means the same after settings change. Fields that do not apply are zero.
type Move struct {
	Kind Kind `json:"kind"`

	// Crew is whose hours are longer, or whom the second crew is like.
	Crew  string       `json:"crew,omitempty"`
	From  problem.Date `json:"from,omitzero"`  // first day: of longer hours or Saturdays, or of the second crew
	Until problem.Date `json:"until,omitzero"` // last day of longer hours or Saturdays
	// Minutes is added a day, for Overtime, or the least lead time in minutes of the supplier's calendar, for Expedite.
	Minutes int `json:"minutes,omitempty"`
	// Loss is the share of productivity lost in a week of 50 hours or more, 0 to below 1; see efficiency.
	Loss float64 `json:"loss,omitempty"`
	// Premium multiplies the cost of the hours beyond the ordinary ones, or of the second crew's; 1 is none.
	Premium float64 `json:"premium,omitempty"`

	NewCrew string `json:"new_crew,omitempty"` // id of the second crew
	// AtLeastDays is how many of its working days the second crew is paid for at least.
	AtLeastDays int `json:"at_least_days,omitempty"`

	// Task is the lead, the handover or the order that the move is about.
	Task string `json:"task,omitempty"`
	// Basis is what the order goes by then: BasisSurvey where it was to wait for framing, else BasisDrawings.
	Basis string `json:"basis,omitempty"`
	// By is when material under way arrives or an area is handed over.
	By time.Time `json:"by,omitzero"`

	Price float64 `json:"price,omitempty"` // paid once, whatever the plan
}

// longestSpan is how many days longer hours may go on.
const longestSpan = 366

// Subject is the id of what the move is about: a crew or a task.
func (m Move) Subject() string {
	if m.Crew != "" {
		return m.Crew
	}
	return m.Task
}

// Lever names what the move pulls at. Of two moves with the same lever only one is done.
func (m Move) Lever() string {
	switch m.Kind {
	case Overtime:
		return "hours of " + m.Crew
	case Saturdays:
		return "Saturdays of " + m.Crew
	case SecondCrew:
		return "crew like " + m.Crew
	}
	return string(m.Kind) + " " + m.Task
}

// Validate reports every field that the kind needs and that is missing or out of range.
func (m Move) Validate() error {
	var faults []error
	need := func(ok bool, what string) {
		if !ok {
			faults = append(faults, fmt.Errorf("move %s of %q: %s", m.Kind, m.Subject(), what))
		}
	}
	need(m.Price >= 0, "the price is below 0")
	switch m.Kind {
	case Overtime, Saturdays:
		need(m.Crew != "", "it names no crew")
		need(m.From != problem.Date{} && !m.Until.Before(m.From), "it needs a first day and a last day that is not before it")
		need(!m.From.AddDays(longestSpan).Before(m.Until), "it goes on for more than a year")
		need(m.Kind == Saturdays || m.Minutes > 0 && m.Minutes <= 12*60, "it needs 1 to 720 minutes a day")
		need(m.Loss >= 0 && m.Loss < 1, "the loss is a share of 0 to below 1")
		need(m.Premium >= 1, "the premium is at least 1")
	case SecondCrew:
		need(m.Crew != "" && m.NewCrew != "", "it needs the crew that it is like and a name of its own")
		need(m.From != problem.Date{}, "it needs a first day")
		need(m.Premium > 0 && m.AtLeastDays >= 0, "it needs a premium above 0 and a least number of days of 0 or more")
	case Expedite:
		need(m.Task != "" && (m.Minutes > 0 || !m.By.IsZero()), "it needs a lead and the least time or a day of arrival")
	case EarlierHandover:
		need(m.Task != "" && !m.By.IsZero(), "it needs a handover and a day")
	case OtherBasis:
		need(m.Task != "" && (m.Basis == BasisDrawings || m.Basis == BasisSurvey), "it needs an order and its basis")
	default:
		need(false, "there is no such kind")
	}
	return errors.Join(faults...)
}
