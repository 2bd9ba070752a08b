package server

import (
	"cmp"
	"context"
	"net/http"
	"slices"
	"strconv"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
	"jambwright/web"
	"jambwright/web/elevation"
)

// tomorrow shows a foreman what is clear to start, what is not and why, and what to bring.
func (s *Server) tomorrow(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	page := web.TomorrowPage{Chrome: s.chrome(c)}
	zone, now := page.Format.In(s.db.Now()).Location(), s.db.Now()
	today := problem.DateOf(now.In(zone))
	date, given, err := queryDate(c, "date")
	if err != nil {
		return err
	}
	if !given {
		date = today
	}
	from, _ := daySpan(addDays(date, -30), zone)
	_, to := daySpan(addDays(date, 60), zone)
	hours, err := readHours(ctx, s.db, from, to)
	if err != nil {
		return err
	}
	if !given {
		date = hours.nextWorked(today, 1, zone)
	}
	page.Date, page.Previous, page.Next = date, hours.nextWorked(date, -1, zone), hours.nextWorked(date, 1, zone)
	crews := s.chosenCrews(c, p, hours, &page)
	issues, err := models.PlansInForce(ctx, s.db)
	if err != nil {
		return err
	}
	page.NoPlan = len(issues) == 0
	if page.NoPlan {
		_, err := models.LatestPlan(ctx, s.db)
		if err != nil && !isNotFound(err) {
			return err
		}
		page.Draft = err == nil
	}
	if !page.NoPlan {
		if page.Crews, err = crewDays(ctx, s.db, p.projects, hours, crews, date, page.Format); err != nil {
			return err
		}
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// queryDate reads a date of the address; given tells whether there is one.
func queryDate(c *gin.Context, name string) (d problem.Date, given bool, err error) {
	text := c.Query(name)
	if text == "" {
		return d, false, nil
	}
	d, err = problem.ParseDate(text)
	if err != nil {
		return d, false, badRequest(err.Error())
	}
	return d, true, nil
}

// chosenCrews are the crews to show: a foreman's own, or the one of the address, or all.
func (s *Server) chosenCrews(c *gin.Context, p *person, hours *crewHours, page *web.TomorrowPage) []*models.Crew {
	var crews []*models.Crew
	for i := range hours.crews {
		crew := &hours.crews[i]
		own := p.role != web.RoleForeman || p.user.CrewID == nil || *p.user.CrewID == crew.ID
		if !own {
			continue
		}
		page.Choices = append(page.Choices, crewRef(crew))
		if chosen := c.Query("crew"); chosen == "" || chosen == crewRef(crew).ID {
			crews = append(crews, crew)
		}
	}
	page.Chosen = c.Query("crew")
	if len(page.Choices) == 1 {
		page.Chosen, page.Choices = "", nil
	}
	return crews
}

func crewRef(crew *models.Crew) web.CrewRef {
	return web.CrewRef{ID: strconv.FormatInt(crew.ID, 10), Name: crew.Name, Heads: crew.Heads}
}

// crewDays is what each crew does on a date, from the plans in force. projects nil means all.
func crewDays(
	ctx context.Context, db *models.DB, projects []int64, hours *crewHours, crews []*models.Crew, date problem.Date, f web.Format,
) ([]web.CrewDay, error) {
	zone := f.In(db.Now()).Location()
	from, to := daySpan(date, zone)
	ids := make([]int64, 0, len(crews))
	for _, crew := range crews {
		ids = append(ids, crew.ID)
	}
	work, err := models.CrewWork(ctx, db, models.WorkQuery{ProjectIDs: projects, CrewIDs: ids, From: from, To: to})
	if err != nil {
		return nil, err
	}
	d, err := models.ReadDirectory(ctx, db)
	if err != nil {
		return nil, err
	}
	settings, err := models.Settings(ctx, db)
	if err != nil {
		return nil, err
	}
	view := dayView{format: f.OnDay(date), names: newNamer(d), rules: settings.TakeoffRules.V.WithDefaults()}
	days := make([]web.CrewDay, 0, len(crews))
	for _, crew := range crews {
		day := web.CrewDay{Crew: crewRef(crew), Off: hours.off(crew, from, to)}
		if working := hours.of(crew.ID, from, to); len(working) > 0 {
			day.From, day.To = working[0].Start.Time(), working[len(working)-1].Finish.Time()
		}
		view.fill(&day, crew.ID, work, from, to)
		days = append(days, day)
	}
	return days, view.fillNext(ctx, db, projects, days, to)
}

// fillNext gives crews without work on a day the next work that the plan has for them.
func (v *dayView) fillNext(ctx context.Context, db *models.DB, projects []int64, days []web.CrewDay, after time.Time) error {
	var idle []int64
	for i := range days {
		if id, err := strconv.ParseInt(days[i].Crew.ID, 10, 64); err == nil && len(days[i].Tasks) == 0 {
			idle = append(idle, id)
		}
	}
	if len(idle) == 0 {
		return nil
	}
	work, err := models.CrewWork(ctx, db, models.WorkQuery{
		ProjectIDs: projects, CrewIDs: idle, From: after, To: after.AddDate(0, 0, laneLength),
	})
	if err != nil {
		return err
	}
	for i := range days {
		for j := range work {
			w := &work[j]
			mine := w.Plan.CrewID != nil && strconv.FormatInt(*w.Plan.CrewID, 10) == days[i].Crew.ID
			if len(days[i].Tasks) > 0 || !mine || w.State == models.StateDone {
				continue
			}
			if t, _ := v.task(w); days[i].Next == nil || t.Start.Before(days[i].Next.Start) {
				days[i].Next = &t
			}
		}
	}
	return nil
}

// dayView turns stored work into the tasks of a day.
type dayView struct {
	format web.Format
	names  *namer
	rules  takeoff.Rules
}

func (v *dayView) fill(day *web.CrewDay, crewID int64, work []models.Work, from, to time.Time) {
	var own []*models.Work
	for i := range work {
		if plan := work[i].Plan; plan != nil && plan.CrewID != nil && *plan.CrewID == crewID {
			own = append(own, &work[i])
		}
	}
	slices.SortStableFunc(own, walking)
	for _, w := range own {
		t, taken := v.task(w)
		day.Tasks = append(day.Tasks, t)
		day.Minutes += minutesWithin(w.Plan, from, to)
		if w.State == models.StateDone {
			continue
		}
		kind := w.Task.Kind
		bringFor(&day.Bring, kind, taken, t.Glass.Gear != "")
		day.Cautions = cautionsFor(day.Cautions, kind, taken)
	}
}

// walking orders work as a foreman walks: by area, then by place in the area, then by start.
func walking(a, b *models.Work) int {
	areaOf := func(w *models.Work) (int, int) {
		switch {
		case w.Task.Opening != nil:
			return w.Task.Opening.Area.WalkOrder, w.Task.Opening.WalkOrder
		case w.Task.Area != nil:
			return w.Task.Area.WalkOrder, 0
		}
		return 0, 0
	}
	areaA, placeA := areaOf(a)
	areaB, placeB := areaOf(b)
	return cmp.Or(cmp.Compare(areaA, areaB), cmp.Compare(placeA, placeB), a.Plan.StartAt.Compare(b.Plan.StartAt), cmp.Compare(a.Task.Key, b.Task.Key))
}

// minutesWithin is a task's working time between two instants.
func minutesWithin(p *models.PlanTask, from, to time.Time) int {
	total := 0
	for _, s := range p.Segments {
		begin, end := s.Start(), s.Finish()
		if begin.Before(from) {
			begin = from
		}
		if end.After(to) {
			end = to
		}
		if begin.Before(end) {
			total += int(end.Sub(begin) / time.Minute)
		}
	}
	return total
}

// task is one task of a day with what its opening takes; nil for shared work.
func (v *dayView) task(w *models.Work) (web.DayTask, *takeoff.Takeoff) {
	t := web.DayTask{
		Key: w.Task.Key, Kind: kindOf(w.Task.Kind), Start: startOf(w.Plan), Finish: w.Plan.FinishAt, State: stateWord(w.State),
		Why: v.why(w), Pinned: w.Pin != nil, Minutes: minutesWithin(w.Plan, time.Time{}, w.Plan.FinishAt.Add(time.Minute)),
	}
	if w.Pin != nil {
		t.Note = "pinned by the operations manager"
	}
	o := w.Task.Opening
	if o == nil {
		t.Mark = v.format.Capital(v.names.know(w.Task.Key).names.Tasks[w.Task.Key])
		if w.Task.AreaID != nil {
			t.Area = v.names.d.ByID[*w.Task.AreaID]
		}
		return t, nil
	}
	geometry := o.MadeTo(v.rules)
	drawing := elevationOf(o.Mark, geometry, o.Handing, progressBefore(w), holdWord(&w.Task))
	t.OpeningID, t.Mark, t.Room, t.Area = strconv.FormatInt(o.ID, 10), o.Mark, o.Room, v.names.d.ByID[o.AreaID]
	t.TypeName, t.Width, t.Height, t.Elevation = drawing.Type.Name(), geometry.Width, geometry.Height, &drawing
	taken, err := takeoff.Of(geometry, v.rules)
	if err != nil {
		t.Note = "The geometry of this opening is not whole: " + err.Error()
		return t, nil
	}
	t.Glass = glassLift(w.Task.Kind, taken, needsGear(&w.Task, taken))
	return t, taken
}

// startOf is when work on a task begins or goes on.
func startOf(p *models.PlanTask) time.Time {
	if p.ResumeAt != nil {
		return *p.ResumeAt
	}
	return p.StartAt
}

// needsGear reports whether a task was planned with fewer people than its pieces need by hand: lifting gear makes up for
// them.
func needsGear(t *models.Task, taken *takeoff.Takeoff) bool {
	switch t.Kind {
	case takeoff.Glaze:
		return taken.GlazeHands > t.MinHeads
	case takeoff.Hang:
		return taken.HangHands > t.MinHeads
	}
	return false
}

func stateWord(s models.TaskState) web.TaskState {
	if s == models.StateUnderWay {
		return web.StateUnderWay
	}
	return web.TaskState(s)
}

// progressBefore is how far an opening is when a kind of work on it begins.
func progressBefore(w *models.Work) elevation.Progress {
	done := w.State == models.StateDone
	switch w.Task.Kind {
	case takeoff.Frame:
		if done {
			return elevation.Framed
		}
		return elevation.OnSite
	case takeoff.Glaze:
		if done {
			return elevation.Glazed
		}
		return elevation.Framed
	case takeoff.Hang:
		if done {
			return elevation.Hung
		}
		return elevation.Glazed
	case takeoff.Punch:
		if done {
			return elevation.Punched
		}
		return elevation.Hung
	}
	return elevation.Measured
}

// holdWord is the word on the band of a held opening: the first of its cause.
func holdWord(t *models.Task) string {
	if !t.Held {
		return ""
	}
	return t.HoldCause
}

// why lists what a task waits for or what holds it, in sentences.
func (v *dayView) why(w *models.Work) []string {
	var lines []string
	switch w.State {
	case models.StateHeld:
		line := "held: " + w.Task.HoldCause
		if w.Task.HoldParty != "" {
			line += ", answer owed by " + w.Task.HoldParty
		}
		if w.Task.HeldUntil != nil {
			line += ", expected " + v.format.Day(*w.Task.HeldUntil)
		} else {
			line += ", no date yet"
		}
		lines = append(lines, line)
	case models.StateWaiting:
		for i := range w.Missing {
			lines = append(lines, v.missing(&w.Missing[i]))
		}
	}
	return lines
}

// missing is the sentence for one thing that a task waits for.
func (v *dayView) missing(m *models.Missing) string {
	r := problem.Reason{Kind: reasonKind(m.Task.Kind), Ref: m.Task.Key}
	if m.Expected != nil {
		r.Until = *m.Expected
	}
	return v.names.why(v.format, r, "")
}
