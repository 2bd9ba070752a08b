package server

import (
	"cmp"
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
	"jambwright/server/reporting"
	"jambwright/web"
)

// reportForm shows the form of one report, or the choice of kinds.
func (s *Server) reportForm(c *gin.Context, p *person) error {
	task, err := s.reportTask(c, p, c.Query("task"))
	if err != nil {
		return err
	}
	f := s.format(c, &task.Project)
	now := f.In(s.db.Now())
	page := web.ReportPage{Form: web.ReportForm{
		ReportID: newReportID(), Task: task.Key, Kind: web.ReportKind(c.Query("kind")),
		Date: now.Format(time.DateOnly), Time: now.Format("15:04"), Return: localAddress(c.Query("return"), ""),
	}}
	return s.showReport(c, http.StatusOK, task, page)
}

// reportTask finds a task that the person may report on.
func (s *Server) reportTask(c *gin.Context, p *person, key string) (*models.Task, error) {
	task, err := models.TaskByKey(c.Request.Context(), s.db, key)
	if err != nil {
		return nil, err
	}
	if !p.mayRead(task.ProjectID) {
		return nil, notAllowed("This task belongs to a project that is not yours.")
	}
	if task.DroppedAt != nil {
		return nil, badRequest("This task is no longer part of the work: a newer sheet has taken its opening out.")
	}
	return task, nil
}

// ownWork refuses a foreman's report of progress on another crew's work. What anybody may see and say, a hold, damage or a
// size, is taken from every foreman.
func (s *Server) ownWork(c *gin.Context, p *person, task *models.Task, kind web.ReportKind) error {
	progress := kind == web.ReportStart || kind == web.ReportDone || kind == web.ReportPartDone || kind == web.ReportHours
	if p.role != web.RoleForeman || p.user.CrewID == nil || !progress {
		return nil
	}
	crew, err := models.CrewInForce(c.Request.Context(), s.db, task)
	if err != nil {
		return err
	}
	if crew != nil && *crew != *p.user.CrewID {
		return notAllowed("This is another crew's work in the plan in force. Ask the operations manager to move it to yours.")
	}
	return nil
}

// newReportID names a report where no script runs; the page's script makes one on the device.
func newReportID() string {
	var b [16]byte
	_, _ = rand.Read(b[:]) // never fails since Go 1.24
	return hex.EncodeToString(b[:])
}

func (s *Server) showReport(c *gin.Context, status int, task *models.Task, page web.ReportPage) error {
	page.Chrome = s.chrome(c)
	page.Format = s.format(c, &task.Project)
	d, err := models.ReadDirectory(c.Request.Context(), s.db)
	if err != nil {
		return err
	}
	page.Task = reportedTask(task, d, s.db.Now())
	if o := task.Opening; o != nil {
		for _, item := range pattern.NeededItems(&pattern.Opening{Takeoff: o.Takeoff()}) {
			page.Items = append(page.Items, web.Choice{Value: string(item), Text: itemWords(item)})
		}
	}
	page.Parties = holdParties()
	if page.Form.Kind == web.ReportMeasured && task.Opening != nil {
		if page.Allowed, err = s.allowedOff(c, task); err != nil {
			return err
		}
	}
	s.render(c, status, page)
	return nil
}

// reportedTask is the task of a report as its pages show it.
func reportedTask(task *models.Task, d *models.Directory, now time.Time) web.ReportTask {
	t := web.ReportTask{
		Key: task.Key, Kind: web.TaskKind(task.Kind), Mark: newNamer(d).know(task.Key).names.Tasks[task.Key], State: taskState(task, now),
	}
	if task.AreaID != nil {
		t.Area = d.ByID[*task.AreaID]
	}
	if task.Crew != nil {
		t.Crew = task.Crew.Name
	}
	if o := task.Opening; o != nil {
		t.Mark, t.Room, t.OpeningID = o.Mark, o.Room, strconv.FormatInt(o.ID, 10)
		t.Area = d.ByID[o.AreaID]
		work := models.Work{Task: *task}
		drawing := elevationOf(o.Mark, o.Takeoff(), o.Handing, progressBefore(&work), holdWord(task))
		t.Elevation = &drawing
	}
	return t
}

