package models

import (
	"cmp"
	"time"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

// noteHandover remembers of a handover that came by how many days it missed the date last said. Closed projects count too.
func (s *snapshot) noteHandover(h *Handover) {
	said := cmp.Or(h.Forecast, h.Promised)
	if h.Actual == nil || said == nil {
		return
	}
	s.firm.History.Handovers = append(s.firm.History.Handovers, pattern.HandoverCame{
		Trade: h.Trade, Condition: h.Condition, Days: daysBetween(*said, *h.Actual),
	})
}

// notePromises remembers of a release's drops that came by how many days they missed the date last promised.
func (s *snapshot) notePromises(r *Release) {
	zone := time.UTC
	if p := s.projects[r.ProjectID]; p != nil {
		zone = p.zone
	}
	for _, d := range r.Drops {
		if d.ReceivedAt == nil || d.Promised == nil {
			continue
		}
		received := DateIn(*d.ReceivedAt, zone)
		s.firm.History.Promises = append(s.firm.History.Promises, pattern.PromiseCame{
			Supplier: s.suppliers[r.SupplierID].Code, Days: daysBetween(*d.Promised, received),
		})
	}
}

// daysBetween counts calendar days, below 0 where the second date is the earlier one.
func daysBetween(from, to Date) float64 {
	const hoursPerDay = 24
	return to.At(0, time.UTC).Sub(from.At(0, time.UTC)).Hours() / hoursPerDay
}

// readBreakage counts finished glazing and glass that had to be made again.
func (s *snapshot) readBreakage() error {
	var glazed, broken int64
	err := s.db().Model(&Task{}).Where("kind = ? AND finished_at IS NOT NULL AND item_id IS NULL", takeoff.Glaze).Count(&glazed).Error
	if err == nil {
		err = s.db().Model(&MaterialItem{}).Where("parent_id IS NOT NULL AND kind = ?", pattern.Glass).Count(&broken).Error
	}
	s.firm.History.Glazed, s.firm.History.Broken = int(glazed), int(broken)
	return wrap(err, "count broken glass")
}
