package server

import (
	"errors"
	"net/http"
	"slices"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/plan"
	"jambwright/web"
)

// sooner says of each unfinished task of an opening why the plan in force does not start it sooner.
func (s *Server) sooner(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	id, err := strconv.ParseInt(c.Param("id"), 10, 64)
	if err != nil {
		return notFound("")
	}
	detail, err := models.OpeningPage(ctx, s.db, id, nil)
	if err != nil {
		return err
	}
	if !p.mayRead(detail.Project.ID) {
		return notAllowed("This opening belongs to a project that is not yours.")
	}
	page := web.SoonerPage{
		Chrome: s.chrome(c), ID: strconv.FormatInt(id, 10), Mark: detail.Opening.Mark,
		Project: detail.Project.Name, ProjectID: strconv.FormatInt(detail.Project.ID, 10),
	}
	page.Format = s.format(c, &detail.Project)
	issue, err := models.IssuedPlan(ctx, s.db, detail.Project.ID)
	if errors.Is(err, models.ErrNotFound) {
		s.render(c, http.StatusOK, page)
		return nil
	}
	if err != nil {
		return err
	}
	page.MadeAt = issue.Plan.MadeAt
	d, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return err
	}
	document, made, err := models.PlanDocuments(ctx, s.db, issue.PlanID)
	if err != nil {
		return err
	}
	asked, err := plan.NewSooner(document, made)
	if err != nil {
		return err
	}
	page.Tasks = soonerTasks(page.Format, newNamer(d), asked, detail)
	s.render(c, http.StatusOK, page)
	return nil
}

// soonerTasks answers for each unfinished task of an opening's path.
func soonerTasks(f web.Format, names *namer, asked *plan.Sooner, d *models.OpeningDetail) []web.SoonerTask {
	var tasks []web.SoonerTask
	for i := range d.Work {
		w := &d.Work[i]
		kind := w.Task.Kind
		if w.State == models.StateDone || kind == pattern.Lead || kind == pattern.Handovers {
			continue
		}
		task := web.SoonerTask{Key: w.Task.Key, Kind: kindOf(kind)}
		if w.Task.OpeningID == nil {
			task.Shared = names.subject(w.Task.Key)
		}
		ladder, err := asked.Ladder(w.Task.Key)
		if err != nil {
			task.Lines = []string{whyNoLadder(err, w)}
		} else {
			task.Lines = f.Sooner(ladder, names.knowLadder(ladder).names)
		}
		tasks = append(tasks, task)
	}
	slices.SortStableFunc(tasks, func(a, b web.SoonerTask) int {
		return slices.Index(web.TaskKinds(), a.Kind) - slices.Index(web.TaskKinds(), b.Kind)
	})
	return tasks
}

// whyNoLadder says why there is no answer.
func whyNoLadder(err error, w *models.Work) string {
	switch {
	case errors.Is(err, plan.ErrFinished):
		return "It was finished before this plan was made."
	case errors.Is(err, plan.ErrOutdated):
		return "The plan is older than what is known of it. The next plan answers."
	case w.Unplanned != "":
		return "It is not planned: " + w.Unplanned + "."
	}
	return "It is not in this plan. The next plan takes it in."
}

// knowLadder adds the names of all that a ladder refers to.
func (n *namer) knowLadder(l *plan.Ladder) *namer {
	n.know(l.Floor.Ref)
	for _, step := range l.Steps {
		for _, hold := range step.Causes {
			n.know(hold.Ref)
		}
	}
	return n
}