// allowedOff is how far the opening of a task may be off, and who may be asked to put it right.
func (s *Server) allowedOff(c *gin.Context, task *models.Task) (*web.AllowedOff, error) {
	ctx, o := c.Request.Context(), task.Opening
	set, err := models.TolerancesOf(ctx, s.db, &task.Project)
	if err != nil {
		return nil, err
	}
	allowed := set.For(o.OpeningType)
	off := &web.AllowedOff{
		Width: o.Width, Height: o.Height, Size: allowed.Size, Plumb: allowed.Plumb, Level: allowed.Level, Square: allowed.Square, Others: holdParties(),
	}
	off.Proposed, err = models.HandedOverBy(ctx, s.db, task.ProjectID, o.AreaID, pattern.WallsBoarded)
	return off, err
}

// holdParties are who may owe the answer to a hold.
func holdParties() []web.Choice {
	return []web.Choice{
		{Value: "general contractor", Text: "General contractor"},
		{Value: "other trade", Text: "Another trade"},
		{Value: "architect", Text: "Architect"},
		{Value: "supplier", Text: "Supplier"},
		{Value: "our office", Text: "Our office"},
	}
}

// taskState is where a task stands by what was reported of it; "" before anything was, since only a plan tells what is clear.
func taskState(t *models.Task, now time.Time) web.TaskState {
	switch {
	case t.FinishedAt != nil:
		return web.StateDone
	case t.Held && (t.HeldUntil == nil || t.HeldUntil.After(now)):
		return web.StateHeld
	case t.StartedAt != nil:
		return web.StateUnderWay
	}
	return ""
}

// report takes a report and goes back to where the person came from.
func (s *Server) report(c *gin.Context, p *person) error {
	page, task, report, err := s.sentReport(c, p)
	if err != nil {
		return err
	}
	if len(page.Faults) == 0 {
		taken, err := reporting.Take(c.Request.Context(), s.db, report)
		if page.Faults, err = reportFaults(err); err != nil {
			return err
		}
		if len(page.Faults) == 0 {
			s.sayTaken(c, task, &taken, page.Form.Kind)
		}
	}
	if len(page.Faults) > 0 {
		return s.showReport(c, http.StatusUnprocessableEntity, task, page)
	}
	c.Redirect(http.StatusSeeOther, localAddress(page.Form.Return, "/tomorrow"))
	return nil
}

// sentReport reads a sent form; what cannot be read is a fault of the page.
func (s *Server) sentReport(c *gin.Context, p *person) (page web.ReportPage, task *models.Task, report reporting.Report, err error) {
	if err := c.ShouldBind(&page.Form); err != nil {
		return page, nil, report, bindFault(err)
	}
	if task, err = s.reportTask(c, p, page.Form.Task); err != nil {
		return page, nil, report, err
	}
	if err := s.ownWork(c, p, task, page.Form.Kind); err != nil {
		return page, task, report, err
	}
	report, page.Faults = readReport(page.Form, task, s.format(c, &task.Project))
	report.UserID, report.Reporter = &p.user.ID, p.user.Name
	if p.user.CrewID != nil {
		report.CrewID = p.user.CrewID
	}
	if err := s.bookLabour(c.Request.Context(), &report, task); err != nil {
		return page, task, report, err
	}
	pictures, faults, err := readPhotos(c)
	report.Pictures, page.Faults = pictures, append(page.Faults, faults...)
	return page, task, report, err
}

// reportFaults are the faults for which a report was refused; any other error is returned.
func reportFaults(err error) (faults web.Faults, _ error) {
	var refused reporting.Faults
	if !errors.As(err, &refused) {
		return nil, err
	}
	for _, f := range refused {
		faults = append(faults, web.FieldFault{Field: f.Field, Message: f.Message})
	}
	return faults, nil
}

// sayTaken tells on the next page what became of a report.
func (s *Server) sayTaken(c *gin.Context, task *models.Task, taken *reporting.Taken, kind web.ReportKind) {
	switch {
	case taken.Already:
		s.say(c, "This report was here already; it counts once.")
	case taken.Beyond != "":
		s.say(c, fmt.Sprintf("Reported and held: %s, %s. %s is to put it right; measured again within what is allowed, the work goes on.",
			describeTask(task), taken.Beyond, strings.ToUpper(taken.Party[:1])+taken.Party[1:]))
	default:
		s.say(c, fmt.Sprintf("Reported: %s, %s. The next re-plan takes it in.", describeTask(task), strings.ToLower(kind.Name())))
	}
}

