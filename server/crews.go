package server

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
	"jambwright/web"
)

// laneLength is how many days the crews page shows: the look-ahead of three weeks.
const laneLength = 21

// crews shows the operations manager who is where for three weeks.
func (s *Server) crews(c *gin.Context, p *person) error {
	page := web.CrewsPage{Chrome: s.chrome(c), Open: c.Query("open"), Chosen: c.Query("crew")}
	if err := s.fillCrews(c, p, &page); err != nil {
		return err
	}
	s.render(c, http.StatusOK, page)
	return nil
}

func (s *Server) fillCrews(c *gin.Context, p *person, page *web.CrewsPage) error {
	ctx := c.Request.Context()
	zone := page.Format.In(s.db.Now()).Location()
	from, given, err := queryDate(c, "from")
	if err != nil {
		return err
	}
	if !given {
		from = weekBegin(problem.DateOf(s.db.Now().In(zone)))
	}
	page.From, page.Previous, page.Next = from, addDays(from, -7), addDays(from, 7)
	begin, _ := daySpan(from, zone)
	_, end := daySpan(addDays(from, laneLength-1), zone)
	hours, err := readHours(ctx, s.db, begin, end)
	if err != nil {
		return err
	}
	plan, err := models.LatestPlan(ctx, s.db)
	if isNotFound(err) {
		s.emptyLanes(page, hours, from, zone)
		return nil
	}
	if err != nil {
		return err
	}
	page.DataDate = plan.DataDate
	if page.InForce, err = scenariosInForce(ctx, s.db, p.projects, page.Format); err != nil {
		return err
	}
	if page.Draft, err = s.draft(c, plan); err != nil {
		return err
	}
	work, err := models.CrewWork(ctx, s.db, models.WorkQuery{PlanID: &plan.ID, From: begin, To: end})
	if err != nil {
		return err
	}
	d, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return err
	}
	between, err := s.lostTime(c)
	if err != nil {
		return err
	}
	settings, err := models.Settings(ctx, s.db)
	if err != nil {
		return err
	}
	tasks := laneTasks(work, d, settings.TakeoffRules.V.WithDefaults())
	for i := range hours.crews {
		crew := &hours.crews[i]
		page.Lanes = append(page.Lanes, crewLane(crew, hours, tasks[crew.ID], laneSpan{from, plan.DataDate, zone}, between))
	}
	s.days(page, hours, from, zone)
	return nil
}

// weekBegin is the first day of the week of a date.
func weekBegin(d problem.Date) problem.Date {
	weekday := time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC).Weekday()
	return addDays(d, -((int(weekday) + 6) % 7))
}

func (s *Server) emptyLanes(page *web.CrewsPage, hours *crewHours, from problem.Date, zone *time.Location) {
	none := func(laneTask, laneTask) (web.PieceKind, int) { return web.PieceIdle, 0 }
	for i := range hours.crews {
		page.Lanes = append(page.Lanes, crewLane(&hours.crews[i], hours, nil, laneSpan{from, s.db.Now(), zone}, none))
	}
	s.days(page, hours, from, zone)
}

// days are the columns of the page; a day on which nobody works says so.
func (s *Server) days(page *web.CrewsPage, hours *crewHours, from problem.Date, zone *time.Location) {
	for n := range laneLength {
		day := web.Day{Date: addDays(from, n)}
		if begin, end := daySpan(day.Date, zone); !hours.worked(begin, end) {
			day.Off = "no work"
			if w := begin.Weekday(); w == time.Saturday || w == time.Sunday {
				day.Off = "weekend"
			}
		}
		page.Days = append(page.Days, day)
	}
}

// draft tells how the latest plan differs from those in force.
func (s *Server) draft(c *gin.Context, plan *models.Plan) (web.Draft, error) {
	ctx := c.Request.Context()
	d := web.Draft{PlanID: strconv.FormatInt(plan.ID, 10), Issued: true, Changes: plan.Changes}
	issues, err := models.PlansInForce(ctx, s.db)
	if err != nil {
		return d, err
	}
	projects, err := models.Projects(ctx, s.db)
	if err != nil {
		return d, err
	}
	for _, project := range projects {
		issue, issued := issues[project.ID]
		d.Issued = d.Issued && issued && issue.PlanID == plan.ID
		if issued && issue.IssuedAt.After(d.IssuedAt) {
			d.IssuedAt = issue.IssuedAt
			d.IssuedBy = "the nightly re-plan"
			if issue.UserID != nil {
				user, err := models.UserByID(ctx, s.db, *issue.UserID)
				if err != nil {
					return d, err
				}
				d.IssuedBy = user.Name
			}
		}
	}
	return d, nil
}

