package recovery

import (
	"slices"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

// soonest is what no plan of a problem can beat for a GC date: its forecast if every crew and limit were free for each
// task, by the network's forward pass. It is false where work of the date has no dates. O(tasks + links), a thousandth of
// the cost of a plan, so that moves which cannot help need no plan of their own.
func soonest(p *problem.Problem, date string) (time.Time, bool) {
	compiled, err := network.Compile(p)
	if err != nil {
		return time.Time{}, false // the plan itself will say what is wrong
	}
	var passes network.Workspace
	dates := passes.Compute(compiled)
	g := slices.IndexFunc(p.GCDates, func(d problem.GCDate) bool { return d.ID == date })
	if g < 0 {
		return time.Time{}, false
	}
	float, ok := dates.GCDateFloat(network.GCDateIndex(g))
	if !ok {
		return time.Time{}, false
	}
	return calendar.FromTime(p.GCDates[g].Date).Plus(-float).Time(), true
}
