package problemtest

import (
	"fmt"
	"time"

	"jambwright/scheduler/problem"
)

// The chain of an opening: the kinds, and which of them other people do.
var chain = []struct {
	kind  string
	fixed bool
}{
	{"survey", false}, {"order", true}, {"deliver", true}, {"frame", false}, {"glaze", false}, {"hang", false}, {"punch", false},
}

func (g *generator) tasks() {
	for i := range g.Tasks {
		opening, place := i/len(chain), chain[i%len(chain)]
		t := problem.Task{ID: fmt.Sprintf("D-%03d/%s", opening+1, place.kind), Kind: place.kind}
		witness := -1
		if len(g.p.Crews) == 0 || g.Fixed > 0 && (place.fixed || g.chance(g.Fixed/4)) {
			g.fixedWork(&t)
		} else {
			witness = g.crewWork(&t)
		}
		g.place(&t, witness)
		g.uses(&t, witness)
		if g.chance(g.NotBefore) {
			t.NotBefore = new(g.after(g.between(-2*day, g.horizon()/2)))
			t.NotBeforeCause = pick(g, []string{"", "handover walls boarded", "material glass", "access"})
		}
		if g.chance(g.Deadlines) {
			t.Deadline = new(g.after(g.between(day, g.horizon())))
		}
		t.Waits = g.chance(g.Waits)
		g.p.Tasks = append(g.p.Tasks, t)
		g.witness = append(g.witness, witness)
	}
}

func (g *generator) fixedWork(t *problem.Task) {
	t.Calendar = problem.Always
	if g.Shifts && g.chance(0.6) {
		t.Calendar = pick(g, []string{dayCalendar, longCalendar, nightCalendar})
	}
	t.DurationMinutes = new(g.length(3 * g.LongestLabour))
}

// crewWork fits the task to a random crew and returns that crew.
func (g *generator) crewWork(t *problem.Task) (witness int) {
	witness = g.rng.below(len(g.p.Crews))
	c := &g.p.Crews[witness]
	if !c.HasSkill(t.Kind) {
		t.Kind = pick(g, c.Skills)
	}
	t.LabourMinutes = new(g.length(g.LongestLabour))
	if g.chance(0.3) {
		t.MinHeads = g.between(1, c.Heads)
	}
	return witness
}

func (g *generator) length(longest int) int {
	if g.chance(g.Zero) {
		return 0
	}
	return g.between(1, longest)
}

func (g *generator) place(t *problem.Task, witness int) {
	t.Site = pick(g, g.p.Sites).ID
	if witness >= 0 && len(g.p.Crews[witness].Sites) > 0 {
		t.Site = pick(g, g.p.Crews[witness].Sites)
	}
	if g.AreasPerSite == 0 || g.chance(0.15) {
		return
	}
	// Areas stand in the document site by site.
	for i := range g.p.Areas {
		if g.p.Areas[i].Site == t.Site {
			t.Area = g.p.Areas[i+g.rng.below(g.AreasPerSite)].ID
			return
		}
	}
}

// uses lets one task in four use limits. Only work that runs by day uses a limit with hours of its own, so that
// the two have time in common.
func (g *generator) uses(t *problem.Task, witness int) {
	if len(g.p.Limits) == 0 || !g.chance(0.25) {
		return
	}
	calendar := t.Calendar
	if witness >= 0 {
		calendar = g.p.Crews[witness].Calendar
	}
	t.Uses = map[string]int{}
	for range g.between(1, 2) {
		limit := pick(g, g.p.Limits)
		if limit.Calendar == "" || calendar != nightCalendar {
			t.Uses[limit.ID] = g.between(0, limit.Capacity)
		}
	}
}

// links ties each opening's tasks in a row and adds others from earlier tasks to later ones of the document, so that
// there is no ring.
func (g *generator) links() {
	for to := range g.p.Tasks {
		if from := to - 1; to%len(chain) != 0 {
			g.link(from, to)
		}
		if to > 0 && g.chance(g.ExtraLinks) {
			g.link(g.between(max(0, to-10*len(chain)), to-1), to)
		}
	}
}

func (g *generator) link(from, to int) {
	l := problem.Link{From: g.p.Tasks[from].ID, To: g.p.Tasks[to].ID}
	if g.chance(g.OtherTypes) {
		l.Type = pick(g, []problem.LinkType{problem.FinishToStart, problem.StartToStart, problem.FinishToFinish, problem.StartToFinish})
	}
	if g.chance(g.Lags) {
		l.LagMinutes = g.between(1, 2*day)
		if g.chance(g.NegativeLags) {
			l.LagMinutes = -l.LagMinutes / 4
		}
		if g.Shifts && g.chance(0.5) {
			l.LagCalendar = pick(g, []string{dayCalendar, nightCalendar, problem.Always})
		}
	}
	g.p.Links = append(g.p.Links, l)
}

// statuses reports work done and begun, mostly at the front of the document, and some of it out of order.
func (g *generator) statuses() {
	if g.Finished == 0 {
		return
	}
	front := int(g.Finished * float64(len(g.p.Tasks)))
	for i := range g.p.Tasks {
		switch {
		case i < front && g.chance(0.85):
			g.report(i, g.chance(0.7))
		case i < 2*front && g.chance(0.3):
			g.report(i, false)
		case g.chance(g.Finished / 20):
			g.report(i, g.chance(0.5))
		}
	}
}

func (g *generator) report(task int, finished bool) {
	t := &g.p.Tasks[task]
	s := &problem.Status{Started: g.after(-g.between(0, 6*day))}
	if g.witness[task] >= 0 && g.chance(0.95) {
		s.Crew = g.p.Crews[g.witness[task]].ID
	}
	if finished {
		elapsed := int(g.p.DataDate.Sub(s.Started) / time.Minute)
		s.Finished = new(s.Started.Add(time.Duration(g.between(0, elapsed)) * time.Minute))
	} else {
		s.RemainingMinutes = new(g.length(g.LongestLabour / 2))
	}
	t.Status = s
}

// locks pins some work and issues a plan for some, starting near the data date, where it may or may not be possible.
func (g *generator) locks() {
	if g.Frozen {
		g.p.FrozenUntil = new(g.after(g.between(0, 4*day)))
	}
	for i := range g.p.Tasks {
		t, witness := &g.p.Tasks[i], g.witness[i]
		if g.chance(g.Pins) {
			t.Pin = g.pin(witness)
		}
		if g.chance(g.Issued) {
			line := problem.Issued{Task: t.ID, Start: g.after(g.between(-day, g.horizon()))}
			if g.chance(0.2) {
				line.Start = g.after(g.between(0, 2*day))
			}
			if witness >= 0 {
				line.Crew = g.p.Crews[witness].ID
			}
			g.p.Issued = append(g.p.Issued, line)
		}
	}
}

func (g *generator) pin(witness int) *problem.Pin {
	pin := &problem.Pin{}
	if witness >= 0 && g.chance(0.6) {
		pin.Crew = g.p.Crews[witness].ID
	}
	if pin.Crew == "" || g.chance(0.5) {
		pin.Start = new(g.after(g.between(-day/2, g.horizon())))
	}
	return pin
}
