package problemtest

import (
	"fmt"
	"math"

	"jambwright/scheduler/problem"
)

// mostNamed is how many tasks get entries of their own, so that the block stays small beside a large document.
const mostNamed = 40

// uncertainty says what of the document is not certain: every form of distribution, by kind, task and crew, with common causes,
// slips and damage. It is drawn last, so that the rest of a document is the same with it and without.
func (g *generator) uncertainty() {
	if g.Uncertain == 0 || len(g.p.Tasks) == 0 {
		return
	}
	u := &problem.Uncertainty{}
	for i := range g.between(0, 3) {
		u.Causes = append(u.Causes, problem.CommonCause{ID: fmt.Sprintf("cause %d", i+1), Kind: pick(g, []string{"", "supplier", "area"})})
	}
	for _, kind := range crewKinds {
		if g.hasKind(kind) && g.chance(g.Uncertain) {
			u.Spreads = append(u.Spreads, problem.Spread{
				ID: "hours of " + kind, Kinds: []string{kind}, Factor: g.factor(), Causes: g.causes(u.Causes),
			})
		}
	}
	for i := range g.p.Crews {
		if id := g.p.Crews[i].ID; g.chance(g.Uncertain / 2) {
			u.Spreads = append(u.Spreads, problem.Spread{ID: "pace of " + id, Crews: []string{id}, Factor: g.factor()})
		}
	}
	taken := map[int]bool{}
	for range min(mostNamed, len(g.p.Tasks)) {
		if at := g.rng.below(len(g.p.Tasks)); !taken[at] && g.chance(g.Uncertain) {
			taken[at] = true
			g.unsure(u, &g.p.Tasks[at])
		}
	}
	g.p.Uncertainty = u
}

func (g *generator) hasKind(kind string) bool {
	for i := range g.p.Tasks {
		if g.p.Tasks[i].Kind == kind {
			return true
		}
	}
	return false
}

// unsure gives one task entries of its own.
func (g *generator) unsure(u *problem.Uncertainty, t *problem.Task) {
	if t.NotBefore != nil && g.chance(0.7) {
		u.Spreads = append(u.Spreads, problem.Spread{
			ID: "slip of " + t.ID, Tasks: []string{t.ID}, Causes: g.causes(u.Causes),
			SlipMinutes: &problem.Distribution{Values: []float64{float64(-g.between(0, day)), 0, float64(g.between(1, 14*day))}, Chances: []float64{0.25, 0.5, 0.25}},
		})
	}
	switch {
	case g.chance(0.3):
		least := g.between(0, 500)
		u.Spreads = append(u.Spreads, problem.Spread{
			ID: "minutes of " + t.ID, Tasks: []string{t.ID},
			Minutes: &problem.Distribution{Uniform: &problem.Range{Least: float64(least), Most: float64(least + g.between(0, 500))}},
		})
	default:
		u.Spreads = append(u.Spreads, problem.Spread{ID: "length of " + t.ID, Tasks: []string{t.ID}, Factor: g.factor(), Causes: g.causes(u.Causes)})
	}
	if g.chance(0.2) {
		damage := problem.Damage{
			ID: "damage of " + t.ID, Tasks: []string{t.ID}, Chance: pick(g, []float64{0, 0.02, 0.3, 1}), RemakeCalendar: problem.Always,
			RemakeMinutes: &problem.Distribution{Triangular: &problem.ThreePoint{Least: day, Likely: 3 * day, Most: 9 * day}}, Causes: g.causes(u.Causes),
		}
		if g.chance(0.5) {
			damage.Rework = new(pick(g, []float64{0, 0.5, 2}))
		}
		u.Damages = append(u.Damages, damage)
	}
}

// factor draws a form of distribution around 1. All values are fractions of a power of two, so that documents write them short.
func (g *generator) factor() *problem.Distribution {
	band := &problem.ThreePoint{Least: float64(g.between(0, 8)) / 8, Likely: 1, Most: 1 + float64(g.between(0, 16))/8}
	switch g.between(0, 3) {
	case 0:
		return &problem.Distribution{Triangular: band}
	case 1:
		return &problem.Distribution{Pert: band}
	case 2:
		return &problem.Distribution{LogNormal: &problem.LogNormal{Median: math.Ldexp(float64(g.between(4, 12)), -3), Sigma: math.Ldexp(float64(g.between(0, 8)), -4)}}
	}
	return &problem.Distribution{Values: []float64{0.5, 1, 3}, Chances: []float64{0.25, 0.5, 0.25}}
}

// causes shares a spread among some common causes; together they are at most the whole.
func (g *generator) causes(all []problem.CommonCause) map[string]float64 {
	if len(all) == 0 || g.chance(0.5) {
		return nil
	}
	shares := map[string]float64{pick(g, all).ID: float64(g.between(0, 4)) / 8}
	shares[pick(g, all).ID] = float64(g.between(0, 4)) / 8
	return shares
}
