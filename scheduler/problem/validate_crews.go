package problem

import (
	"fmt"
	"maps"
	"slices"
	"time"
)

func (v *validator) checkCrews() {
	for i := range v.p.Crews {
		c, at := &v.p.Crews[i], spot{"crews", i}
		v.own(at, &v.crews, c.ID)
		if c.Heads < 1 || c.Heads > maxHeads {
			v.fault(at, "heads", "", "crew %q has %d heads, it must have 1 to %d", c.ID, c.Heads, maxHeads)
		}
		v.usable(at, "calendar", c.Calendar)
		for _, kind := range slices.Sorted(maps.Keys(c.Productivity)) {
			if factor := c.Productivity[kind]; !(factor >= MinProductivity && factor <= MaxProductivity) {
				v.fault(at, "productivity."+kind, "1 is the usual pace", "productivity %v of crew %q must lie in %v to %v",
					factor, c.ID, MinProductivity, MaxProductivity)
			}
		}
		for j, site := range c.Sites {
			v.known(at, fmt.Sprintf("sites[%d]", j), &v.sites, site)
		}
		if c.HomeSite != "" {
			v.known(at, "home_site", &v.sites, c.HomeSite)
		}
		v.amount(at, "cost_per_hour", c.CostPerHour)
		v.checkAway(at, c)
	}
}

func (v *validator) checkAway(at spot, c *Crew) {
	for j, away := range c.Away {
		field := fmt.Sprintf("away[%d]", j)
		v.instant(at, field+".from", away.From)
		v.instant(at, field+".to", away.To)
		if !away.From.Before(away.To) && !v.unreadable[at.field(field)] {
			v.fault(at, field, "", "crew %q is away from %s to %s, which does not end after it starts",
				c.ID, away.From.Format(time.RFC3339), away.To.Format(time.RFC3339))
		}
	}
}

// demand is what a task of crew work asks of a crew.
type demand struct {
	kind, site string
	heads      int
}

// checkEligible reports a task that no crew can do, naming the rule that refuses the last of them. A crew already at
// the work counts, whatever its skills: that is what has been reported.
func (v *validator) checkEligible(at spot, t *Task) {
	if v.unreadable["crews"] || v.unreadable[at.String()] || t.IsFinished() {
		return
	}
	if t.IsStarted() && t.Status.Crew != "" {
		return
	}
	if t.Pin != nil && t.Pin.Crew != "" && !t.IsStarted() {
		if i, ok := v.crews.index[t.Pin.Crew]; ok {
			v.checkPinnedCrew(at, t, &v.p.Crews[i])
		}
		return
	}
	d := demand{t.Kind, t.Site, t.HeadsNeeded()}
	refusal, ok := v.demands[d]
	if !ok {
		refusal = refusalOf(v.p.Crews, t)
		v.demands[d] = refusal
	}
	if refusal != "" {
		v.fault(at, "", "", "no crew can do task %q: %s", t.ID, refusal)
	}
}

// refusalOf is why no crew can do a task, "" when one can. The rules are tried in the order skill, heads, site.
func refusalOf(crews []Crew, t *Task) string {
	skilled, mostHeads, strong := false, 0, false
	for i := range crews {
		c := &crews[i]
		if !c.HasSkill(t.Kind) {
			continue
		}
		skilled, mostHeads = true, max(mostHeads, c.Heads)
		if c.Heads < t.HeadsNeeded() {
			continue
		}
		strong = true
		if c.MayEnter(t.Site) {
			return ""
		}
	}
	switch {
	case !skilled:
		return fmt.Sprintf("none has the skill %q", t.Kind)
	case !strong:
		return fmt.Sprintf("it needs %d heads, the largest crew with the skill %q has %d", t.HeadsNeeded(), t.Kind, mostHeads)
	}
	return fmt.Sprintf("none with the skill %q and %d heads may enter site %q", t.Kind, t.HeadsNeeded(), t.Site)
}

func (v *validator) checkPinnedCrew(at spot, t *Task, c *Crew) {
	const remedy = "pin another crew, or change this one"
	switch {
	case !c.HasSkill(t.Kind):
		v.fault(at, "pin.crew", remedy, "crew %q cannot do task %q: it lacks the skill %q", c.ID, t.ID, t.Kind)
	case c.Heads < t.HeadsNeeded():
		v.fault(at, "pin.crew", remedy, "crew %q cannot do task %q: it has %d heads, the task needs %d", c.ID, t.ID, c.Heads, t.HeadsNeeded())
	case !c.MayEnter(t.Site):
		v.fault(at, "pin.crew", remedy, "crew %q cannot do task %q: it may not enter site %q", c.ID, t.ID, t.Site)
	}
}
