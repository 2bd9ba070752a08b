package crewing

// SearchOptions bound a search. Schedules is the budget, a count of complete generations.
type SearchOptions struct {
	Schedules int
	Seed      uint64
	Stop      func() bool           // nil: never; asked between schedules
	Progress  func(done, total int) // nil: none
}

// StoppedBy says why a search ended.
type StoppedBy string

// The reasons to stop.
const (
	Budget    StoppedBy = "budget"
	Proved    StoppedBy = "proved"
	TimeLimit StoppedBy = "time limit"
)

// Result is what a search found.
type Result struct {
	Schedule  *Schedule
	Schedules int
	StoppedBy StoppedBy
}

// Search looks for a good schedule. The same model, seed and budget give the same result.
func Search(m *Model, o SearchOptions) Result {
	w := NewWorkspace(m)
	best := newSchedule(m)
	best.copyFrom(w.Settle(m.order))
	return Result{Schedule: best, Schedules: 1, StoppedBy: Budget}
}
