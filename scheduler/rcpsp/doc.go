// Package rcpsp solves the academic resource-constrained project scheduling problem with one mode per job: find the
// shortest schedule of jobs linked by finish-to-start relations, each holding fixed units of renewable resources while
// it runs. It is the measuring stick for the planning core's search: the problem has public instances with published
// bounds (Kolisch and Sprecher, "PSPLIB - a project scheduling problem library", European Journal of Operational
// Research 96, 1996), so anyone can compare.
//
// # Words
//
//	job       a piece of work with a whole duration in periods; jobs 1 and n are dummies of duration 0
//	period    period t is the half-open time [t, t+1); a job started at s with duration d holds periods s .. s+d-1
//	makespan  the start of the dummy sink, which is the largest finish
//	schedule  one start per job
//	head      the longest chain of durations that must pass before a job can start; tail: after it has finished
//	forward   building a schedule from the start, every job as early as possible
//	backward  the same on the project read from its end: relations turned round, time counted from the end
//
// # How it works
//
//	Read(.sm) -> Instance -> Solve: bounds -> population of schedules -> best schedule; proved when bound == makespan
//	                                          ^ cross two, generate against the first one's direction |
//	                                          +-------------------------------------------------------+
//
// Serial generation places the jobs of a list one after another, each at the first time when its predecessors are done
// and its units are free throughout. For a project of two jobs A (2 periods, 2 units) and B (3 periods, 1 unit) on a
// resource of 2 units, the list A, B gives A at 0, B at 2 and makespan 5. A resource with 3 units lets both start at 0,
// and the makespan is 3.
//
// Effort is counted in schedules: one complete generation, forward or backward, is one schedule. That is the measure of
// the published comparisons (Kolisch and Hartmann, "Experimental investigation of heuristics for resource-constrained
// project scheduling: an update", European Journal of Operational Research 174, 2006). The package reads no clock; a
// caller that wants a time limit hands in a stop function. The same instance, seed and schedule count give the same
// result on every machine.
//
// It does not handle several modes, time lags, calendars or consumable resources.
package rcpsp
