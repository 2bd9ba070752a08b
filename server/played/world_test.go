package played_test

import (
	"cmp"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/recovery"
	"jambwright/scheduler/takeoff"
	"jambwright/server/jobtest"
	"jambwright/server/planning"
	"jambwright/server/reporting"
)

// world plays a stored job forward. It knows the plan in force, as everybody on site does, and the truth, which the planner does
// not.
type world struct {
	*jobtest.Job
	t     testing.TB
	clock *dbtest.Hand
	truth truth
	zone  *time.Location
	today problem.Date

	doc    *problem.Problem // of the plan in force
	plan   *problem.Plan
	tasks  map[string]*problem.Task
	before map[string][]problem.Link
	rows   map[string][]string // by crew: its work in the order of the plan

	deeds  map[string]*deed
	comes  map[string]problem.Date   // handovers and leads under way: the true day, by key
	unsent []reporting.Report        // written without signal
	told   int                       // reports written
	sent   int                       // reports that reached the office
	whole  map[string]int            // labour minutes that a task was planned with at first
	labour map[string]map[string]int // minutes that the office was told of, by task and crew
	rush   []recovery.Move           // in force

	first    int64 // the plan that was issued first
	read     map[int64]*documents
	nights   int         // played
	evenings []time.Time // of these nights
	reports  int         // that reached the office since the last night
	said     []said      // by all nights
	waits    int         // changes that waited for news of other work
}

// documents are a plan with what it was made from.
type documents struct {
	problem *problem.Problem
	plan    *problem.Plan
}

// deed is what has really happened of a task.
type deed struct {
	factor            float64 // of the planned crew time
	done              float64 // share of the work
	unreported        int     // crew minutes
	started, finished *time.Time
	crew              string
	stopped           bool // until tomorrow's plan: a pane broke
	broke, held       bool
	heldTo            *problem.Date
	told              bool // to the office, that it is finished
}

// newWorld loads the job, plans it and issues the plan.
func newWorld(t testing.TB, db *models.DB, clock *dbtest.Hand, seed uint64) *world {
	t.Helper()
	w := &world{
		Job: jobtest.LoadSheets(t, db, jobName, sheets()), t: t, clock: clock, truth: truth{seed}, deeds: map[string]*deed{}, read: map[int64]*documents{}, whole: map[string]int{},
		comes: map[string]problem.Date{}, labour: map[string]map[string]int{},
	}
	var err error
	w.zone, err = time.LoadLocation(jobtest.Zone)
	require.NoError(t, err)
	w.today = problem.DateOf(clock.Now().In(w.zone))
	w.first = w.Plan().ID
	w.issue(w.first)
	return w
}

// at is an hour of the day that is played.
func (w *world) at(hour, minute int) time.Time {
	return time.Date(w.today.Year, w.today.Month, w.today.Day, hour, minute, 0, 0, w.zone)
}

// set moves the clock on; it never goes back.
func (w *world) set(to time.Time) {
	if d := to.Sub(w.clock.Now()); d > 0 {
		w.clock.Later(d)
	}
}

// issue makes a plan the one in force, as the operations manager does.
func (w *world) issue(planID int64) {
	w.t.Helper()
	require.NoError(w.t, planning.Issue(w.t.Context(), w.DB, planID, []int64{w.Project.ID}, jobtest.Actor()))
	w.follow()
}

// documents reads a plan as it was saved; both are not to be changed.
func (w *world) documents(planID int64) (*problem.Problem, *problem.Plan) {
	w.t.Helper()
	if w.read[planID] == nil {
		doc, plan, err := models.PlanDocuments(w.t.Context(), w.DB, planID)
		require.NoError(w.t, err)
		w.read[planID] = &documents{doc, plan}
	}
	return w.read[planID].problem, w.read[planID].plan
}

// follow reads the plan in force.
func (w *world) follow() {
	w.t.Helper()
	issue, err := models.IssuedPlan(w.t.Context(), w.DB, w.Project.ID)
	require.NoError(w.t, err)
	w.doc, w.plan = w.documents(issue.PlanID)
	w.tasks, w.before, w.rows = map[string]*problem.Task{}, map[string][]problem.Link{}, map[string][]string{}
	for i := range w.doc.Tasks {
		w.tasks[w.doc.Tasks[i].ID] = &w.doc.Tasks[i]
	}
	for _, l := range w.doc.Links {
		require.Equal(w.t, problem.FinishToStart, cmp.Or(l.Type, problem.FinishToStart), "the world knows no other links")
		w.before[l.To] = append(w.before[l.To], l)
	}
	planned := slices.Clone(w.plan.Tasks)
	slices.SortStableFunc(planned, func(a, b problem.PlannedTask) int { return a.Start.Compare(b.Start) })
	for i := range planned {
		if p := &planned[i]; p.Crew != nil {
			w.rows[*p.Crew] = append(w.rows[*p.Crew], p.ID)
		}
	}
	for _, d := range w.deeds {
		d.stopped = false
	}
}

