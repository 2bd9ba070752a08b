package forecast_test

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/forecast"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/recovery"
)

// world is a job whose truth the planner does not see: how long work really takes, when material and walls really come. It is
// played forward minute by minute: each crew takes the next work of the last night's plan that is clear to start, and what
// happened is reported in the evening. The truth has its own chance and its own code; it shares with the planner's uncertainty
// block only what a firm would know of itself, the distributions.
type world struct {
	now   time.Time
	tasks []*truth
	byID  map[string]*truth
	crews []string
	dates []problem.GCDate
	rows  map[string][]string // by crew: its work in the order of the last plan

	moves   []recovery.Move // adopted, see adopt
	adopted problem.Date
}

// truth is one task: what the planner knows of it, and what it does not.
type truth struct {
	task   problem.Task
	before []string

	minutes float64   // crew minutes that it takes
	comes   time.Time // material: when it arrives; walls: when they are handed over

	spent             float64
	started, finished *time.Time
	crew              string
}

const (
	shiftMinutes = 480
	leadLeast    = 8 * 1440.0
	leadLikely   = 12 * 1440.0
	leadMost     = 24 * 1440.0
	hoursSpread  = 0.3
	kindShare    = 0.3
	paceSpread   = 0.1
	leadShare    = 0.5
	tradeShare   = 0.5
)

var wallsLate = []float64{0, 0, 0, 0, 0, 0, 3, 3, 7, 14} // days, each as likely

// newWorld invents a job: three releases of one supplier, two areas of one trade, sixteen openings of three steps, three crews.
func newWorld(seed uint64) *world {
	rng := rand.New(rand.NewPCG(seed, 77))
	w := &world{now: time.Date(2026, 3, 2, 7, 0, 0, 0, time.UTC), byID: map[string]*truth{}, crews: []string{"ash", "birch", "cedar"}}
	supplier, trade := rng.NormFloat64(), rng.NormFloat64()
	kinds := map[string]float64{"frame": rng.NormFloat64(), "glaze": rng.NormFloat64(), "hang": rng.NormFloat64()}
	for r := range 3 {
		z := math.Sqrt(leadShare)*supplier + math.Sqrt(1-leadShare)*rng.NormFloat64()
		w.add(&truth{
			task:  problem.Task{ID: fmt.Sprint("lead ", r), Kind: "lead", DurationMinutes: new(int(leadLikely)), Calendar: problem.Always},
			comes: w.now.Add(time.Duration(leadOf(upTo(z))) * time.Minute),
		})
	}
	for a := range 2 {
		promised := w.now.AddDate(0, 0, 7+7*a)
		z := math.Sqrt(tradeShare)*trade + math.Sqrt(1-tradeShare)*rng.NormFloat64()
		late := wallsLate[min(len(wallsLate)-1, int(upTo(z)*float64(len(wallsLate))))]
		w.add(&truth{
			task: problem.Task{
				ID: fmt.Sprint("walls ", a), Kind: "handover", DurationMinutes: new(0), Calendar: problem.Always, NotBefore: new(promised),
			},
			comes: promised.Add(time.Duration(late*1440) * time.Minute),
		})
		w.dates = append(w.dates, problem.GCDate{ID: fmt.Sprint("area ", a), Date: w.now.AddDate(0, 0, 28)})
	}
	for o := range 16 {
		area := o / 8
		before := []string{fmt.Sprint("lead ", o*3/16), fmt.Sprint("walls ", area)}
		for _, kind := range []string{"frame", "glaze", "hang"} {
			labour := 200 + rng.IntN(500)
			z := math.Sqrt(kindShare)*kinds[kind] + math.Sqrt(1-kindShare)*rng.NormFloat64()
			t := &truth{
				task:   problem.Task{ID: fmt.Sprint(o, "/", kind), Kind: kind, Site: "mill", LabourMinutes: new(labour)},
				before: before, minutes: float64(labour) / 2 * math.Exp(hoursSpread*z),
			}
			w.add(t)
			before = []string{t.task.ID}
		}
		w.dates[area].Tasks = append(w.dates[area].Tasks, fmt.Sprint(o, "/hang"))
	}
	return w
}

// leadOf is the beta distribution's value by bisection of its distribution function, summed up in steps.
func leadOf(grade float64) float64 {
	a, b := 4*(leadLikely-leadLeast)/(leadMost-leadLeast), 4*(leadMost-leadLikely)/(leadMost-leadLeast)
	const steps = 2000
	total, sum := 0.0, 0.0
	density := func(i int) float64 {
		x := (float64(i) + 0.5) / steps
		return math.Pow(x, a) * math.Pow(1-x, b)
	}
	for i := range steps {
		total += density(i)
	}
	for i := range steps {
		if sum += density(i); sum >= grade*total {
			return leadLeast + (leadMost-leadLeast)*float64(i)/steps
		}
	}
	return leadMost
}

