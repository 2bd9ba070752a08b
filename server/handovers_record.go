package server

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/server/planning"
	"jambwright/server/reporting"
	"jambwright/web"
)

// tryHandover reads what a person records of a handover, keeps it and goes on to what it would move.
func (s *Server) tryHandover(c *gin.Context, p *person) error {
	page, err := s.handoverPage(c, p, c.Param("id"))
	if err != nil {
		return err
	}
	page.Form = web.HandoverForm{} // a box that is not ticked sends nothing
	if err := c.ShouldBind(&page.Form); err != nil {
		return bindFault(err)
	}
	report, err := s.readHandoverReport(c, page)
	if err != nil {
		return err
	}
	if len(page.Faults) > 0 {
		s.render(c, http.StatusUnprocessableEntity, *page)
		return nil
	}
	token, err := s.keepTried(c.Request.Context(), p, models.KeptHandover, report, nil)
	if err != nil {
		return err
	}
	c.Redirect(http.StatusSeeOther, "/handovers/try/"+token)
	return nil
}

// readHandoverReport turns the form of a handover's page into a report; every fault goes onto the page.
func (s *Server) readHandoverReport(c *gin.Context, page *web.HandoverPage) (report reporting.HandoverReport, err error) {
	id, err := strconv.ParseInt(page.ID, 10, 64)
	if err != nil {
		return report, notFound("")
	}
	h, err := models.HandoverRow(c.Request.Context(), s.db, id)
	if err != nil {
		return report, err
	}
	report = reporting.HandoverReport{ID: id, Version: page.Form.Version, Deed: reporting.HandoverDeed(page.Form.Do), Cause: page.Form.Cause, DropForecast: page.Form.Drop}
	if h.Version != page.Form.Version {
		return report, &models.ErrStale{What: "this handover", Read: page.Form.Version, Version: h.Version, Current: h}
	}
	dated := page.Form.Date == ""
	if date, parseErr := models.ParseDate(page.Form.Date); parseErr == nil {
		report.Date, dated = &date, true
	}
	if dated {
		today := models.DateIn(s.db.Now(), page.Format.In(s.db.Now()).Location())
		for _, f := range report.Check(h, today) {
			page.Faults = append(page.Faults, web.FieldFault{Field: f.Field, Message: f.Message})
		}
	} else {
		page.Faults = append(page.Faults, web.FieldFault{Field: "date", Message: "Write the day as 2026-11-25."})
	}
	pictures, faults, err := readPhotos(c)
	report.Pictures, page.Faults = pictures, append(page.Faults, faults...)
	return report, err
}

// keptHandover reads the news behind a token.
func (s *Server) keptHandover(c *gin.Context, p *person, token string) (report reporting.HandoverReport, err error) {
	const gone = "This was recorded, left or is too old. Begin again on the page of the handover."
	_, err = s.readTried(c.Request.Context(), p, models.KeptHandover, token, gone, &report)
	return report, err
}