// describeTask is a task in a few words.
func describeTask(t *models.Task) string {
	if t.Opening != nil {
		return string(t.Kind) + " " + t.Opening.Mark
	}
	return string(t.Kind)
}

// readReport turns what was typed into a report; every field that cannot be read is a fault.
func readReport(form web.ReportForm, task *models.Task, f web.Format) (r reporting.Report, faults web.Faults) {
	add := func(field, message string) { faults = append(faults, web.FieldFault{Field: field, Message: message}) }
	r = reporting.Report{
		ClientID: form.ReportID, TaskKey: task.Key, Kind: models.ReportKind(form.Kind), Cause: form.Cause, Party: form.Party,
		Item: pattern.Item(form.Item), Note: form.Note,
	}
	at, err := time.ParseInLocation("2006-01-02 15:04", form.Date+" "+form.Time, f.In(time.Time{}).Location())
	if err != nil {
		add("date", "Write the date and the time, such as 2026-11-25 and 14:30.")
	}
	r.At = at
	r.Labour = parseHours(form.Hours, "hours", add)
	r.Remaining = parseHours(form.Remaining, "remaining", add)
	if form.Expected != "" {
		until, err := time.ParseInLocation(time.DateOnly, form.Expected, f.In(time.Time{}).Location())
		if err != nil {
			add("expected", "Write the date as 2026-11-25, or leave it empty when nobody knows.")
		}
		r.Until = &until
	}
	r.Width = readLength(form.Width, "width", f, add)
	r.Height = readLength(form.Height, "height", f, add)
	r.Plumb = readLength(form.Plumb, "plumb", f, add)
	r.Level = readLength(form.Level, "level", f, add)
	r.Square = readLength(form.Square, "square", f, add)
	return r, faults
}

// bookLabour turns the crew hours of a form into the labour that is kept: those of all heads of the crew that did the work, which is
// the reporter's own, else the one that began the task, else the one that the plan in force has.
func (s *Server) bookLabour(ctx context.Context, r *reporting.Report, task *models.Task) error {
	if r.Labour == nil {
		return nil
	}
	crew, err := cmp.Or(r.CrewID, task.CrewID), error(nil)
	if crew == nil {
		if crew, err = models.CrewInForce(ctx, s.db, task); err != nil {
			return err
		}
	}
	heads, err := models.Heads(ctx, s.db, crew)
	if err != nil {
		return err
	}
	minutes := *r.Labour * heads
	r.Labour = &minutes
	return nil
}

// parseHours reads hours such as 1.5, 1,5, 1:30 or "1 h 30" as minutes; nothing typed is nil.
func parseHours(text, field string, add func(field, message string)) *int {
	text = strings.TrimSpace(strings.ReplaceAll(strings.ToLower(text), ",", "."))
	if text == "" {
		return nil
	}
	hours, rest, colon := strings.Cut(text, ":")
	if !colon {
		hours, rest, _ = strings.Cut(strings.TrimSuffix(text, "min"), "h")
	}
	value, err := strconv.ParseFloat(strings.TrimSpace(hours), 64)
	minutes := 0
	if rest = strings.TrimSpace(rest); err == nil && rest != "" {
		minutes, err = strconv.Atoi(rest)
	}
	if err != nil || value < 0 || value > 1000 || minutes < 0 || minutes > 59 {
		add(field, "Write hours such as 1.5 or 1:30.")
		return nil
	}
	total := int(value*60+0.5) + minutes
	return &total
}

func readLength(text, field string, f web.Format, add func(field, message string)) *length.Length {
	if strings.TrimSpace(text) == "" {
		return nil
	}
	bare := length.Inch
	if f.Units == web.Metric {
		bare = length.Millimetre
	}
	l, err := length.Parse(text, bare)
	if err != nil {
		add(field, err.Error())
		return nil
	}
	return &l
}

// kindOf is a task's kind as pages name it.
func kindOf(k takeoff.Kind) web.TaskKind {
	if k == pattern.Lead {
		return "lead time of"
	}
	return web.TaskKind(k)
}
