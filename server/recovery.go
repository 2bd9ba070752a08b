package server

import (
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/recovery"
	"jambwright/server/recovering"
	"jambwright/web"
)

// lookAgain is after how many seconds the page of an open search or forecast is asked for again, by the browser itself.
const lookAgain = "2"

// recovered is a GC date with what was found for it.
type recovered struct {
	date    *models.GCDate
	project *models.Project
	plan    *models.Plan // nil when there is none
	run     *models.RecoveryRun
	found   *recovery.Result // nil unless the run is done
}

// readRecovery reads the GC date of the address, when the person may see it.
func (s *Server) readRecovery(c *gin.Context, p *person) (r recovered, err error) {
	ctx := c.Request.Context()
	id, err := strconv.ParseInt(c.Param("id"), 10, 64)
	if err != nil {
		return r, notFound("")
	}
	if r.date, err = models.GCDateByID(ctx, s.db, id); err != nil {
		return r, err
	}
	if !p.mayRead(r.date.ProjectID) {
		return r, notAllowed("")
	}
	if r.project, err = models.ProjectByID(ctx, s.db, r.date.ProjectID); err != nil {
		return r, err
	}
	if r.plan, err = models.LatestPlan(ctx, s.db); isNotFound(err) {
		r.plan = nil
	} else if err != nil {
		return r, err
	}
	if r.run, err = models.LatestRecovery(ctx, s.db, id); isNotFound(err) {
		r.run = nil
		return r, nil
	}
	if err == nil && r.run.Status == models.RunDone {
		r.found, err = r.run.Found()
	}
	return r, err
}

// recoveryPage shows what would win days back for one GC date.
func (s *Server) recoveryPage(c *gin.Context, p *person) error {
	r, err := s.readRecovery(c, p)
	if err != nil {
		return err
	}
	page := web.RecoveryPage{Chrome: s.chrome(c)}
	if err := s.fillRecovery(c, p, &r, &page); err != nil {
		return err
	}
	if page.Search.Open() {
		c.Header("Refresh", lookAgain)
	}
	s.render(c, http.StatusOK, page)
	return nil
}

func (s *Server) fillRecovery(c *gin.Context, p *person, r *recovered, page *web.RecoveryPage) error {
	ctx := c.Request.Context()
	page.Format = s.format(c, r.project)
	page.ID, page.Name, page.Project = strconv.FormatInt(r.date.ID, 10), r.date.Name, r.project.Name
	page.Date = r.date.DueAt(page.Format.Zone)
	if r.date.DamagesCentsPerDay != nil {
		page.PerDay = float64(*r.date.DamagesCentsPerDay) / 100
	}
	d, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return err
	}
	v := recoveryView{words: &moveWords{names: newNamer(d), format: page.Format}, r: r, floats: newFloatDays(ctx, s.db)}
	if v.dates, err = models.GCDateNames(ctx, s.db); err != nil {
		return err
	}
	if err := s.fillOutlook(c, &v, page); err != nil {
		return err
	}
	if err := v.fill(page); err != nil {
		return err
	}
	scenarios, err := models.Scenarios(ctx, s.db, r.project.ID, scenariosShown)
	if err != nil {
		return err
	}
	for i := range scenarios {
		page.Scenarios = append(page.Scenarios, v.words.scenarioLine(&scenarios[i]))
	}
	settings, err := models.RecoverySettingsOf(ctx, s.db)
	if err != nil {
		return err
	}
	page.Prices, page.MayPrice = priceFacts(settings.Planner(), page.Format), p.role == web.RoleOperations
	return nil
}

// scenariosShown is how many scenarios of the project the page lists.
const scenariosShown = 12

// fillOutlook fills in the date's forecast in the latest plan and how far the search for moves is.
func (s *Server) fillOutlook(c *gin.Context, v *recoveryView, page *web.RecoveryPage) error {
	r := v.r
	if r.plan == nil {
		return nil
	}
	ctx := c.Request.Context()
	page.DataDate = r.plan.DataDate
	rows, err := models.PlanDates(ctx, s.db, r.plan.ID, []int64{r.project.ID})
	if err != nil {
		return err
	}
	if i := slices.IndexFunc(rows, func(row models.DateRow) bool { return row.GCDateID == r.date.ID }); i >= 0 {
		page.Forecast = rows[i].ForecastAt
		if page.FloatDays, err = v.floats.between(r.project, rows[i].ForecastAt, rows[i].DueAt); err != nil {
			return err
		}
	}
	if r.run == nil {
		return nil
	}
	page.Search = web.Search{
		State: web.SearchState(r.run.Status), Done: r.run.Done, Total: r.run.Total, Failure: r.run.Error, Old: r.run.PlanID != r.plan.ID,
	}
	if r.run.Abandoned(s.db.Now()) {
		page.Search.State, page.Search.Failure = web.SearchFailed, "the process that looked for moves ended"
	}
	if page.Search.Old {
		old, err := models.PlanByID(ctx, s.db, r.run.PlanID)
		if err != nil {
			return err
		}
		page.Search.At = old.DataDate
	}
	return nil
}

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