// handoverPreview shows what news of a handover would move.
func (s *Server) handoverPreview(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	report, err := s.keptHandover(c, p, c.Param("token"))
	if err != nil {
		return err
	}
	about, err := s.handoverPage(c, p, strconv.FormatInt(report.ID, 10))
	if err != nil {
		return err
	}
	page := web.HandoverTryPage{
		Chrome: about.Chrome, Token: c.Param("token"), ID: about.ID, Condition: about.Cell.Condition, Area: about.Area,
		News: deedWords(&report, about), Cause: report.Cause, Photos: len(report.Pictures),
	}
	if expected := about.Cell.Forecast; expected != nil && report.Deed == reporting.NewPromise && !report.DropForecast {
		page.Rules = "The plan goes on by what we expect, " + page.Format.Date(*expected) + ", and not by the promise."
	}
	report.Pictures = nil // photos move nothing
	tried, err := planning.TryNews(ctx, s.db, func(ctx context.Context, tx *models.Tx) error { return report.Record(ctx, tx, p.actor()) })
	if page.Effect, err = s.trialEffect(c, tried, err); err != nil {
		return err
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// deedWords says what is about to be recorded.
func deedWords(r *reporting.HandoverReport, page *web.HandoverPage) string {
	f, date := page.Format, plainDate(r.Date)
	switch r.Deed {
	case reporting.NewPromise:
		return "promise " + f.SlipWords(page.Cell.Promised, date)
	case reporting.NewForecast:
		if date == nil {
			return "we expect the promised day again"
		}
		return "our forecast " + f.SlipWords(page.Cell.Forecast, date)
	case reporting.CameToPass:
		text := "handed over " + f.Date(*date)
		if page.Cell.Promised != nil {
			cell := web.HandoverCell{Promised: page.Cell.Promised, Actual: date}
			text += ", " + web.LateWords(cell.Late())
		}
		return text
	}
	return "not handed over after all"
}

// trialEffect turns a trial into what pages show; err is what the trial ended in. A firm without anything to plan has no
// effect to show, which is no fault.
func (s *Server) trialEffect(c *gin.Context, tried *planning.Tried, err error) (effect web.TrialEffect, _ error) {
	ctx := c.Request.Context()
	if errors.Is(err, planning.ErrNothingToPlan) {
		effect.Unplanned = "There is nothing to plan yet, so nothing moves."
		return effect, nil
	}
	if err != nil {
		return effect, err
	}
	d, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return effect, err
	}
	projects, err := models.Projects(ctx, s.db)
	if err != nil {
		return effect, err
	}
	effects := effectsOf{names: newNamer(d).knowRemakes(&tried.Firm), tried: tried}
	if effect.Dates, err = effects.dates(projects, newFloatDays(ctx, s.db)); err != nil {
		return effect, err
	}
	openings := map[string]bool{}
	for i := range tried.Changes {
		change := &tried.Changes[i]
		key, err := pattern.TaskKey(change.Task).Parse()
		if err != nil || key.Kind == pattern.Handovers {
			continue // a GC date, or the handover itself
		}
		effect.Moved = append(effect.Moved, effects.moved(change))
		if mark := markOf(tried, change.Task); mark != "" {
			openings[key.Project+"/"+mark] = true
		}
	}
	effect.Openings = len(openings)
	slices.SortStableFunc(effect.Moved, func(a, b web.MovedTask) int { // what waits for the news itself comes first
		switch {
		case a.Turn == b.Turn:
			return 0
		case b.Turn:
			return -1
		}
		return 1
	})
	return effect, nil
}

// markOf is the opening whose work a task of a trial is; "" for what many share, such as a delivery, which moves no opening by
// itself.
func markOf(tried *planning.Tried, task string) string {
	for i := range tried.Index.Tasks {
		if e := &tried.Index.Tasks[i]; string(e.Key) == task {
			return e.Opening
		}
	}
	return ""
}

// recordHandover records kept news, or forgets them.
func (s *Server) recordHandover(c *gin.Context, p *person) error {
	ctx, token := c.Request.Context(), c.PostForm("token")
	report, err := s.keptHandover(c, p, token)
	if err != nil {
		return err
	}
	if _, err := s.handoverPage(c, p, strconv.FormatInt(report.ID, 10)); err != nil {
		return err // no longer theirs
	}
	record := c.PostForm("do") == "record"
	err = s.db.Write(ctx, func(tx *models.Tx) error {
		if record {
			if err := report.Record(ctx, tx, p.actor()); err != nil {
				return err
			}
		}
		return models.DropKept(ctx, tx, token)
	})
	if err != nil {
		return err
	}
	if record {
		s.say(c, "Recorded. The next re-plan takes it in.")
	} else {
		s.say(c, "Left as it was. Nothing was recorded.")
	}
	c.Redirect(http.StatusSeeOther, "/handovers/"+strconv.FormatInt(report.ID, 10))
	return nil
}
