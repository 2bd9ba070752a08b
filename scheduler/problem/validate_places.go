package problem

import (
	"cmp"
	"fmt"
	"slices"
)

var dayNames = [...]string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}

func (w *Week) days() [7][]Shift {
	return [...][]Shift{w.Mon, w.Tue, w.Wed, w.Thu, w.Fri, w.Sat, w.Sun}
}

func (v *validator) checkCalendars() {
	for i := range v.p.Calendars {
		c, at := &v.p.Calendars[i], spot{"calendars", i}
		v.own(at, &v.calendars, c.ID)
		if c.ID == Always {
			v.fault(at, "id", "give it another name", "calendar %q is built in", Always)
		}
		v.zone(at, "zone", c.Zone)
		works := false
		for day, shifts := range c.Week.days() {
			v.shifts(at, "week."+dayNames[day], shifts)
			works = works || len(shifts) > 0
		}
		firstOn := map[Date]int{}
		for j, e := range c.Exceptions {
			place := fmt.Sprintf("exceptions[%d]", j)
			if first, twice := firstOn[e.Date]; twice {
				v.fault(at, place+".date", "write the shifts of one date in one exception", "%s is already exceptions[%d]", e.Date, first)
			} else {
				firstOn[e.Date] = j
			}
			v.shifts(at, place+".shifts", e.Shifts)
			works = works || len(e.Shifts) > 0
		}
		v.workless[c.ID] = !works && !v.unreadable[at.String()]
	}
}

// shifts checks the shifts of one day, in any order. Shifts that touch are fine.
func (v *validator) shifts(at spot, field string, shifts []Shift) {
	for i, s := range shifts {
		if s.From < 0 || s.From >= s.To || s.To > minutesPerDay {
			v.fault(at, fmt.Sprintf("%s[%d]", field, i), "", "shift %s must start before it ends, within 00:00 to 24:00", s)
			return
		}
	}
	inOrder := slices.SortedFunc(slices.Values(shifts), func(a, b Shift) int {
		return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To))
	})
	for i := 1; i < len(inOrder); i++ {
		if inOrder[i].From < inOrder[i-1].To {
			v.fault(at, field, "", "shifts %s and %s overlap", inOrder[i-1], inOrder[i])
		}
	}
}

// usable checks a reference to a calendar that someone works in: known, and with working time.
func (v *validator) usable(at spot, field, id string) {
	if v.known(at, field, &v.calendars, id) && v.workless[id] {
		v.fault(at, field, "give it a shift, or use another calendar", "calendar %q has no working time", id)
	}
}

func (v *validator) checkPlaces() {
	for i, s := range v.p.Sites {
		v.own(spot{"sites", i}, &v.sites, s.ID)
	}
	firstFor := map[[2]string]int{}
	for i, t := range v.p.Travel {
		at := spot{"travel", i}
		v.known(at, "from", &v.sites, t.From)
		v.known(at, "to", &v.sites, t.To)
		v.minutes(at, "minutes", t.Minutes)
		if t.From == t.To && t.From != "" && t.Minutes != 0 { // 0 is the diagonal of a full table
			v.fault(at, "to", "lost time inside a site is an area's setup_minutes", "travel of %d minutes from site %q to itself", t.Minutes, t.From)
		}
		pair := [2]string{t.From, t.To}
		if first, twice := firstFor[pair]; twice && t.From != "" && t.To != "" {
			v.fault(at, "", "", "travel from %q to %q is already %s", t.From, t.To, spot{"travel", first})
		} else {
			firstFor[pair] = i
		}
	}
	for i, a := range v.p.Areas {
		at := spot{"areas", i}
		v.own(at, &v.areas, a.ID)
		v.known(at, "site", &v.sites, a.Site)
		v.minutes(at, "setup_minutes", a.SetupMinutes)
		if a.MaxCrews != nil && *a.MaxCrews < 1 {
			v.fault(at, "max_crews", "leave it out to allow any number", "area %q admits %d crews, it must be 1 or more", a.ID, *a.MaxCrews)
		}
	}
}

func (v *validator) checkLimits() {
	for i, l := range v.p.Limits {
		at := spot{"limits", i}
		v.own(at, &v.limits, l.ID)
		if l.Capacity < 0 || l.Capacity > maxCapacity {
			v.fault(at, "capacity", "", "capacity %d of limit %q must lie in 0 to %d", l.Capacity, l.ID, maxCapacity)
		}
		if l.Calendar != "" {
			v.usable(at, "calendar", l.Calendar)
		}
	}
}