// askRecovery begins a search.
func (s *Server) askRecovery(c *gin.Context, p *person) error {
	r, err := s.readRecovery(c, p)
	if err != nil {
		return err
	}
	if r.plan == nil {
		return badRequest("Nothing has been planned yet. Plan first, then look for moves.")
	}
	_, err = recovering.Ask(c.Request.Context(), s.db, s.recovery, r.plan.ID, r.date.ID, p.actor())
	if errors.Is(err, models.ErrDuplicate) {
		s.say(c, "Moves for this date are looked for already.")
	} else if err != nil {
		return err
	}
	c.Redirect(http.StatusSeeOther, "/dates/"+c.Param("id")+"/recovery")
	return nil
}

// cancelRecovery stops a search.
func (s *Server) cancelRecovery(c *gin.Context, p *person) error {
	r, err := s.readRecovery(c, p)
	if err != nil {
		return err
	}
	if r.run != nil {
		if err := recovering.Cancel(c.Request.Context(), s.db, r.run.ID); err != nil {
			return err
		}
	}
	c.Redirect(http.StatusSeeOther, "/dates/"+c.Param("id")+"/recovery")
	return nil
}

// tryMoves keeps the chosen moves as a draft and goes on to what they do.
func (s *Server) tryMoves(c *gin.Context, p *person) error {
	r, err := s.readRecovery(c, p)
	if err != nil {
		return err
	}
	if r.found == nil {
		return badRequest("There are no moves to choose from. Look for them first.")
	}
	trial, fault := chosenMoves(c, r.found)
	if fault != "" {
		page := web.RecoveryPage{Chrome: s.chrome(c), Faults: web.Faults{{Field: "move", Message: fault}}}
		if err := s.fillRecovery(c, p, &r, &page); err != nil {
			return err
		}
		for i := range page.Moves {
			page.Moves[i].Chosen = slices.Contains(c.PostFormArray("move"), page.Moves[i].Value)
		}
		s.render(c, http.StatusUnprocessableEntity, page)
		return nil
	}
	draft := &models.Scenario{
		ProjectID: r.project.ID, GCDateID: &r.date.ID, Name: scenarioName(r.date.Name, s.db.Now(), s.format(c, r.project)), Moves: trial.Moves,
	}
	id := pattern.GCDateID(r.project.Code, r.date.Code)
	if i := slices.IndexFunc(trial.Dates, func(d recovery.DateEffect) bool { return d.ID == id }); i >= 0 {
		draft.ForecastBefore, draft.ForecastAfter, draft.CostCents = trial.Dates[i].Before, trial.Dates[i].After, models.Cents(trial.Cost)
	}
	ctx := c.Request.Context()
	err = s.db.Write(ctx, func(tx *models.Tx) error { return models.CreateScenario(ctx, tx, draft, p.actor()) })
	if err != nil {
		return err
	}
	c.Redirect(http.StatusSeeOther, "/scenarios/"+strconv.FormatInt(draft.ID, 10))
	return nil
}

func scenarioName(date string, now time.Time, f web.Format) string {
	return "Win days for " + date + ", " + f.Day(now)
}

// chosenMoves are the set or the ticked moves of the form. A trial that was made with exactly these moves comes with its
// dates; fault says what is wrong with the choice.
func chosenMoves(c *gin.Context, found *recovery.Result) (trial recovery.Trial, fault string) {
	if number, isSet := strings.CutPrefix(c.PostForm("do"), "set-"); isSet {
		i, err := strconv.Atoi(number)
		if err != nil || i < 0 || i >= len(found.Sets) {
			return trial, "There is no such set. Choose again."
		}
		return found.Sets[i], ""
	}
	list := tickable(found)
	levers := map[string]bool{}
	var picked []recovery.Trial
	for _, text := range c.PostFormArray("move") {
		i, err := strconv.Atoi(text)
		if err != nil || i < 0 || i >= len(list) {
			return trial, "There is no such move. Choose again."
		}
		lever := list[i].Moves[0].Lever()
		if levers[lever] {
			return trial, "Two of the ticked moves are the same one, done less and done more. Tick one of them."
		}
		levers[lever] = true
		picked = append(picked, list[i])
		trial.Moves = append(trial.Moves, list[i].Moves[0])
	}
	switch len(picked) {
	case 0:
		return trial, "Tick at least one move."
	case 1:
		return picked[0], ""
	}
	return trial, ""
}
