package pattern

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// The kinds of common cause, as the forecast's reader meets them.
const (
	CauseSupplier = "supplier"
	CauseTrade    = "trade"
	CauseArea     = "area"
	CauseWork     = "work" // a kind of work: whether its hours are right at all
)

// uncertainty says what of the built problem is not certain, from the firm's history and, where that is silent, its Risk:
//
//	hours         log-normal by kind as learned (Experience), with the kind and the area as common causes; and the crews' paces
//	lead times    least, likely, most; of material under way what is left of them
//	promises      days late as this supplier's deliveries came, by the supplier as common cause
//	handovers     days late as this trade brought this condition, by the trade as common cause
//	breakage      a chance by glazing task, with a remake of the supplier's lead time
//
// Recorded days are mixed with assumed ones, which count as PriorWeight records.
func (b *builder) uncertainty() *problem.Uncertainty {
	u := uncertain{b: b, risk: DefaultRisk(), causes: map[string]string{}, spreads: map[string]*problem.Spread{}, damages: map[string]*problem.Damage{}}
	if b.f.Risk != nil {
		u.risk = *b.f.Risk
	}
	u.suppliers()
	for i := range b.p.Tasks {
		task, entry := &b.p.Tasks[i], &b.index.Tasks[i]
		switch {
		case task.IsFinished() || task.Waits:
		case task.IsCrewWork():
			u.hours(task, entry)
			u.breakage(task, entry)
		case entry.Kind == Lead:
			u.lead(task, entry)
		}
		if task.NotBefore != nil && !task.IsFinished() && !task.Waits {
			u.notBefore(task, entry)
		}
	}
	u.paces()
	return u.block()
}

// uncertain collects the block: entries by id, so that tasks with the same distribution share one.
type uncertain struct {
	b       *builder
	risk    Risk
	causes  map[string]string // id -> kind
	spreads map[string]*problem.Spread
	damages map[string]*problem.Damage
	glassOf map[[2]string]glassSupply // by project and mark
	ids     map[string]string         // supplier id by project and name, as entries know names
}

// glassSupply is who furnishes an opening's glass, and how long a remake takes.
type glassSupply struct {
	supplier string // name
	lead     LeadTime
	calendar string
}

// cause is the id of a common cause, which is listed once it is used.
func (u *uncertain) cause(kind, name string) string {
	id := kind + " " + name
	u.causes[id] = kind
	return id
}

// spread puts a task into the entry of an id, made by the first one.
func (u *uncertain) spread(id string, task *problem.Task, made func() problem.Spread) {
	if u.spreads[id] == nil {
		s := made()
		s.ID = id
		u.spreads[id] = &s
	}
	u.spreads[id].Tasks = append(u.spreads[id].Tasks, task.ID)
}

// hours varies crew work by what was learned of its kind.
func (u *uncertain) hours(task *problem.Task, entry *Entry) {
	u.spread(fmt.Sprintf("hours of %s in %s %s", entry.Kind, entry.Project, entry.Area), task, func() problem.Spread {
		median, sigma, whole := u.learned(entry.Kind, "")
		s := problem.Spread{
			Factor: &problem.Distribution{LogNormal: &problem.LogNormal{Median: median, Sigma: sigma}},
			Causes: map[string]float64{u.cause(CauseWork, string(entry.Kind)): whole * whole / (sigma * sigma) * (1 - u.risk.AreaShare)},
		}
		if entry.Area != "" {
			s.Causes[u.cause(CauseArea, entry.Project+" "+entry.Area)] = u.risk.AreaShare
		}
		return s
	})
}

// learned is what hours are expected to be over planned ones: their median, the spread of the next task's logarithm, and how much
// of that is doubt about the kind as a whole.
func (u *uncertain) learned(kind takeoff.Kind, crew string) (median, sigma, whole float64) {
	for i := range u.b.f.Experience {
		if e := &u.b.f.Experience[i]; e.Kind == kind && e.Crew == crew {
			return math.Exp(e.Bias()), min(e.Learned.Predictive(), problem.MaxSigma), e.Learned.FactorSpread
		}
	}
	whole = u.risk.HoursSpread / math.Sqrt(takeoff.DefaultPrior().Weight)
	return 1, math.Hypot(u.risk.HoursSpread, whole), whole
}