// deed is what has happened of a task.
func (w *world) deed(key string) *deed {
	d := w.deeds[key]
	if d == nil {
		d = &deed{factor: w.truth.hours(key, w.tasks[key].Kind)}
		w.deeds[key] = d
	}
	return d
}

// isClear reports whether nothing that a task follows is still to come.
func (w *world) isClear(key string, now time.Time) bool {
	return !slices.ContainsFunc(w.before[key], func(l problem.Link) bool {
		d := w.deed(l.From)
		return d.finished == nil || d.finished.Add(time.Duration(l.LagMinutes)*time.Minute).After(now)
	})
}

// shifts are the hours of a crew on the day that is played, in minutes of the day.
func (w *world) shifts(crew *problem.Crew) []problem.Shift {
	for i := range w.doc.Calendars {
		if w.doc.Calendars[i].ID == crew.Calendar {
			return w.doc.Calendars[i].ShiftsOn(w.today)
		}
	}
	w.t.Fatalf("crew %s has no calendar", crew.ID)
	return nil
}

// next goes on to the next day on which a crew works.
func (w *world) next() {
	for {
		at := w.at(12, 0).AddDate(0, 0, 1)
		w.today = problem.DateOf(at)
		for i := range w.doc.Crews {
			if len(w.shifts(&w.doc.Crews[i])) > 0 {
				return
			}
		}
	}
}

// day plays one day on site: what comes in the morning, then minute by minute what the crews do, then the evening's reports.
func (w *world) day() {
	w.t.Helper()
	w.morning()
	w.assertPage()
	first, last := 24*60, 0
	hours := make([][]problem.Shift, len(w.doc.Crews))
	for i := range w.doc.Crews {
		hours[i] = w.shifts(&w.doc.Crews[i])
		for _, s := range hours[i] {
			first, last = min(first, s.From), max(last, s.To)
		}
	}
	for minute := first; minute < last; minute++ {
		now := w.at(0, minute)
		for i := range w.doc.Crews {
			on := slices.ContainsFunc(hours[i], func(s problem.Shift) bool { return s.From <= minute && minute < s.To })
			away := slices.ContainsFunc(w.doc.Crews[i].Away, func(s problem.Span) bool { return !now.Before(s.From) && now.Before(s.To) })
			if on && !away {
				w.work(&w.doc.Crews[i], now)
			}
		}
	}
	w.set(w.at(0, last))
	w.evening()
}

// work lets a crew work one minute: on what it has begun, else on the next clear work of its plan.
func (w *world) work(crew *problem.Crew, now time.Time) {
	key := w.nextOf(crew.ID, now)
	if key == "" {
		return
	}
	t, d := w.tasks[key], w.deed(key)
	d.crew = crew.ID
	if d.started == nil {
		d.started = &now
		w.report(key, reporting.Report{Kind: models.ReportStart, At: now})
	}
	d.unreported++
	d.done += 1 / (d.factor * float64(problem.CrewMinutes(*t.LabourMinutes, crew.Heads, productivity(crew, t.Kind))))
	end := now.Add(time.Minute)
	if t.Kind == string(takeoff.Frame) && !d.held && d.done > 0.2 && w.truth.happens(stopped, "hold "+key) {
		w.hold(key, end)
		return
	}
	breaks := t.Kind == string(takeoff.Glaze) && !d.broke && w.truth.happens(breakage, "pane "+key)
	if breaks && d.done > w.truth.of("when "+key).Float64()*2 {
		w.breakPane(key, end) // at any time of the work, or else when it is done
		return
	}
	if d.done >= 1 {
		d.finished = &end
		w.report(key, reporting.Report{Kind: models.ReportDone, At: end, Labour: w.booked(d)})
		if breaks {
			w.breakPane(key, end)
		}
	}
}

func productivity(crew *problem.Crew, kind string) float64 {
	if p, stated := crew.Productivity[kind]; stated {
		return p
	}
	return 1
}

// nextOf is what a crew works on: a task under way before all else, then in the order of its plan.
func (w *world) nextOf(crew string, now time.Time) (key string) {
	for _, id := range w.rows[crew] {
		d := w.deed(id)
		if d.finished != nil || d.stopped || d.heldTo != nil || !w.isClear(id, now) {
			continue
		}
		if d.started != nil {
			return id
		}
		if key == "" {
			key = id
		}
	}
	return key
}

// booked is what of the crew's time on a task has not been booked yet, in labour minutes.
func (w *world) booked(d *deed) *int {
	labour := d.unreported * w.crew(d.crew).Heads
	d.unreported = 0
	return &labour
}

func (w *world) crew(id string) *problem.Crew {
	i := slices.IndexFunc(w.doc.Crews, func(c problem.Crew) bool { return c.ID == id })
	require.GreaterOrEqual(w.t, i, 0, "crew %s", id)
	return &w.doc.Crews[i]
}
