package forecast

import (
	"math"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/crewing"
	"jambwright/scheduler/problem"
)

// policy is a way to crew a sample: the order in which work is placed, and the crews that it is held to, None where the one
// that finishes first is taken.
type policy struct {
	list   []crewing.TaskIndex
	choice []int16
}

// worker makes samples, one at a time, with memory of its own.
type worker struct {
	v        *varied
	m        *crewing.Model
	trial    *crewing.Trial
	policies []policy
	seed     uint64
	spread   float64

	causeScores []float64 // per cause, of the sample
	drawn       []chance  // per quantity, of the sample

	tally *tally
}

// draw fills the scores of causes and the draws of quantities for a sample.
func (w *worker) draw(sample int) {
	drawAll(w.v, w.seed, sample, w.spread, w.causeScores, w.drawn)
}

func drawAll(v *varied, seed uint64, sample int, spread float64, causeScores []float64, drawn []chance) {
	d := drawsOf(seed, sample)
	for i, key := range v.causeKeys {
		causeScores[i] = score(d.grade(key))
	}
	for i := range v.quantities {
		drawn[i] = v.quantities[i].draw(d, causeScores, spread)
	}
}

// make draws one sample, crews it, and writes the finish of each GC date, Never for one that is not reached. Of the
// policies' schedules the best counts, by the planner's own objective: whoever re-plans picks the better plan, too.
func (w *worker) make(sample int, finishes []calendar.Instant) {
	w.draw(sample)
	w.apply()
	best, s := 0, w.crew(0)
	if len(w.policies) > 1 {
		score := s.Score
		for i := 1; i < len(w.policies); i++ {
			if s = w.crew(i); s.Score.Better(&score) {
				best, score = i, s.Score
			}
		}
		if best != len(w.policies)-1 {
			s = w.crew(best)
		}
	}
	for i := range finishes {
		finish, last, ok := w.m.Forecast(s, i)
		if !ok {
			finishes[i] = calendar.Never
			continue
		}
		finishes[i] = finish
		w.tally.chain(i, last, s)
	}
}

func (w *worker) crew(policy int) *crewing.Schedule {
	w.trial.Ready()
	return w.trial.Generate(w.policies[policy].list, w.policies[policy].choice)
}

// apply gives the trial the lengths, releases and damages of the sample.
func (w *worker) apply() {
	for i := range w.v.lengths {
		w.setLength(&w.v.lengths[i])
	}
	for i := range w.v.slips {
		s := &w.v.slips[i]
		w.trial.SetNotBefore(s.task, s.at+calendar.Instant(math.Floor(w.value(s.quantity)+0.5)))
	}
	for i := range w.v.damages {
		d := &w.v.damages[i]
		isWhole := w.drawn[d.whether].grade < 1-d.chances // high grades are bad ones, as everywhere
		w.trial.SetAbsent(crewing.TaskIndex(d.order), isWhole)
		if d.rework >= 0 {
			w.trial.SetAbsent(crewing.TaskIndex(d.rework), isWhole)
		}
		if !isWhole {
			w.trial.SetMinutes(crewing.TaskIndex(d.order), 0, calendar.WorkMinutes(rounded(w.value(d.minutes))))
		}
	}
}

func (w *worker) value(quantity int) float64 {
	c := w.drawn[quantity]
	return w.v.quantities[quantity].sampler.at(c.grade, c.score)
}

// setLength gives each option of a task its minutes.
func (w *worker) setLength(l *length) {
	minutes := w.minutesOf(l)
	for k := range l.options {
		o := &l.options[k]
		paced := minutes
		if o.pace >= 0 {
			paced *= w.value(o.pace)
		}
		whole := rounded(paced)
		if o.isCrew && l.rest < 0 {
			whole = o.crewPace.Minutes(whole)
		}
		w.trial.SetMinutes(l.task, k, calendar.WorkMinutes(whole))
	}
}

// minutesOf is the labour or duration that is drawn for a task, of started work what remains.
func (w *worker) minutesOf(l *length) float64 {
	base := float64(l.whole)
	if l.rest >= 0 {
		base = float64(l.rest)
	}
	switch {
	case l.quantity < 0:
		return base
	case l.asFactor:
		return base * w.value(l.quantity)
	case l.rest < 0:
		return w.value(l.quantity)
	case l.whole == 0:
		return base
	}
	return base * w.value(l.quantity) / float64(l.whole)
}

// rounded is a length in whole minutes, halves up, within the range of the document.
func rounded(minutes float64) int {
	return int(min(max(math.Floor(minutes+0.5), 0), problem.MaxMinutes))
}
