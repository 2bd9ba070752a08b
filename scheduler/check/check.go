// Package check judges a plan against the problem it was made for, rule by rule, and trusts nothing that a planner
// computed. It shares no code with the packages that plan: it imports the documents and the standard library, expands
// every calendar to raw intervals of minutes by itself, and tests the raw dates of the plan against them. A plan that
// it rejects is never saved.
//
//	violations := check.Plan(p, plan)
//	// link: task "D-204/glaze": starts 2026-03-03 07:00 -06:00, but the FS link from "D-204/frame" holds it until ...
//
// Conventions. Instants are whole minutes since 1970 in UTC; intervals are half-open. Work means a task's minutes still
// to come: it begins at the planned start, or at the resume of a started task, and ends at the finish. The axis of a
// task is the time in which it can be worked: its crew's calendar less the crew's absences, or its own calendar,
// intersected with the calendars of the limits that it uses.
//
// Where the document's rules leave room, the checker takes this reading:
//   - Work of some length begins on a working minute and ends at the end of one; its segments are the whole axis
//     between. Work of no length has no segments and may stand at any instant.
//   - Limits and the crew count of an area are held from begin to finish, nights included.
//   - The crew's move to a task is measured in the crew's own working time, limits aside. A task without an area counts
//     as elsewhere on its site. The first move from the data date starts at the crew's home site, and the crew's last
//     finished task is a task in a row with it too.
//   - A pin or a frozen start may be left only for a later place, with a note that says why, and only when the plan's other
//     dates really bar the wanted place.
//
// Early and late dates and floats are computed anew by relaxation, up to 30,000 tasks, and must agree to the minute; late dates more
// than 360 days before the data date are left alone, since how far a planner looks back is its own affair.
//
// What it does not do: it does not judge whether a plan is good, only whether it is true.
package check

import (
	"fmt"

	"jambwright/scheduler/problem"
)

// Rule names what a plan broke.
type Rule string

// The rules.
const (
	RuleProblem   Rule = "problem"    // the problem itself is not valid
	RuleDocument  Rule = "document"   // version, times on whole minutes
	RuleListed    Rule = "listed"     // every task once, planned or unplanned, no others
	RuleUnplanned Rule = "unplanned"  // left out without cause, or planned although it waits
	RuleCrew      Rule = "crew"       // a crew that may do the task, none for fixed work
	RuleStatus    Rule = "status"     // what has been reported stays
	RuleDataDate  Rule = "data_date"  // nothing unfinished before the data date
	RuleNotBefore Rule = "not_before" // no start before its not_before
	RuleCalendar  Rule = "calendar"   // begins and ends in working time
	RuleDuration  Rule = "duration"   // works its minutes, no more, no fewer
	RuleSegments  Rule = "segments"   // segments are the working time between begin and finish
	RuleOverlap   Rule = "overlap"    // a crew works on one task at a time
	RuleTravel    Rule = "travel"     // travel and set-up fit
	RuleLink      Rule = "link"       // links with their lags
	RuleCapacity  Rule = "capacity"   // limits
	RuleArea      Rule = "area"       // crews at once in an area
	RuleStorage   Rule = "storage"    // things at once in a place of storage, see Storage
	RulePin       Rule = "pin"        // pins hold
	RuleFrozen    Rule = "frozen"     // the frozen window holds
	RuleGCDate    Rule = "gc_date"    // forecast, float, lateness
	RuleChain     Rule = "chain"      // driving chains lead to the forecast
	RuleObjective Rule = "objective"  // the figures of the objective
	RuleBound     Rule = "bound"      // lower bounds
	RuleNetwork   Rule = "network"    // early and late dates, floats
	RuleReason    Rule = "reason"     // each start has a reason that can be
)

// Violation is one rule broken at one place. Task is the task at fault, or "" when the fault is in the plan as a whole.
type Violation struct {
	Rule    Rule
	Task    string
	Message string // with the values
}

// String is the violation on one line.
func (v Violation) String() string {
	if v.Task == "" {
		return fmt.Sprintf("%s: %s", v.Rule, v.Message)
	}
	return fmt.Sprintf("%s: task %q: %s", v.Rule, v.Task, v.Message)
}

// Plan returns everything in the plan that breaks a rule of the problem, in a fixed order; none means that the plan
// holds. Neither document is changed. Cost is O((tasks + links) log tasks) on top of the expansion of the calendars.
func Plan(p *problem.Problem, plan *problem.Plan) []Violation {
	c := &checker{p: p, plan: plan}
	for _, fault := range problem.Validate(p) {
		c.report(RuleProblem, "", "%s", fault)
	}
	if len(c.violations) == 0 {
		c.judge()
	}
	return c.violations
}

// judge holds the plan against a valid problem, rule by rule. The order matters: later rules use what earlier ones
// found.
func (c *checker) judge() {
	c.prepare()
	c.checkListing()
	c.checkTasks()
	c.checkCrews()
	c.checkLinks()
	c.checkLimits()
	c.checkAreas()
	c.checkUnplanned()
	c.checkLocks()
	c.checkGCDates()
	c.checkObjective()
	c.checkBound()
	c.checkNetwork()
	c.checkReasons()
}

func (c *checker) report(rule Rule, task, format string, values ...any) {
	c.violations = append(c.violations, Violation{Rule: rule, Task: task, Message: fmt.Sprintf(format, values...)})
}
