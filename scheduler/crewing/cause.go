package crewing

import "jambwright/scheduler/calendar"

// CauseKind is what held a start where it is.
type CauseKind uint8

// The kinds of cause. Index of Cause says of what kind the reference is.
const (
	ByDataDate  CauseKind = iota // nothing but the data date
	ByNotBefore                  // the task's own not_before
	ByLink                       // Driver: the task the link comes from
	ByCrew                       // Driver: the crew's task before, None when it is on its way from home
	ByCapacity                   // index: resource
	ByCalendar                   // no working time between the data date and the start
	ByPin                        // a person's decision
	ByFrozen                     // kept from the issued plan
	ByStatus                     // reported
)

// Cause is the bound that let go last before a start, and when it did: no working minute of the task lies between Until
// and its start.
type Cause struct {
	Kind   CauseKind
	Index  int32
	Driver TaskIndex
	Until  calendar.Instant
}
