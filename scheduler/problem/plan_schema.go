package problem

import (
	"fmt"
	"time"
)

// One table per object of the plan document, in the order of its written form. Lists that may be empty may be left out.

var planFields = []field[Plan]{
	{"version", required, func(w *walker, p *Plan) { p.Version = w.version() }},
	{"tasks", required, func(w *walker, p *Plan) { p.Tasks = list(w, objects(plannedTaskFields)) }},
	{"unplanned", optional, func(w *walker, p *Plan) { p.Unplanned = list(w, objects(unplannedFields)) }},
	{"gc_dates", optional, func(w *walker, p *Plan) { p.GCDates = list(w, objects(plannedDateFields)) }},
	{"objective", required, func(w *walker, p *Plan) { p.Objective = object(w, objectiveFields) }},
	{"lower_bound", required, func(w *walker, p *Plan) { p.LowerBound = object(w, lowerBoundFields) }},
	{"run", optional, func(w *walker, p *Plan) { p.Run = object(w, runFields) }},
	{"notes", optional, func(w *walker, p *Plan) { p.Notes = list(w, (*walker).text) }},
}

var plannedTaskFields = []field[PlannedTask]{
	{"id", required, func(w *walker, t *PlannedTask) { t.ID = w.identifier() }},
	{"crew", nullable, func(w *walker, t *PlannedTask) { t.Crew = new(w.identifier()) }},
	{"start", required, func(w *walker, t *PlannedTask) { t.Start = w.instant() }},
	{"resume", optional, func(w *walker, t *PlannedTask) { t.Resume = new(w.instant()) }},
	{"finish", required, func(w *walker, t *PlannedTask) { t.Finish = w.instant() }},
	{"segments", required, func(w *walker, t *PlannedTask) { t.Segments = list(w, (*walker).segment) }},
	{"early_start", required, func(w *walker, t *PlannedTask) { t.EarlyStart = w.instant() }},
	{"early_finish", required, func(w *walker, t *PlannedTask) { t.EarlyFinish = w.instant() }},
	{"late_start", required, func(w *walker, t *PlannedTask) { t.LateStart = w.instant() }},
	{"late_finish", required, func(w *walker, t *PlannedTask) { t.LateFinish = w.instant() }},
	{"total_float_minutes", required, func(w *walker, t *PlannedTask) { t.TotalFloatMinutes = w.whole() }},
	{"free_float_minutes", required, func(w *walker, t *PlannedTask) { t.FreeFloatMinutes = w.whole() }},
	{"critical", required, func(w *walker, t *PlannedTask) { t.Critical = w.boolean() }},
	{"reason", required, func(w *walker, t *PlannedTask) { t.Reason = object(w, reasonFields) }},
}

var reasonFields = []field[Reason]{
	{"kind", required, func(w *walker, r *Reason) {
		r.Kind = oneOf(ReasonPredecessor, ReasonHandover, ReasonMaterial, ReasonCrew, ReasonCapacity, ReasonCalendar,
			ReasonPin, ReasonStatus, ReasonDataDate)(w)
	}},
	{"ref", optional, func(w *walker, r *Reason) { r.Ref = w.text() }},
	{"until", required, func(w *walker, r *Reason) { r.Until = w.instant() }},
}

var unplannedFields = []field[Unplanned]{
	{"task", required, func(w *walker, u *Unplanned) { u.Task = w.identifier() }},
	{"why", required, func(w *walker, u *Unplanned) { u.Why = w.text() }},
}

var plannedDateFields = []field[PlannedDate]{
	{"id", required, func(w *walker, d *PlannedDate) { d.ID = w.identifier() }},
	{"forecast", nullable, func(w *walker, d *PlannedDate) { d.Forecast = new(w.instant()) }},
	{"float_minutes", required, func(w *walker, d *PlannedDate) { d.FloatMinutes = w.whole() }},
	{"late_days", required, func(w *walker, d *PlannedDate) { d.LateDays = w.number() }},
	{"driving_chain", required, func(w *walker, d *PlannedDate) { d.DrivingChain = list(w, (*walker).identifier) }},
}

var objectiveFields = []field[Objective]{
	{"lateness_cost", required, func(w *walker, o *Objective) { o.LatenessCost = w.number() }},
	{"changes", required, func(w *walker, o *Objective) { o.Changes = w.whole() }},
	{"travel_minutes", required, func(w *walker, o *Objective) { o.TravelMinutes = w.whole() }},
	{"idle_minutes", required, func(w *walker, o *Objective) { o.IdleMinutes = w.whole() }},
	{"makespan", required, func(w *walker, o *Objective) { o.Makespan = w.instant() }},
	{"total", required, func(w *walker, o *Objective) { o.Total = w.number() }},
}

var lowerBoundFields = []field[LowerBound]{
	{"lateness_cost", required, func(w *walker, b *LowerBound) { b.LatenessCost = w.number() }},
	{"lateness_cost_proved", optional, func(w *walker, b *LowerBound) { b.LatenessCostProved = w.boolean() }},
	{"makespan", required, func(w *walker, b *LowerBound) { b.Makespan = w.instant() }},
	{"makespan_proved", optional, func(w *walker, b *LowerBound) { b.MakespanProved = w.boolean() }},
	{"proved", optional, func(w *walker, b *LowerBound) { b.Proved = w.boolean() }},
}

var runFields = []field[Run]{
	{"schedules", optional, func(w *walker, r *Run) { r.Schedules = w.whole() }},
	{"seed", optional, func(w *walker, r *Run) { r.Seed = w.seed() }},
	{"stopped_by", optional, func(w *walker, r *Run) { r.StoppedBy = w.text() }},
	{"elapsed_ms", optional, func(w *walker, r *Run) { r.ElapsedMS = int64(w.whole()) }},
}

// segment reads a pair of instants.
func (w *walker) segment() (pair [2]time.Time) {
	ends := list(w, (*walker).instant)
	if len(ends) != len(pair) {
		w.fault(fmt.Sprintf("a segment is a start and a finish, got %d times", len(ends)), "")
		return pair
	}
	return [2]time.Time(ends)
}

// version reads the document version.
func (w *walker) version() int {
	before := len(w.faults)
	version := w.whole()
	if version != Version && len(w.faults) == before {
		w.fault(fmt.Sprintf("version %d is not known", version), fmt.Sprintf("this program reads version %d", Version))
	}
	return version
}
