// Package plan is the way into the planning core: a problem document in, a plan document out.
//
//	problem.Problem --network.Compile--> Compiled --crewing.Search--> Schedule --+--> problem.Plan
//	                                        |                                    |
//	                                        +--------network dates---------------+
//
// Compute does the whole of it for a problem that has passed problem.Validate. The plan says for each task which crew does it and
// when, what holds its start, and its network dates; for each GC date its forecast and the chain of tasks behind it; what
// could not be planned and why; what the plan scores and what no plan can beat.
//
// Conventions. The same problem, budget and seed give the same plan, whatever the machine. No clock is read: the caller
// fills in run.elapsed_ms. Times of the plan are in UTC; problem.WritePlan puts them into a zone.
//
// Reasons. The reason of a start is the bound that let go last, recorded while the task was placed, and when it let go.
// Its kind and ref:
//
//	predecessor  the task that it is linked from; handover or material when that task's kind says so (handover; order, deliver)
//	handover,    the not_before_cause of a task whose first word is handover or material
//	material
//	crew         the crew: busy with the task before, on its way, or away
//	capacity     the limit or area that was full
//	calendar     the calendar: no working time between the data date and the start; or the cause of another not_before
//	pin          "" for a person's pin, "issued" for a place kept from the issued plan
//	status       "": reported as started or finished
//	data_date    "": it may start at once
//
// A reason that lets go outside working time keeps its name although the start waits for the next shift: until says when
// it let go, the start when work goes on.
//
// Why not sooner. Sooner answers for one task of a plan with a ladder: what holds its start, when it could start if that gave and
// nothing else moved, what holds it then, down to the data date or what has happened. A crew that gives is one that has no
// other work; a capacity that gives has room for the task. Each step is found by placing the task, never by arithmetic on reasons.
//
// What this package does not do: it does not validate, save, or check the plan; package check does the last without
// sharing code with it.
package plan
