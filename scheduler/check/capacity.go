package check

import (
	"cmp"
	"slices"
)

// hold is units of something held over an interval.
type hold struct {
	span
	task  int
	units int
}

func (c *checker) checkLimits() {
	c.limitHolds = make([][]hold, len(c.p.Limits))
	for task := range c.p.Tasks {
		if !c.live(task) {
			continue
		}
		for id, units := range c.p.Tasks[task].Uses {
			if w := &c.work[task]; units > 0 && w.begin < w.finish {
				limit := c.limits[id]
				c.limitHolds[limit] = append(c.limitHolds[limit], hold{span{w.begin, w.finish}, task, units})
			}
		}
	}
	for i, l := range c.p.Limits {
		sweep(c.limitHolds[i], l.Capacity, func(at minute, task, units int) {
			c.report(RuleCapacity, c.p.Tasks[task].ID, "%d of limit %q in use at %s, it holds %d", units, l.ID, c.text(at), l.Capacity)
		})
	}
}

func (c *checker) checkAreas() {
	c.areaHolds = make([][]hold, len(c.p.Areas))
	for task := range c.p.Tasks {
		w, area := &c.work[task], c.p.Tasks[task].Area
		if c.live(task) && area != "" && c.p.Tasks[task].IsCrewWork() && w.begin < w.finish {
			c.areaHolds[c.areas[area]] = append(c.areaHolds[c.areas[area]], hold{span{w.begin, w.finish}, task, 1})
		}
	}
	for i, a := range c.p.Areas {
		if a.MaxCrews == nil {
			continue
		}
		sweep(c.areaHolds[i], *a.MaxCrews, func(at minute, task, crews int) {
			c.report(RuleArea, c.p.Tasks[task].ID, "%d crews in area %q at %s, it admits %d", crews, a.ID, c.text(at), *a.MaxCrews)
		})
	}
}

// sweep runs through time and reports each begin that takes more than there is.
func sweep(holds []hold, capacity int, report func(at minute, task, units int)) {
	slices.SortFunc(holds, func(a, b hold) int {
		return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.task, b.task))
	})
	ends := slices.SortedFunc(slices.Values(holds), func(a, b hold) int {
		return cmp.Or(cmp.Compare(a.to, b.to), cmp.Compare(a.task, b.task))
	})
	inUse := 0
	for _, h := range holds {
		for len(ends) > 0 && ends[0].to <= h.from {
			inUse -= ends[0].units
			ends = ends[1:]
		}
		if inUse += h.units; inUse > capacity {
			report(h.from, h.task, inUse)
		}
	}
}

// peak is the most that is held at one instant inside an interval, one task's own hold aside.
func peak(holds []hold, inside span, but int) int {
	var meeting []hold
	for _, h := range holds {
		if h.task != but && h.from < inside.to && inside.from < h.to {
			meeting = append(meeting, h)
		}
	}
	most := 0
	sweep(meeting, 0, func(_ minute, _, units int) { most = max(most, units) })
	return most
}