func (w *world) add(t *truth) {
	w.tasks = append(w.tasks, t)
	w.byID[t.task.ID] = t
}

// day plays one day's shifts.
func (w *world) day() {
	hours, last := w.hours()
	for now := w.now; now.Before(last); now = now.Add(time.Minute) {
		for _, t := range w.tasks {
			if !t.task.IsCrewWork() && t.finished == nil && !t.comes.After(now) {
				t.finished = new(t.comes)
			}
		}
		for _, crew := range w.crews {
			if at := now.Hour()*60 + now.Minute(); slices.ContainsFunc(hours[crew], func(s problem.Shift) bool { return s.From <= at && at < s.To }) {
				w.work(crew, now)
			}
		}
	}
}

// hours are each crew's shifts of the day, and the end of the last one.
func (w *world) hours() (hours map[string][]problem.Shift, last time.Time) {
	hours = map[string][]problem.Shift{}
	today := problem.DateOf(w.now)
	midnight := w.now.Truncate(24 * time.Hour)
	for _, crew := range w.crews {
		spec, _ := recovery.Lengthened(days(), crew, w.adopted, w.moves)
		hours[crew] = spec.ShiftsOn(today)
		for _, s := range hours[crew] {
			if end := midnight.Add(time.Duration(s.To) * time.Minute); end.After(last) {
				last = end
			}
		}
	}
	return hours, last
}

// next goes on to the next day on which anybody works, and plays it.
func (w *world) next() {
	for {
		w.now = w.now.AddDate(0, 0, 1)
		if _, last := w.hours(); !last.IsZero() {
			break
		}
	}
	w.day()
}

// days is the crews' ordinary week.
func days() problem.Calendar {
	week := []problem.Shift{{From: 7 * 60, To: 7*60 + shiftMinutes}}
	return problem.Calendar{ID: "days", Zone: "UTC", Week: problem.Week{Mon: week, Tue: week, Wed: week, Thu: week, Fri: week}}
}

// work lets a crew work one minute, on what it has begun or else on the next clear work of its plan.
func (w *world) work(crew string, now time.Time) {
	var at *truth
	for _, id := range w.rows[crew] {
		t := w.byID[id]
		if t.finished == nil && (t.started != nil && t.crew == crew || at == nil && t.started == nil && w.isClear(t)) {
			if at = t; t.started != nil {
				break
			}
		}
	}
	if at == nil {
		return
	}
	if at.started == nil {
		at.started, at.crew = new(now), crew
	}
	if at.spent++; at.spent >= at.minutes {
		at.finished = new(now.Add(time.Minute))
	}
}

func (w *world) isClear(t *truth) bool {
	return !slices.ContainsFunc(t.before, func(id string) bool { return w.byID[id].finished == nil })
}

// report is what the planner learns in the evening: the problem as the firm's rules build it (package pattern).
func (w *world) report() *problem.Problem {
	p := &problem.Problem{
		Version: problem.Version, Zone: "UTC", DataDate: w.now.Add(11 * time.Hour), GCDates: w.dates, Sites: []problem.Site{{ID: "mill"}},
		Calendars:   []problem.Calendar{days()},
		Uncertainty: &problem.Uncertainty{Causes: []problem.CommonCause{{ID: "supplier"}, {ID: "trade"}, {ID: "frame"}, {ID: "glaze"}, {ID: "hang"}}},
	}
	for _, id := range w.crews[:3] { // crews that are hired come with the moves
		p.Crews = append(p.Crews, problem.Crew{ID: id, Skills: []string{"frame", "glaze", "hang"}, Heads: 2, Calendar: "days"})
	}
	for _, t := range w.tasks {
		task := t.task
		switch {
		case t.finished != nil:
			begun := t.started
			if begun == nil {
				begun = t.finished
			}
			task.Status = &problem.Status{Started: *begun, Finished: t.finished, Crew: t.crew}
		case t.started != nil: // the foreman reckons with what was planned
			task.Status = &problem.Status{Started: *t.started, Crew: t.crew, RemainingMinutes: new(max(20, *task.LabourMinutes/2-int(t.spent)))}
		case task.Kind == "lead":
			w.underWay(p, &task)
		case task.Kind == "handover":
			w.awaited(p, &task)
		}
		p.Tasks = append(p.Tasks, task)
		for _, before := range t.before {
			p.Links = append(p.Links, problem.Link{From: before, To: task.ID})
		}
	}
	for _, kind := range []string{"frame", "glaze", "hang"} {
		p.Uncertainty.Spreads = append(p.Uncertainty.Spreads, problem.Spread{
			ID: kind, Kinds: []string{kind}, Factor: &problem.Distribution{LogNormal: &problem.LogNormal{Median: 1, Sigma: hoursSpread}},
			Causes: map[string]float64{kind: kindShare},
		})
	}
	return recovery.Apply(p, w.moves)
}

