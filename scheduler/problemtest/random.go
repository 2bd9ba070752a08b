package problemtest

import (
	"fmt"
	"time"

	"jambwright/scheduler/problem"
)

// Random makes one document. The same seed and options give the same document; cost is linear in its size.
func Random(seed uint64, o Options) *problem.Problem {
	g := &generator{Options: o, rng: random{state: seed}}
	g.Sites = max(1, g.Sites)
	g.LongestLabour = max(1, g.LongestLabour)
	g.p = &problem.Problem{Version: problem.Version}
	g.head()
	g.calendars()
	g.places()
	g.crews()
	g.limits()
	g.tasks()
	g.links()
	g.statuses()
	g.locks()
	g.gcDates()
	g.uncertainty()
	return g.p
}

type generator struct {
	Options
	rng random
	p   *problem.Problem

	zone    *time.Location
	witness []int // task -> crew that can do it, -1 for fixed work
}

func (g *generator) chance(share float64) bool { return g.rng.fraction() < share }

// between draws a whole number from low to high, both included.
func (g *generator) between(low, high int) int { return low + g.rng.below(max(1, high-low+1)) }

func pick[T any](g *generator, from []T) T { return from[g.rng.below(len(from))] }

// after is an instant some minutes after the data date, or before it when minutes is negative.
func (g *generator) after(minutes int) time.Time {
	return g.p.DataDate.Add(time.Duration(minutes) * time.Minute)
}

const day = 24 * 60

// Zones with both hemispheres' daylight saving, without any, and with offsets of half and quarter hours.
var zones = []string{"America/Chicago", "Europe/Berlin", "Australia/Sydney", "Asia/Kolkata", "Pacific/Chatham", "America/St_Johns"}

// head sets the zone and a data date that is often within days of a change of the clocks.
func (g *generator) head() {
	g.p.Zone = "UTC"
	if g.Shifts {
		g.p.Zone = pick(g, zones)
	}
	zone, err := problem.LoadZone(g.p.Zone)
	if err != nil {
		panic(fmt.Sprintf("problemtest: %v", err))
	}
	g.zone = zone
	start := pick(g, []problem.Date{
		{Year: 2026, Month: time.March, Day: 5},
		{Year: 2026, Month: time.March, Day: 26},
		{Year: 2026, Month: time.April, Day: 2},
		{Year: 2026, Month: time.October, Day: 22},
		{Year: 2026, Month: time.October, Day: 29},
		{Year: 2027, Month: time.June, Day: 14},
	})
	local := time.Date(start.Year, start.Month, start.Day, 0, 0, 0, 0, zone)
	g.p.DataDate = local.Add(time.Duration(g.between(0, 3*day)) * time.Minute).UTC()
	if g.KeepOrder {
		g.p.OutOfOrder = problem.KeepOrder
	}
	if g.Weights {
		g.p.Weights = &problem.Weights{
			Lateness: float64(g.between(0, 100)), Change: float64(g.between(0, 10)), Travel: g.rng.fraction(), Early: g.rng.fraction(),
		}
	}
}

func (g *generator) places() {
	for s := range g.Sites {
		g.p.Sites = append(g.p.Sites, problem.Site{ID: fmt.Sprintf("site %d", s+1)})
	}
	for from := range g.Sites {
		for to := range g.Sites {
			switch {
			case from == to || !g.Travel:
			case from < to && g.chance(0.8), from > to && g.chance(0.1):
				g.p.Travel = append(g.p.Travel, problem.Travel{
					From: g.p.Sites[from].ID, To: g.p.Sites[to].ID, Minutes: g.between(0, 90),
				})
			}
		}
	}
	for _, site := range g.p.Sites {
		for a := range g.AreasPerSite {
			area := problem.Area{ID: fmt.Sprintf("%s level %d", site.ID, a+1), Site: site.ID}
			if g.Setup && g.chance(0.5) {
				area.SetupMinutes = g.between(0, 45)
			}
			if g.CrowdedAreas && g.chance(0.4) {
				area.MaxCrews = new(g.between(1, 3))
			}
			g.p.Areas = append(g.p.Areas, area)
		}
	}
}

func (g *generator) limits() {
	for i := range g.Limits {
		limit := problem.Limit{ID: fmt.Sprintf("limit %d", i+1), Capacity: g.between(1, 4)}
		if g.LimitCalendars && g.Shifts && g.chance(0.5) {
			limit.Calendar = dockCalendar
		}
		g.p.Limits = append(g.p.Limits, limit)
	}
}

func (g *generator) gcDates() {
	if len(g.p.Tasks) == 0 {
		return
	}
	horizon := g.horizon()
	for i := range g.GCDates {
		date := problem.GCDate{ID: fmt.Sprintf("GC date %d", i+1), Date: g.after(g.between(0, horizon))}
		if g.chance(0.7) {
			date.DamagesPerDay = new(float64(g.between(0, 40)) * 25)
		}
		taken := map[int]bool{}
		for range g.between(1, min(12, len(g.p.Tasks))) {
			if t := g.rng.below(len(g.p.Tasks)); !taken[t] {
				taken[t] = true
				date.Tasks = append(date.Tasks, g.p.Tasks[t].ID)
			}
		}
		g.p.GCDates = append(g.p.GCDates, date)
	}
}

// latestDate keeps dates within the 20 years after the data date that a document may name.
const latestDate = 19 * 365 * day

// horizon is roughly how many minutes the work takes, so that dates fall where they matter.
func (g *generator) horizon() int {
	perCrew := g.Tasks * g.LongestLabour / 4 / max(1, g.Crews)
	if g.Shifts {
		perCrew *= 4
	}
	return min(latestDate, 2*day+perCrew)
}
