package pattern

import (
	"jambwright/scheduler/takeoff"
)

// sortRemakes puts the remakes that can be planned into the order of their ids. A report may name what an opening does not
// have, a leaf of a borrowed light: that is noted and left out.
func (p *projectBuilder) sortRemakes() {
	for _, r := range sortedBy(p.pr.Remakes, func(r *Remake) string { return r.ID }) {
		o := p.byMark[r.Opening]
		if o == nil {
			continue // a fault, reported by the check
		}
		if _, needed := o.stepFor(r.Item); !needed {
			p.noteOf(NoteDropped, r.ID, "remake %s is of the %s of %s, which has none: it is not planned", r.ID, r.Item.words(), r.Opening)
			continue
		}
		p.remakes = append(p.remakes, r)
	}
}

// awaitsRemake reports whether a step lacks an item that is being made again.
func (p *projectBuilder) awaitsRemake(o *openingPlan, s Step) bool {
	for _, r := range p.remakes {
		if kind, ok := o.stepFor(r.Item); r.Opening == o.Mark && ok && kind == s.Kind && r.Received == nil {
			return true
		}
	}
	return false
}

// addRepairs ties every remake to the work that needs it. Where the step is still to be finished, it follows the remake's
// delivery. Where it was finished before the remake came, the work that the remake opens again is a task of its own: the
// set-up and one piece's share of the step's hours, before all that is not yet finished behind the step.
func (p *projectBuilder) addRepairs() {
	for _, r := range p.remakes {
		o := p.byMark[r.Opening]
		kind, _ := o.stepFor(r.Item)
		delivery := DeliverTask(p.pr.Code, r.ID, 1)
		step := p.p.Tasks[p.position(string(p.key(o, kind)))]
		if !step.IsFinished() || (r.Received != nil && !r.Received.After(*step.Status.Finished)) {
			p.link(delivery, p.key(o, kind))
			continue
		}
		p.addRepair(o, r, kind)
		key := Key{Project: p.pr.Code, Subject: r.ID, Kind: kind}.Task()
		p.link(delivery, key)
		p.link(p.key(o, kind), key)
		for _, s := range o.steps[o.upTo(kind)+1:] {
			if next := p.key(o, s.Kind); !p.p.Tasks[p.position(string(next))].IsFinished() {
				p.link(key, next)
			}
		}
	}
}

func (p *projectBuilder) addRepair(o *openingPlan, r *Remake, kind takeoff.Kind) {
	key := Key{Project: p.pr.Code, Subject: r.ID, Kind: kind}.Task()
	hours := p.workHours(kind, o.takeoff, 1).Share(pieceCount(o, r.Item))
	t, e := p.crewWork(key, o, kind, &hours)
	e.Release, e.Remake, e.Items = r.ID, true, []Item{r.Item}
	p.applyState(&t, &e, r.Received == nil)
	p.lift(&t, &e)
	p.staff(&t, &e)
	p.pin(&t)
	p.add(t, e)
	if !t.IsFinished() {
		p.noteTask(NoteRepair, key, o.Mark, "%s of %s is finished, and the remake %s (%s) opens it again", kind, o.Mark, r.ID, r.Cause)
	}
}

// pieceCount is how many pieces a step's hours are for, so that one remade piece takes its share.
func pieceCount(o *openingPlan, item Item) int {
	switch item {
	case Glass:
		return len(o.takeoff.Panes)
	case Leaf, Hardware:
		return len(o.takeoff.Leaves)
	}
	return 1
}
