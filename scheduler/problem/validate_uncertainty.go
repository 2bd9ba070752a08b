package problem

import (
	"fmt"
	"maps"
	"slices"
)

func (v *validator) checkUncertainty() {
	u := v.p.Uncertainty
	if u == nil {
		return
	}
	const causes, spreads, damages = "uncertainty.causes", "uncertainty.spreads", "uncertainty.damages"
	c := uncertaintyChecker{
		validator: v, kinds: v.kinds(),
		causes: collect(v, "cause", causes, len(u.Causes), func(i int) string { return u.Causes[i].ID }),
		length: claims{}, slip: claims{}, damage: claims{}, pace: claims{},
	}
	for i := range u.Causes {
		c.own(spot{causes, i}, &c.causes, u.Causes[i].ID)
	}
	own := collect(v, "spread", spreads, len(u.Spreads), func(i int) string { return u.Spreads[i].ID })
	for i := range u.Spreads {
		c.own(spot{spreads, i}, &own, u.Spreads[i].ID)
		c.checkSpread(spot{spreads, i}, &u.Spreads[i])
	}
	own = collect(v, "damage", damages, len(u.Damages), func(i int) string { return u.Damages[i].ID })
	for i := range u.Damages {
		c.own(spot{damages, i}, &own, u.Damages[i].ID)
		c.checkDamage(spot{damages, i}, &u.Damages[i])
	}
}

// uncertaintyChecker is the validator with what the uncertainty block alone refers to.
type uncertaintyChecker struct {
	*validator
	causes, kinds              identifiers
	length, slip, damage, pace claims
}

// claims remembers who varies a quantity of a task, kind or crew first; the key says which of the three it is.
type claims map[string]spot

// kinds are the kinds of work that the document's tasks have.
func (v *validator) kinds() identifiers {
	return collect(v, "kind of task", "tasks", len(v.p.Tasks), func(i int) string { return v.p.Tasks[i].Kind })
}

func (c *uncertaintyChecker) checkSpread(at spot, s *Spread) {
	given := 0
	for _, d := range []*Distribution{s.Minutes, s.Factor, s.SlipMinutes} {
		if d != nil {
			given++
		}
	}
	if given != 1 && !c.unreadable[at.String()] {
		c.fault(at, "", "give exactly one of minutes, factor and slip_minutes", "spread %q gives %d of them", s.ID, given)
	}
	c.distribution(at, "minutes", s.Minutes, 0, MaxMinutes)
	c.distribution(at, "factor", s.Factor, 0, MaxFactor)
	c.distribution(at, "slip_minutes", s.SlipMinutes, -MaxMinutes, MaxMinutes)
	quantity := c.length
	if !s.IsLength() {
		quantity = c.slip
	}
	c.scope(at, s.ID, s.Tasks, s.Kinds, len(s.Crews), quantity)
	c.checkCrewSpread(at, s)
	if !s.IsLength() {
		c.checkSlips(at, s)
	}
	c.shares(at, s.Causes)
}

func (c *uncertaintyChecker) checkCrewSpread(at spot, s *Spread) {
	if len(s.Crews) > 0 && (s.Minutes != nil || s.SlipMinutes != nil) {
		c.fault(at, "crews", "give the pace of a crew as a factor", "spread %q is of crews and varies minutes", s.ID)
	}
	for i, id := range s.Crews {
		if field := fmt.Sprintf("crews[%d]", i); c.known(at, field, &c.crews, id) {
			c.claim(at, field, c.pace, "crew", id)
		}
	}
}

// checkSlips wants a not_before wherever one is to slip.
func (c *uncertaintyChecker) checkSlips(at spot, s *Spread) {
	for i, id := range s.Tasks {
		if t, ok := c.tasks.index[id]; ok && c.p.Tasks[t].NotBefore == nil && !c.unreadable[spot{"tasks", t}.field("not_before")] {
			c.fault(at, fmt.Sprintf("tasks[%d]", i), "give the task a not_before", "task %q has no not_before that could slip", id)
		}
	}
}

func (c *uncertaintyChecker) checkDamage(at spot, d *Damage) {
	if !(d.Chance >= 0 && d.Chance <= 1) {
		c.fault(at, "chance", "", "%v must lie in 0 to 1", d.Chance)
	}
	if d.RemakeMinutes == nil && !c.unreadable[at.field("remake_minutes")] {
		c.fault(at, "remake_minutes", "", "required field is missing")
	}
	c.distribution(at, "remake_minutes", d.RemakeMinutes, 0, MaxMinutes)
	if d.RemakeCalendar != "" {
		c.usable(at, "remake_calendar", d.RemakeCalendar)
	} else if !c.unreadable[at.field("remake_calendar")] {
		c.fault(at, "remake_calendar", "name one, or \""+Always+"\"", "damage %q has no calendar for its remake", d.ID)
	}
	if r := d.ReworkShare(); !(r >= 0 && r <= MaxFactor) {
		c.fault(at, "rework", "", "%v must lie in 0 to %d", r, MaxFactor)
	}
	c.scope(at, d.ID, d.Tasks, d.Kinds, 0, c.damage)
	c.shares(at, d.Causes)
}

// scope checks what an entry is of, and that nothing else varies the same quantity of it.
func (c *uncertaintyChecker) scope(at spot, id string, tasks, kinds []string, crews int, quantity claims) {
	sorts := 0
	for _, n := range []int{len(tasks), len(kinds), crews} {
		sorts += min(1, n)
	}
	switch {
	case sorts == 0 && !c.unreadable[at.String()]:
		c.fault(at, "", "say of which tasks or kinds it is", "%q is of nothing", id)
	case crews > 0 && sorts > 1:
		c.fault(at, "crews", "write two entries", "%q is of crews and of tasks", id)
	}
	for i, task := range tasks {
		if field := fmt.Sprintf("tasks[%d]", i); c.known(at, field, &c.tasks, task) {
			c.claim(at, field, quantity, "task", task)
		}
	}
	for i, kind := range kinds {
		if field := fmt.Sprintf("kinds[%d]", i); c.known(at, field, &c.kinds, kind) {
			c.claim(at, field, quantity, "kind", kind)
		}
	}
}

func (c *uncertaintyChecker) claim(at spot, field string, quantity claims, what, id string) {
	key := what + " " + id
	if first, taken := quantity[key]; taken {
		c.fault(at, field, "one quantity has one entry", "%s %q is already in %s", what, id, first)
		return
	}
	quantity[key] = at
}

// shares checks how much of an entry is made up by common causes.
func (c *uncertaintyChecker) shares(at spot, causes map[string]float64) {
	sum := 0.0
	for _, id := range slices.Sorted(maps.Keys(causes)) {
		share, field := causes[id], "causes."+id
		c.known(at, field, &c.causes, id)
		if !(share >= 0 && share <= 1) {
			c.fault(at, field, "", "%v must lie in 0 to 1", share)
		}
		sum += share
	}
	if sum > 1+sumTolerance {
		c.fault(at, "causes", "all of a spread is 1", "the shares add up to %v", sum)
	}
}
