package forecast

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// head is what every forecast says of itself.
func (r *run) head() *Forecast {
	f := &Forecast{
		Version: problem.Version, DataDate: r.p.DataDate, Seed: r.o.Seed, Samples: r.made, StoppedBy: r.stopped, Spread: r.o.Spread,
		Notes: []string{}, GCDates: []Date{},
	}
	planned := make(map[string]*time.Time, len(r.plan.GCDates))
	for i := range r.plan.GCDates {
		planned[r.plan.GCDates[i].ID] = r.plan.GCDates[i].Forecast
	}
	for i := range r.p.GCDates {
		d := &r.p.GCDates[i]
		f.GCDates = append(f.GCDates, Date{
			ID: d.ID, Date: d.Date, Plan: planned[d.ID], Sensitivities: []Sensitivity{}, Criticality: []Criticality{},
		})
		if planned[d.ID] == nil {
			f.Notes = append(f.Notes, fmt.Sprintf("GC date %s has no forecast: a task of it is not planned", d.ID))
		}
	}
	return f
}

// certain is the forecast of a problem without uncertainty: what the plan says.
func (r *run) certain() *Forecast {
	r.stopped = Certain
	f := r.head()
	f.Notes = append(f.Notes, "nothing is uncertain: the forecast is the plan")
	for i := range f.GCDates {
		d := &f.GCDates[i]
		d.Settled = true
		if d.Plan == nil {
			continue
		}
		d.P10, d.P50, d.P80, d.P90, d.P80Low, d.P80High = d.Plan, d.Plan, d.Plan, d.Plan, d.Plan, d.Plan
		late := max(0, d.Plan.Sub(d.Date).Minutes()/minutesPerDay)
		d.ExpectedLateDays, d.ExpectedDamages = late, late*r.dates[i].damages
		d.Chance = new(1.0)
		if late > 0 {
			*d.Chance = 0
		}
		for _, id := range r.plan.GCDates[i].DrivingChain {
			d.Criticality = append(d.Criticality, Criticality{Task: id, Index: 1})
		}
	}
	return f
}

// result is the forecast of the samples made.
func (r *run) result() *Forecast {
	f := r.head()
	sensitivities := r.sensitivities()
	for i := range f.GCDates {
		d, from := &f.GCDates[i], &r.dates[i]
		var width calendar.WorkMinutes
		width, d.Settled = from.p80Width()
		if d.Plan == nil {
			continue
		}
		r.figures(d, from)
		d.P80WorkingMinutes = int(width)
		d.Sensitivities = append(d.Sensitivities, sensitivities[i]...)
		d.Criticality = append(d.Criticality, r.criticality(i)...)
		if !d.Settled {
			f.Notes = append(f.Notes, fmt.Sprintf("the P80 of GC date %s is not known to half a working day after %d samples", d.ID, r.made))
		}
		if d.Unfinished > 0 {
			f.Notes = append(f.Notes, fmt.Sprintf("in %d of %d samples GC date %s is not reached: working time runs out", d.Unfinished, r.made, d.ID))
		}
	}
	return f
}

func (r *run) figures(d *Date, from *gcDate) {
	q := &from.finishes
	d.P10, d.P50 = timeOf(q.percentile(0.1)), timeOf(q.percentile(0.5))
	d.P80, d.P90 = timeOf(q.percentile(0.8)), timeOf(q.percentile(0.9))
	low, high := q.interval(0.8)
	d.P80Low, d.P80High = timeOf(low), timeOf(high)
	d.Chance = new(float64(q.onTime) / float64(r.made))
	d.Unfinished = q.unfinished
	if reached := r.made - q.unfinished; reached > 0 {
		d.ExpectedLateDays = float64(q.lateMinutes) / minutesPerDay / float64(reached)
		d.ExpectedDamages = d.ExpectedLateDays * from.damages
	}
}

func timeOf(at calendar.Instant) *time.Time {
	if at == calendar.Never {
		return nil
	}
	return new(at.Time())
}

// criticality lists the tasks that drive a date, most often first, ties in the order of the document.
func (r *run) criticality(date int) []Criticality {
	var list []Criticality
	for t, n := range r.tally.tasks[date] {
		if n > 0 {
			list = append(list, Criticality{Task: r.p.Tasks[t].ID, Index: float64(n) / float64(r.made)})
		}
	}
	slices.SortStableFunc(list, func(a, b Criticality) int { return cmp.Compare(b.Index, a.Index) })
	return list
}
