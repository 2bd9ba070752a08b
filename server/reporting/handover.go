package reporting

import (
	"context"
	"fmt"
	"strings"
	"time"

	"jambwright/models"
)

// HandoverDeed is what became known of a handover.
type HandoverDeed string

// The deeds.
const (
	NewPromise  HandoverDeed = "promise"  // the trade promises another day
	NewForecast HandoverDeed = "forecast" // we expect another day; without one, we expect what is promised
	CameToPass  HandoverDeed = "actual"   // it was handed over
	NotAfterAll HandoverDeed = "undo"     // it was not, or not to be used: the day recorded was wrong
)

// HandoverSource is the source of what people record by hand, in the history of handovers.
const HandoverSource = "recorded by hand"

// HandoverReport is one deed on one handover, by a person who had it before them in the version given.
type HandoverReport struct {
	ID      int64        `json:"id"`
	Version int64        `json:"version"`
	Deed    HandoverDeed `json:"deed"`
	Date    *models.Date `json:"date,omitempty"`
	Cause   string       `json:"cause,omitempty"`
	// DropForecast goes with a promise: what we expected of our own is dropped, so that planning goes by the promise.
	DropForecast bool             `json:"drop_forecast,omitempty"`
	Pictures     []models.Picture `json:"pictures,omitempty"`
}

// Check finds what is wrong with a report of a handover as it is stored, all at once; today is the day on site.
func (r *HandoverReport) Check(h *models.Handover, today models.Date) (faults Faults) {
	add := func(field, format string, args ...any) {
		faults = append(faults, Fault{Field: field, Message: fmt.Sprintf(format, args...)})
	}
	checkText(add, "cause", r.Cause)
	switch r.Deed {
	case NewPromise:
		r.needDate(add, "Say which day is promised.")
		r.needOpen(add, h)
		r.needNews(add, h.Promised, "promised")
	case NewForecast:
		r.needOpen(add, h)
		r.needNews(add, h.Forecast, "what we expect")
	case CameToPass:
		r.needDate(add, "Say on which day it was handed over.")
		if r.Date != nil && today.Before(*r.Date) {
			add("date", "%s lies ahead; record a handover when it has come.", dayOf(*r.Date))
		}
		r.needNews(add, h.Actual, "recorded")
	case NotAfterAll:
		if h.Actual == nil {
			add("do", "It is not recorded as handed over; there is nothing to undo.")
		}
		if strings.TrimSpace(r.Cause) == "" {
			add("cause", "Say why: it stays in the history.")
		}
	default:
		add("do", "Choose what to record.")
	}
	return faults
}

func (r *HandoverReport) needDate(add adder, message string) {
	if r.Date == nil {
		add("date", "%s", message)
	}
}

func (r *HandoverReport) needOpen(add adder, h *models.Handover) {
	if h.Actual != nil {
		add("do", "It was handed over on %s. If that was wrong, undo it first.", dayOf(*h.Actual))
	}
}

func (r *HandoverReport) needNews(add adder, stored *models.Date, what string) {
	switch {
	case stored != nil && r.Date != nil && stored.Date == r.Date.Date:
		add("date", "%s is %s already.", dayOf(*r.Date), what)
	case stored == nil && r.Date == nil && r.Deed == NewForecast:
		add("date", "Say which day you expect.")
	}
}

func dayOf(d models.Date) string { return d.At(0, time.UTC).Format("Mon 2 Jan 2006") }

// Record stores the deed with its line of history and its photos, in the caller's transaction. It is *models.ErrStale when
// somebody changed the handover meanwhile.
func (r *HandoverReport) Record(ctx context.Context, tx *models.Tx, actor models.Actor) error {
	h, err := models.HandoverRow(ctx, tx, r.ID)
	if err != nil {
		return err
	}
	news := models.HandoverNews{
		Promised: h.Promised, Forecast: h.Forecast, Actual: h.Actual, Cause: strings.TrimSpace(r.Cause), Source: HandoverSource, Pictures: r.Pictures,
	}
	switch r.Deed {
	case NewPromise:
		news.Promised = r.Date
		if r.DropForecast {
			news.Forecast = nil
		}
	case NewForecast:
		news.Forecast = r.Date
	case CameToPass:
		news.Actual = r.Date
	case NotAfterAll:
		news.Actual = nil
	default:
		return fmt.Errorf("record %q of handover %d: %w", r.Deed, r.ID, models.ErrRefused)
	}
	return models.RecordHandoverChange(ctx, tx, r.ID, r.Version, news, actor)
}