// paces varies the pace of each crew. What a crew was found to take beyond its kinds of work moves the middle.
func (u *uncertain) paces() {
	for i := range u.b.p.Crews {
		id, n, bias, spread := u.b.p.Crews[i].ID, 0.0, 0.0, 0.0
		for k := range u.b.f.Experience {
			e := &u.b.f.Experience[k]
			if e.Crew != id {
				continue
			}
			median, _, _ := u.learned(e.Kind, "")
			n, bias, spread = n+1, bias+e.Bias()-math.Log(median), spread+e.Learned.FactorSpread
		}
		pace := problem.LogNormal{Median: 1, Sigma: u.risk.PaceSpread}
		if n > 0 {
			pace = problem.LogNormal{Median: math.Exp(bias / n), Sigma: min(u.risk.PaceSpread, spread/n)}
		}
		name := "pace of crew " + id
		u.spreads[name] = &problem.Spread{ID: name, Crews: []string{id}, Factor: &problem.Distribution{LogNormal: &pace}}
	}
}

// lead varies the time that material takes. Values of started work are factors of what is left of it, as a plan counts it.
func (u *uncertain) lead(task *problem.Task, e *Entry) {
	causes := func() map[string]float64 {
		return map[string]float64{u.cause(CauseSupplier, cmp.Or(e.Supplier, "not named")): u.risk.SupplierShare}
	}
	day, left := float64(e.LeadDayMinutes), 0.0
	if task.IsStarted() && task.Status.RemainingMinutes != nil {
		left = float64(*task.Status.RemainingMinutes)
	}
	least, most := u.leadBand(e.Lead)
	switch {
	case !task.IsStarted():
		if most <= least {
			return
		}
		u.spread("lead time of "+task.ID, task, func() problem.Spread { // factors, so that a lead time that somebody shortens keeps its spread
			return problem.Spread{Causes: causes(), Factor: &problem.Distribution{Pert: &problem.ThreePoint{Least: least, Likely: 1, Most: most}}}
		})
	case left == 0:
	case e.Promised != nil && e.Late == nil:
		days := slippage(u.risk.PromiseLate, u.risk.PriorWeight, u.promisesOf(e))
		u.spread("promise of "+task.ID, task, func() problem.Spread {
			return problem.Spread{Causes: causes(), Factor: values(days, func(d float64) float64 { return max(0, (left+d*minutesOfDay)/left) })}
		})
	default: // under way without a promise, or past one: what is left of the spread
		likely := day * float64(e.Lead.Likely)
		passed := likely - left
		least, most := max(0, likely*least-passed), max(left, likely*most-passed)
		if e.Late != nil || passed < 0 {
			least, most = 0, 2*left
		}
		u.spread("rest of "+task.ID, task, func() problem.Spread {
			return problem.Spread{Causes: causes(), Factor: &problem.Distribution{Pert: &problem.ThreePoint{
				Least: min(least, left) / left, Likely: 1, Most: most / left,
			}}}
		})
	}
}

const minutesOfDay = 24 * 60

// leadBand is how much sooner and later than likely a lead time may end, as factors; one that is given as a single number gets
// the assumed ones. Without a lead time both are 0.
func (u *uncertain) leadBand(lead LeadTime) (least, most float64) {
	switch likely := float64(lead.Likely); {
	case likely == 0:
		return 0, 0
	case lead.Most > lead.Least:
		return float64(lead.Least) / likely, float64(lead.Most) / likely
	}
	return u.risk.LeadLeast, u.risk.LeadMost
}

// notBefore varies the date that a handover, a hold or a promise not yet ordered lets go on.
func (u *uncertain) notBefore(task *problem.Task, e *Entry) {
	slips := func(days []DayChance, causes map[string]float64) problem.Spread {
		return problem.Spread{SlipMinutes: values(days, func(d float64) float64 { return d * minutesOfDay }), Causes: causes}
	}
	switch {
	case e.Kind == Handovers:
		var recorded []float64
		for _, h := range u.b.f.History.Handovers {
			if h.Condition == e.Condition && strings.EqualFold(h.Trade, e.Trade) {
				recorded = append(recorded, h.Days)
			}
		}
		days := slippage(u.risk.Late, u.risk.PriorWeight, recorded)
		if e.Late != nil {
			days = u.stillLate(days, task, e)
		}
		u.spread("handover "+task.ID, task, func() problem.Spread {
			return slips(days, map[string]float64{u.cause(CauseTrade, cmp.Or(e.Trade, words(e.Condition))): u.risk.TradeShare})
		})
	case strings.HasPrefix(task.NotBeforeCause, "material"):
		u.spread("promise of "+task.ID, task, func() problem.Spread {
			return slips(slippage(u.risk.PromiseLate, u.risk.PriorWeight, u.promisesOf(e)), map[string]float64{
				u.cause(CauseSupplier, cmp.Or(e.Supplier, "not named")): u.risk.SupplierShare,
			})
		})
	default:
		u.spread("answer to the hold of "+task.ID, task, func() problem.Spread {
			return slips(slippage(u.risk.Late, u.risk.PriorWeight, nil), nil)
		})
	}
}

