package forecast

import (
	"maps"
	"math"
	"slices"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/crewing"
	"jambwright/scheduler/problem"
)

// quantity is one thing that is drawn for itself in every sample: the length of a task, the slip of its not_before, the pace
// of a crew, whether a task is damaged, and how long the remake takes.
type quantity struct {
	of      Source // what it is, for the report
	key     uint64
	sampler sampler // nil for whether a damage happens
	causes  []loading
	own     float64           // weight of its own draw beside the causes': 1 without any, 0 if they make up all of it
	task    crewing.TaskIndex // whose start or length it moves, None for a crew's pace
}

// loading is how strongly a quantity goes with a cause: the root of its share.
type loading struct {
	cause  int
	weight float64
}

// chance is what is drawn of a quantity in a sample.
type chance struct{ grade, score float64 }

// draw mixes the causes' scores and the quantity's own draw into one, which is again standard normal: a Gaussian copula
// (Nelsen 2006, "An introduction to copulas"). The distribution of each quantity stays what the document says; shares only say
// how they go together. Two quantities whose shares of one cause are a and b have scores that correlate by the root of a x b.
// spread widens (above 1) or narrows all scores about the median.
func (q *quantity) draw(d draws, causeScores []float64, spread float64) chance {
	grade := d.grade(q.key)
	if len(q.causes) == 0 && spread == 1 {
		return chance{grade: grade, score: score(grade)}
	}
	sum := 0.0
	for _, c := range q.causes {
		sum += c.weight * causeScores[c.cause]
	}
	if q.own > 0 {
		sum += q.own * score(grade)
	}
	sum *= spread
	return chance{grade: gradeOf(sum), score: sum}
}

// length is a task whose working minutes vary, by a draw of its own or by the pace of its crews.
type length struct {
	task     crewing.TaskIndex
	quantity int // -1: only its crews' pace varies
	asFactor bool
	whole    int // labour_minutes or duration_minutes
	rest     int // remaining minutes of started work, else -1
	options  []lengthOption
}

// lengthOption is how labour becomes minutes on one option of a task.
type lengthOption struct {
	pace     int // quantity: the crew's pace, -1 for none
	isCrew   bool
	crewPace problem.CrewPace
}

// slip is a task whose not_before varies.
type slip struct {
	task     crewing.TaskIndex
	quantity int
	at       calendar.Instant // not_before in the document
}

// damaged is a remake with what is drawn of it.
type damaged struct {
	remake
	whether, minutes int // quantities
}

// varied is everything that a problem's uncertainty block moves, compiled. It is never changed, so any number of workers
// may read it.
type varied struct {
	causes     []Source
	causeKeys  []uint64
	quantities []quantity
	lengths    []length
	slips      []slip
	damages    []damaged
	causesOf   [][]int // by task: causes that move it, without those by its crew
	crewCauses [][]int // by crew: causes that move its pace
}

// vary compiles the uncertainty of a problem. wide is the problem with the remakes, which the model is of.
func vary(p, wide *problem.Problem, remakes []remake, m *crewing.Model) *varied {
	b := varier{p: p, wide: wide, m: m, v: &varied{}, causes: map[string]int{}, paceOf: make([]int, len(p.Crews))}
	b.v.causesOf, b.v.crewCauses = make([][]int, m.Tasks()), make([][]int, len(p.Crews))
	u := p.Uncertainty
	if u == nil {
		return b.v
	}
	for i, cause := range u.Causes {
		b.causes[cause.ID] = i
		b.v.causes = append(b.v.causes, Source{Cause: cause.ID, Kind: cause.Kind})
		b.v.causeKeys = append(b.v.causeKeys, keyOf("cause", cause.ID))
	}
	b.paces()
	b.lengths()
	b.slips()
	b.damages(remakes)
	return b.v
}

type varier struct {
	p, wide *problem.Problem
	m       *crewing.Model
	v       *varied
	causes  map[string]int
	paceOf  []int // by crew: quantity of its pace, -1 for none
}

// shareSlack is what shares written as decimals may leave over when they are meant to add up to 1.
const shareSlack = 1e-6

// add appends a quantity. task is the task that it moves.
func (b *varier) add(of Source, what, id string, s sampler, causes map[string]float64, task crewing.TaskIndex) int {
	q := quantity{of: of, key: keyOf(what, id), sampler: s, task: task}
	rest := 1.0
	for _, name := range slices.Sorted(maps.Keys(causes)) {
		if share := causes[name]; share > 0 {
			q.causes = append(q.causes, loading{cause: b.causes[name], weight: math.Sqrt(share)})
			rest -= share
			if task != crewing.None {
				b.v.causesOf[task] = appendOnce(b.v.causesOf[task], b.causes[name])
			}
		}
	}
	if rest > shareSlack {
		q.own = math.Sqrt(rest)
	}
	b.v.quantities = append(b.v.quantities, q)
	return len(b.v.quantities) - 1
}

func appendOnce(list []int, x int) []int {
	if slices.Contains(list, x) {
		return list
	}
	return append(list, x)
}

