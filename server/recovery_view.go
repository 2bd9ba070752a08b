package server

import (
	"slices"
	"strconv"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/recovery"
	"jambwright/web"
)

// recoveryView turns what was found into what the page shows.
type recoveryView struct {
	words  *moveWords
	r      *recovered
	floats *floatDays
	dates  map[string]string // names of GC dates, by their id in a problem
}

func (v *recoveryView) fill(page *web.RecoveryPage) error {
	found := v.r.found
	if found == nil {
		return nil
	}
	letters := 0
	letter := func() string {
		letters++
		return string(rune('A' + (letters-1)%26))
	}
	for i, trial := range tickable(found) {
		line, err := v.line(&trial)
		if err != nil {
			return err
		}
		line.Value = strconv.Itoa(i)
		if line.Days > 0 {
			line.Letter = letter()
		}
		page.Moves = append(page.Moves, line)
	}
	for i := range found.Sets {
		line, err := v.line(&found.Sets[i])
		if err != nil {
			return err
		}
		line.Value, line.Letter = "set-"+strconv.Itoa(i), letter()
		page.Sets = append(page.Sets, line)
	}
	page.Useless, page.Untried = v.useless(found), found.Untried
	return nil
}

// tickable are the moves that can be chosen one by one: those that win something by themselves, then those that sets need.
// The latter have nothing won.
func tickable(found *recovery.Result) []recovery.Trial {
	list := slices.Clone(found.Singles)
	known := map[recovery.Move]bool{}
	for i := range list {
		known[list[i].Moves[0]] = true
	}
	for i := range found.Sets {
		for _, m := range found.Sets[i].Moves {
			if !known[m] {
				known[m] = true
				list = append(list, recovery.Trial{Moves: []recovery.Move{m}})
			}
		}
	}
	return list
}

// line is a move or a set. A trial without dates wins nothing by itself.
func (v *recoveryView) line(t *recovery.Trial) (line web.MoveLine, err error) {
	line = web.MoveLine{
		Texts: v.words.texts(t.Moves), Unpriced: isUnpriced(t.Moves), Cautions: v.words.cautions(t.Moves),
	}
	id := pattern.GCDateID(v.r.project.Code, v.r.date.Code)
	i := slices.IndexFunc(t.Dates, func(d recovery.DateEffect) bool { return d.ID == id })
	if i < 0 || t.Won < recovery.Least {
		return line, nil
	}
	found, due := v.r.found, v.r.date.DueAt(v.words.format.Zone)
	line.Days, line.After, line.Cost = float64(t.Won)/(24*60), t.Dates[i].After, t.Cost
	line.Keeps = line.After != nil && !line.After.After(due)
	line.Work = t.Figures.Bill.Work() - found.Base.Bill.Work()
	line.Damages = found.Base.Damages - t.Figures.Damages
	line.TellsCost = found.Base.Bill.Labour > 0
	line.Worse = v.worse(t, i)
	line.WorkDays, err = v.floats.between(v.r.project, line.After, *t.Dates[i].Before)
	return line, err
}

// worse lists what a trial makes worse than the plan without it, in sentences.
func (v *recoveryView) worse(t *recovery.Trial, own int) (list []string) {
	base, now := v.r.found.Base, t.Figures
	for i, d := range t.Dates {
		if i != own && d.Won() < -recovery.Least {
			list = append(list, v.dateName(d.ID)+" comes "+v.words.format.WonDays(-float64(d.Won())/(24*60))+" later, "+v.words.format.FinishDay(*d.After)+".")
		}
		if d.Before != nil && d.After == nil {
			list = append(list, v.dateName(d.ID)+" can no longer be planned.")
		}
	}
	if more := now.Changes - base.Changes; more > 0 {
		list = append(list, v.words.format.Of(more, "more task differs", "more tasks differ")+" from the plan in force.")
	}
	if more := now.TravelMinutes - base.TravelMinutes; more >= 60 {
		list = append(list, "Crews travel and set up "+v.words.format.Hours(more)+" more.")
	}
	return list
}

// dateName is a GC date in words, by its id in a problem.
func (v *recoveryView) dateName(id string) string {
	if name := v.dates[id]; name != "" {
		return name
	}
	return id
}

// useless groups the moves that would not help by what they would not help against.
func (v *recoveryView) useless(found *recovery.Result) (list []web.UselessLine) {
	inSets := map[recovery.Move]bool{}
	for i := range found.Sets {
		for _, m := range found.Sets[i].Moves {
			inSets[m] = true
		}
	}
	add := func(m recovery.Move, why string) {
		if inSets[m] {
			return
		}
		i := slices.IndexFunc(list, func(l web.UselessLine) bool { return l.Why == why })
		if i < 0 {
			list, i = append(list, web.UselessLine{Why: why}), len(list)
		}
		list[i].Texts = append(list[i].Texts, v.words.text(m))
	}
	for i := range found.Without {
		t := &found.Without[i]
		why := v.words.holds(t.Holds)
		if t.Won < 0 {
			why = "the date would even come later"
		}
		add(t.Moves[0], why)
	}
	for _, n := range found.Not {
		if n.Why != "" {
			add(n.Move, n.Why)
		} else {
			add(n.Move, v.words.holds(n.Holds))
		}
	}
	return list
}