// stillLate are the days by which a handover that is late by some days already comes after the date that the plan reckons with:
// those of the given days that have yet to pass since its promise. Where all have passed, the plan's date stands for the first of
// the days that are usual, and nothing is known to be sooner.
func (u *uncertain) stillLate(days []DayChance, task *problem.Task, e *Entry) []DayChance {
	passed := u.b.f.DataDate.Sub(e.Late.Promised).Minutes() / minutesOfDay
	ahead := task.NotBefore.Sub(e.Late.Promised).Minutes() / minutesOfDay
	var left []DayChance
	sum := 0.0
	for _, d := range days {
		if d.Days > passed {
			left = append(left, DayChance{d.Days - ahead, d.Chance})
			sum += d.Chance
		}
	}
	if sum == 0 {
		return days
	}
	for i := range left {
		left[i].Chance /= sum
	}
	return left
}

// promisesOf are the days by which a supplier's deliveries came after their promises.
func (u *uncertain) promisesOf(e *Entry) (days []float64) {
	id := u.ids[e.Project+"\x00"+e.Supplier]
	for _, p := range u.b.f.History.Promises {
		if p.Supplier == id {
			days = append(days, p.Days)
		}
	}
	return days
}

// breakage lets the glass of a glazing task break.
func (u *uncertain) breakage(task *problem.Task, e *Entry) {
	glass, ok := u.glassOf[[2]string{e.Project, e.Opening}]
	if !ok || e.Kind != takeoff.Glaze || glass.lead.Most == 0 {
		return
	}
	id := "broken glass of " + e.Project + " " + glass.supplier
	if u.damages[id] == nil {
		h, day := &u.b.f.History, float64(u.b.clock.dayMinutes(glass.calendar))
		u.damages[id] = &problem.Damage{
			ID:     id,
			Chance: min(1, (u.risk.Breakage*u.risk.BreakageWeight+float64(h.Broken))/(u.risk.BreakageWeight+float64(max(h.Glazed, h.Broken)))),
			RemakeMinutes: &problem.Distribution{Pert: &problem.ThreePoint{
				Least: day * float64(glass.lead.Least), Likely: day * float64(glass.lead.Likely), Most: day * float64(glass.lead.Most),
			}},
			RemakeCalendar: cmp.Or(glass.calendar, problem.Always),
		}
	}
	u.damages[id].Tasks = append(u.damages[id].Tasks, task.ID)
}

// suppliers finds who furnishes the glass of each opening, and the ids of suppliers by name.
func (u *uncertain) suppliers() {
	u.glassOf, u.ids = map[[2]string]glassSupply{}, map[string]string{}
	for i := range u.b.f.Projects {
		p := &u.b.f.Projects[i]
		suppliers, releases := map[string]*Supplier{}, map[string]*Release{}
		for k := range p.Suppliers {
			s := &p.Suppliers[k]
			suppliers[s.ID] = s
			u.ids[p.Code+"\x00"+cmp.Or(s.Name, s.ID)] = s.ID
		}
		for k := range p.Releases {
			releases[p.Releases[k].ID] = &p.Releases[k]
		}
		for k := range p.Openings {
			for _, m := range p.Openings[k].Material {
				r := releases[m.Release]
				if m.Item != Glass || m.OnSite || r == nil || suppliers[r.Supplier] == nil {
					continue
				}
				s := suppliers[r.Supplier]
				glass := glassSupply{supplier: cmp.Or(s.Name, s.ID), lead: s.Lead, calendar: s.Calendar}
				if r.Lead != nil {
					glass.lead = *r.Lead
				}
				u.glassOf[[2]string{p.Code, p.Openings[k].Mark}] = glass
			}
		}
	}
}

// block writes the entries in the order of their ids.
func (u *uncertain) block() *problem.Uncertainty {
	block := &problem.Uncertainty{}
	for _, id := range slices.Sorted(maps.Keys(u.causes)) {
		block.Causes = append(block.Causes, problem.CommonCause{ID: id, Kind: u.causes[id]})
	}
	for _, id := range slices.Sorted(maps.Keys(u.spreads)) {
		block.Spreads = append(block.Spreads, *u.spreads[id])
	}
	for _, id := range slices.Sorted(maps.Keys(u.damages)) {
		block.Damages = append(block.Damages, *u.damages[id])
	}
	return block
}