// lostTime reads what crews lose between tasks: travel between sites, set-up on entering another area.
func (s *Server) lostTime(c *gin.Context) (lost, error) {
	travel, err := models.TravelTimes(c.Request.Context(), s.db)
	if err != nil {
		return nil, err
	}
	setups, err := models.SetupTimes(c.Request.Context(), s.db)
	if err != nil {
		return nil, err
	}
	return func(from, to laneTask) (web.PieceKind, int) {
		switch {
		case from.siteID != to.siteID:
			return web.PieceTravel, travel[[2]int64{from.siteID, to.siteID}]
		case from.areaID != to.areaID:
			return web.PieceSetup, setups[to.areaID]
		}
		return web.PieceIdle, 0
	}, nil
}

// laneTasks groups work by crew.
func laneTasks(work []models.Work, d *models.Directory, rules takeoff.Rules) map[int64][]laneTask {
	names := newNamer(d)
	tasks := map[int64][]laneTask{}
	for i := range work {
		w := &work[i]
		if w.Plan == nil || w.Plan.CrewID == nil {
			continue
		}
		t := laneTask{
			mark: web.LaneMark{
				TaskKey: w.Task.Key, Kind: kindOf(w.Task.Kind), State: stateWord(w.State), Start: startOf(w.Plan), Pinned: w.Pin != nil,
			},
			siteID: w.Task.Project.SiteID, site: d.Sites[w.Task.Project.SiteID],
		}
		switch {
		case w.Task.Opening != nil:
			t.mark.Mark, t.mark.OpeningID = w.Task.Opening.Mark, strconv.FormatInt(w.Task.Opening.ID, 10)
			t.areaID = w.Task.Opening.AreaID
			if taken, err := takeoff.Of(w.Task.Opening.MadeTo(rules), rules); err == nil {
				t.mark.Gear = needsGear(&w.Task, taken)
			}
		case w.Task.AreaID != nil:
			t.mark.Mark, t.areaID = names.know(w.Task.Key).names.Tasks[w.Task.Key], *w.Task.AreaID
		}
		t.area = d.ByID[t.areaID]
		for _, segment := range w.Plan.Segments {
			t.segments = append(t.segments, calendar.Interval{
				Start: calendar.FromTime(segment.Start()), Finish: calendar.FromTime(segment.Finish()),
			})
		}
		if len(t.segments) > 0 {
			tasks[*w.Plan.CrewID] = append(tasks[*w.Plan.CrewID], t)
		}
	}
	return tasks
}

// shortestIdle is the shortest gap that a lane shows: less is nobody's to fill.
const shortestIdle = 10

// laneSpan says which days a lane shows and from when time is still to come.
type laneSpan struct {
	from     problem.Date
	dataDate time.Time
	zone     *time.Location
}

func crewLane(crew *models.Crew, hours *crewHours, tasks []laneTask, span laneSpan, between lost) web.CrewLane {
	days := make([]web.Day, laneLength)
	for n := range days {
		begin, end := daySpan(addDays(span.from, n), span.zone)
		days[n] = web.Day{Date: addDays(span.from, n), Off: hours.off(crew, begin, end)}
	}
	begin, _ := daySpan(span.from, span.zone)
	_, end := daySpan(addDays(span.from, laneLength-1), span.zone)
	if begin.Before(span.dataDate) {
		begin = span.dataDate // what lies before the data date is not idle, it is past
	}
	lane := web.CrewLane{Crew: crewRef(crew), Days: laneDays(days, span.zone, hours.of(crew.ID, begin, end), tasks, between)}
	for i := range lane.Days {
		day := &lane.Days[i]
		day.Pieces = slices.DeleteFunc(day.Pieces, func(p web.LanePiece) bool {
			return p.Kind == web.PieceIdle && p.Minutes < shortestIdle
		})
		for _, piece := range day.Pieces {
			if piece.Kind == web.PieceIdle {
				lane.IdleMinutes += piece.Minutes
			}
			if piece.Kind == web.PieceWork && lane.Site == "" {
				lane.Site = piece.Site
			}
			if piece.Trouble != "" {
				lane.Trouble = append(lane.Trouble, fmt.Sprintf("%s on %s: %s.", crew.Name, day.Date, piece.Trouble))
			}
		}
	}
	return lane
}