// paces gives every crew named by a spread of crews its quantity.
func (b *varier) paces() {
	crews := make(map[string]int, len(b.p.Crews))
	for c := range b.p.Crews {
		crews[b.p.Crews[c].ID] = c
		b.paceOf[c] = -1
	}
	for i := range b.p.Uncertainty.Spreads {
		s := &b.p.Uncertainty.Spreads[i]
		for _, id := range s.Crews {
			c := crews[id]
			b.paceOf[c] = b.add(Source{Spread: s.ID, Crew: id, Quantity: Pace}, "pace", id, samplerOf(s.Factor), s.Causes, crewing.None)
			for _, l := range b.v.quantities[b.paceOf[c]].causes {
				b.v.crewCauses[c] = append(b.v.crewCauses[c], l.cause)
			}
		}
	}
}

// governing is the spread of a quantity that holds for each task.
func (b *varier) governing(isLength bool) []int {
	spreads := b.p.Uncertainty.Spreads
	return b.p.Governing(len(spreads), func(i int) (tasks, kinds []string) {
		if spreads[i].IsLength() != isLength {
			return nil, nil
		}
		return spreads[i].Tasks, spreads[i].Kinds
	})
}

func (b *varier) lengths() {
	spreads, samplers := b.p.Uncertainty.Spreads, b.samplers()
	governing := b.governing(true)
	for t := range b.wide.Tasks {
		task := &b.wide.Tasks[t]
		if b.m.StateOf(crewing.TaskIndex(t)) == crewing.Done {
			continue
		}
		one := length{task: crewing.TaskIndex(t), quantity: -1, rest: -1}
		if task.IsStarted() {
			one.rest = 0
			if task.Status.RemainingMinutes != nil {
				one.rest = *task.Status.RemainingMinutes
			}
		}
		switch {
		case task.LabourMinutes != nil:
			one.whole = *task.LabourMinutes
		case task.DurationMinutes != nil:
			one.whole = *task.DurationMinutes
		}
		paced := b.options(&one, task)
		if t < len(governing) && governing[t] >= 0 {
			s := &spreads[governing[t]]
			one.asFactor = s.Factor != nil
			one.quantity = b.add(Source{Spread: s.ID, Task: task.ID, Quantity: Length}, "length", task.ID, samplers[governing[t]], s.Causes, one.task)
		} else if !paced {
			continue
		}
		b.v.lengths = append(b.v.lengths, one)
	}
}

// options prepares each option of a task, and reports whether a crew among them has a pace that varies.
func (b *varier) options(one *length, task *problem.Task) (paced bool) {
	for _, o := range b.m.Options(one.task) {
		option := lengthOption{pace: -1}
		if o.Crew != crewing.None {
			crew := &b.p.Crews[o.Crew]
			option.isCrew, option.pace = true, b.paceOf[o.Crew]
			option.crewPace = problem.NewCrewPace(crew.Heads, crew.ProductivityOf(task.Kind))
			paced = paced || option.pace >= 0
		}
		one.options = append(one.options, option)
	}
	return paced
}

// samplers compiles each spread of tasks once.
func (b *varier) samplers() []sampler {
	samplers := make([]sampler, len(b.p.Uncertainty.Spreads))
	for i := range samplers {
		s := &b.p.Uncertainty.Spreads[i]
		for _, d := range []*problem.Distribution{s.Minutes, s.Factor, s.SlipMinutes} {
			if d != nil {
				samplers[i] = samplerOf(d)
			}
		}
	}
	return samplers
}

func (b *varier) slips() {
	spreads, samplers := b.p.Uncertainty.Spreads, b.samplers()
	for t, i := range b.governing(false) {
		task := &b.p.Tasks[t]
		if i < 0 || task.NotBefore == nil || task.IsFinished() {
			continue
		}
		s, index := &spreads[i], crewing.TaskIndex(t)
		b.v.slips = append(b.v.slips, slip{
			task: index, at: calendar.FromTime(*task.NotBefore),
			quantity: b.add(Source{Spread: s.ID, Task: task.ID, Quantity: Slip}, "slip", task.ID, samplers[i], s.Causes, index),
		})
	}
}

func (b *varier) damages(remakes []remake) {
	damages := b.p.Uncertainty.Damages
	samplers := make([]sampler, len(damages))
	for i := range damages {
		samplers[i] = samplerOf(damages[i].RemakeMinutes)
	}
	for _, r := range remakes {
		d, id := &damages[r.damage], b.p.Tasks[r.task].ID
		task := crewing.TaskIndex(r.task)
		b.v.damages = append(b.v.damages, damaged{
			remake:  r,
			whether: b.add(Source{Spread: d.ID, Task: id, Quantity: Damage}, "damage", id, nil, d.Causes, task),
			minutes: b.add(Source{Spread: d.ID, Task: id, Quantity: Remake}, "remake", id, samplers[r.damage], nil, crewing.TaskIndex(r.order)),
		})
	}
}