// underWay is material that was ordered when the job began: what is left of the likely time, and of its spread.
func (w *world) underWay(p *problem.Problem, task *problem.Task) {
	ordered := time.Date(2026, 3, 2, 7, 0, 0, 0, time.UTC)
	passed := p.DataDate.Sub(ordered).Minutes()
	left := leadLikely - passed
	band := problem.ThreePoint{Least: max(0, leadLeast-passed) / left, Likely: 1, Most: (leadMost - passed) / left}
	if left <= 0 {
		left = max(1440, leadMost-leadLikely)
		band = problem.ThreePoint{Likely: 1, Most: 2}
	}
	task.Status = &problem.Status{Started: ordered, RemainingMinutes: new(int(left))}
	p.Uncertainty.Spreads = append(p.Uncertainty.Spreads, problem.Spread{
		ID: task.ID, Tasks: []string{task.ID}, Factor: &problem.Distribution{Pert: &band}, Causes: map[string]float64{"supplier": leadShare},
	})
}

// awaited is a wall that is still to come: as promised, or once that has passed the next morning, and late as walls are that
// are late by so much already.
func (w *world) awaited(p *problem.Problem, task *problem.Task) {
	promised := *task.NotBefore
	tomorrow := p.DataDate.Add(13 * time.Hour)
	if promised.Before(tomorrow) {
		task.NotBefore = &tomorrow
	}
	d := problem.Distribution{}
	for _, late := range wallsLate {
		if comes := promised.Add(time.Duration(late*1440) * time.Minute); comes.After(p.DataDate) {
			d.Values = append(d.Values, comes.Sub(*task.NotBefore).Minutes())
		}
	}
	for range d.Values {
		d.Chances = append(d.Chances, 1/float64(len(d.Values)))
	}
	p.Uncertainty.Spreads = append(p.Uncertainty.Spreads, problem.Spread{
		ID: task.ID, Tasks: []string{task.ID}, SlipMinutes: &d, Causes: map[string]float64{"trade": tradeShare},
	})
}

// follow makes the crews work as a plan says.
func (w *world) follow(made *problem.Plan) {
	w.rows = map[string][]string{}
	rows := slices.Clone(made.Tasks)
	slices.SortStableFunc(rows, func(a, b problem.PlannedTask) int { return cmp.Compare(a.Start.Unix(), b.Start.Unix()) })
	for _, row := range rows {
		if row.Crew != nil {
			w.rows[*row.Crew] = append(w.rows[*row.Crew], row.ID)
		}
	}
}

// Forty nights of several jobs, each night re-planned and forecast from what had been reported: P80s are kept by about eight
// dates in ten, whatever the night, and P50s by about half.
func TestForecast_BandsHoldTheirPromiseInASimulatedFirm(t *testing.T) {
	t.Parallel()
	const jobs, nights = 24, 40
	var kept []forecast.Kept
	for seed := range uint64(jobs) {
		w := newWorld(seed)
		var said []forecast.Kept
		for range nights {
			p := w.report()
			if w.isDone() {
				break
			}
			require.Empty(t, problem.Validate(p))
			made, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 8, Seed: 1})
			require.NoError(t, err)
			f, err := forecast.Compute(t.Context(), p, made, forecast.Options{Least: 100, Most: 100, Seed: 1})
			require.NoError(t, err)
			for i := range f.GCDates {
				if d := &f.GCDates[i]; w.doneAt(i) == nil {
					said = append(said, forecast.Kept{Date: fmt.Sprint(seed, " ", i), P10: *d.P10, P50: *d.P50, P80: *d.P80, P90: *d.P90})
				}
			}
			w.follow(made)
			w.next()
		}
		require.True(t, w.isDone(), "job %d", seed)
		for _, k := range said {
			var i int
			_, err := fmt.Sscanf(k.Date, fmt.Sprint(seed, " %d"), &i)
			require.NoError(t, err)
			k.Came = *w.doneAt(i)
			kept = append(kept, k)
		}
	}
	c := forecast.Calibrate(kept)
	t.Logf("%+v", c)
	require.Equal(t, 2*jobs, c.Dates)
	assert.GreaterOrEqual(t, c.ByP80, 0.7)
	assert.LessOrEqual(t, c.ByP80, 0.9)
	assert.InDelta(t, 0.5, c.ByP50, 0.15)
}

// doneAt is when the last work of a GC date was finished, nil while there is some left.
func (w *world) doneAt(date int) (last *time.Time) {
	for _, id := range w.dates[date].Tasks {
		at := w.byID[id].finished
		if at == nil {
			return nil
		}
		if last == nil || at.After(*last) {
			last = at
		}
	}
	return last
}

func (w *world) isDone() bool { return w.doneAt(0) != nil && w.doneAt(1) != nil }
