package problemtest

import (
	"fmt"
	"math"
	"time"

	"jambwright/scheduler/problem"
)

// Firm makes the document of a firm at full stretch: each project is a site with ten areas that other trades hand over one
// after another and of which each has a GC date. Its openings are surveyed, ordered in releases of eight, framed, glazed and hung.
// Crews are one for each 333 openings, most with two or three skills, some for the projects nearby only. There is rather more
// work than the dates leave time for, so that it matters what is done first. Nothing is reported, pinned or issued.
//
// Unlike those of Random, its dates, areas and ways are of one piece, as a firm's are: this is the document to compare searches on.
func Firm(seed uint64, projects, openings int) *problem.Problem {
	g := &generator{rng: random{state: seed}}
	g.p = &problem.Problem{
		Version: problem.Version, Zone: "America/Chicago", DataDate: time.Date(2026, time.March, 2, 12, 0, 0, 0, time.UTC),
		Calendars: []problem.Calendar{firmCalendar()},
	}
	g.firmSites(projects)
	g.firmCrews(max(3, projects*openings/333))
	for i := range projects {
		g.firmProject(i, openings)
	}
	return g.p
}

const firmAreas = 10

func firmCalendar() problem.Calendar {
	shifts := []problem.Shift{{From: 7 * 60, To: 11 * 60}, {From: 11*60 + 30, To: 15*60 + 30}}
	return problem.Calendar{ID: dayCalendar, Zone: "America/Chicago", Week: problem.Week{
		Mon: shifts, Tue: shifts, Wed: shifts, Thu: shifts, Fri: shifts,
	}}
}

// firmSites scatters the projects over a town: a way takes ten minutes and the distance.
func (g *generator) firmSites(projects int) {
	x, y := make([]float64, projects), make([]float64, projects)
	for i := range projects {
		x[i], y[i] = g.rng.fraction()*45, g.rng.fraction()*45
		g.p.Sites = append(g.p.Sites, problem.Site{ID: fmt.Sprintf("P%02d", i+1)})
		g.p.Limits = append(g.p.Limits, problem.Limit{ID: g.p.Sites[i].ID + " dock", Capacity: 1, Calendar: dayCalendar})
		for a := range firmAreas {
			g.p.Areas = append(g.p.Areas, problem.Area{
				ID: fmt.Sprintf("%s level %d", g.p.Sites[i].ID, a+1), Site: g.p.Sites[i].ID, MaxCrews: new(3), SetupMinutes: 15,
			})
		}
		for j := range i {
			g.p.Travel = append(g.p.Travel, problem.Travel{
				From: g.p.Sites[j].ID, To: g.p.Sites[i].ID, Minutes: 10 + int(math.Hypot(x[i]-x[j], y[i]-y[j])),
			})
		}
	}
}

func (g *generator) firmCrews(crews int) {
	skills := [...][]string{
		{"survey", "frame"}, {"frame", "hang"}, {"glaze"}, {"frame", "glaze"}, {"glaze", "hang"}, {"survey", "hang"}, {"survey", "frame", "glaze", "hang"},
	}
	for c := range crews {
		crew := problem.Crew{
			ID: fmt.Sprintf("crew %d", c+1), Skills: skills[c%len(skills)], Heads: 2 + g.rng.below(2), Calendar: dayCalendar,
			Productivity: map[string]float64{"frame": 0.8 + 0.4*g.rng.fraction(), "glaze": 0.8 + 0.4*g.rng.fraction()},
		}
		if c >= len(skills) && g.chance(0.3) {
			first := g.rng.below(len(g.p.Sites))
			for i := range (len(g.p.Sites) + 2) / 3 {
				crew.Sites = append(crew.Sites, g.p.Sites[(first+i)%len(g.p.Sites)].ID)
			}
		}
		g.p.Crews = append(g.p.Crews, crew)
	}
}

func (g *generator) firmProject(i, openings int) {
	site := g.p.Sites[i].ID
	start := g.between(0, 90*day)
	release := ""
	for j := range openings {
		a := j * firmAreas / openings
		area := g.p.Areas[i*firmAreas+a].ID
		handedOver := start + a*9*day
		mark := fmt.Sprintf("%s/O-%04d", site, j+1)
		g.firmTask(mark, "survey", site, area, g.between(15, 40), handedOver)
		if j%8 == 0 {
			release = mark
			minutes := g.between(15, 35) * day
			g.p.Tasks = append(g.p.Tasks,
				problem.Task{ID: release + "/order", Kind: "order", Site: site, Area: area, DurationMinutes: &minutes, Calendar: problem.Always},
				problem.Task{
					ID: release + "/deliver", Kind: "deliver", Site: site, Area: area, DurationMinutes: new(g.between(30, 120)), Calendar: dayCalendar,
					Uses: map[string]int{site + " dock": 1},
				})
			g.p.Links = append(g.p.Links, problem.Link{From: release + "/order", To: release + "/deliver"})
		}
		g.firmTask(mark, "frame", site, area, g.between(120, 420), 0)
		g.firmTask(mark, "glaze", site, area, g.between(120, 540), 0)
		g.firmTask(mark, "hang", site, area, g.between(60, 240), handedOver+20*day)
		g.p.Links = append(g.p.Links,
			problem.Link{From: mark + "/survey", To: release + "/order"}, problem.Link{From: release + "/deliver", To: mark + "/frame"},
			problem.Link{From: mark + "/frame", To: mark + "/glaze"}, problem.Link{From: mark + "/glaze", To: mark + "/hang"})
		if j+1 == openings || (j+1)*firmAreas/openings != a {
			g.firmDate(area, handedOver)
		}
	}
}

func (g *generator) firmTask(mark, kind, site, area string, labour, handedOver int) {
	t := problem.Task{ID: mark + "/" + kind, Kind: kind, Site: site, Area: area, LabourMinutes: &labour}
	if handedOver > 0 {
		t.NotBefore, t.NotBeforeCause = new(g.after(handedOver)), "handover of "+area
	}
	g.p.Tasks = append(g.p.Tasks, t)
}

// firmDate sets the GC date of an area: all that is hung in it.
func (g *generator) firmDate(area string, handedOver int) {
	date := problem.GCDate{ID: area + " complete", Date: g.after(handedOver + g.between(60, 130)*day), DamagesPerDay: new(float64(g.between(2, 20)) * 250)}
	for i := range g.p.Tasks {
		if t := &g.p.Tasks[i]; t.Area == area && t.Kind == "hang" {
			date.Tasks = append(date.Tasks, t.ID)
		}
	}
	g.p.GCDates = append(g.p.GCDates, date)
}
