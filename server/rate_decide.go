package server

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
	"jambwright/server/planning"
	"jambwright/web"
)

// decideForm is what the buttons beside a learned rate send.
type decideForm struct {
	Kind  takeoff.Kind `form:"kind"`
	Crew  string       `form:"crew"`
	What  string       `form:"what"`  // accept, keep
	Seen  int64        `form:"seen"`  // newest decision that the page showed
	Count int          `form:"count"` // finished tasks that the page had learned from
	Do    string       `form:"do"`    // "": show what it does; save: do it
}

// decideRate shows what accepting or keeping a rate does, or does it. Keeping what is planned already moves nothing and is done
// at once.
func (s *Server) decideRate(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	var form decideForm
	if err := c.ShouldBind(&form); err != nil {
		return badRequest("The form could not be read. Open the rates page again.")
	}
	book, err := models.ReadRateBook(ctx, s.db)
	if err != nil {
		return err
	}
	d, e, err := form.decision(book)
	if err != nil {
		return err
	}
	words := gerund(d.Kind)
	if d.CrewID != nil {
		words += " by crew " + crewName(book, e.Crew)
	}
	revision := planning.Revision{
		Cause: "hours of " + words + map[bool]string{true: " as learned", false: " as in the company table"}[d.InForce],
		Store: func(ctx context.Context, tx *models.Tx) error {
			decision := d // stored twice: tried, then done
			return models.Decide(ctx, tx, &decision, form.Seen, p.actor())
		},
	}
	moves := d.InForce || inForce(book, &d)
	if form.Do == "save" || !moves {
		if moves {
			_, err = planning.Revise(ctx, s.db, revision, p.actor())
		} else {
			err = s.db.Write(ctx, func(tx *models.Tx) error { return revision.Store(ctx, tx) })
		}
		if err != nil {
			return err
		}
		s.say(c, saidOf(&d, words, moves))
		c.Redirect(http.StatusSeeOther, "/rates#"+form.anchor())
		return nil
	}
	page := web.RevisionPage{
		Chrome: s.chrome(c), Action: "/rates/decide", Back: "/rates#" + form.anchor(), Accept: "Accept",
		Title: "What accepting this rate does",
		Lead:  []string{fmt.Sprintf("Plans reckon with %s for %s, learned from %d finished tasks. The company table stays as it is.", web.Against(d.Factor), words, d.Observations)},
	}
	if !d.InForce {
		page.Title, page.Accept = "What taking this rate back does", "Take it back"
		page.Lead = []string{fmt.Sprintf("Plans reckon with the company table for %s again.", words)}
	}
	page.Fields = fields(url.Values{
		"kind": {string(form.Kind)}, "crew": {form.Crew}, "what": {form.What}, "seen": {strconv.FormatInt(form.Seen, 10)}, "count": {strconv.Itoa(form.Count)},
	})
	return s.showRevision(c, &page, revision)
}

func saidOf(d *models.RateDecision, words string, moves bool) string {
	switch {
	case d.InForce:
		return "Accepted: " + words + " is planned as learned. The plan is a draft until you issue it."
	case moves:
		return "Taken back: " + words + " is planned by the company table. The plan is a draft until you issue it."
	}
	return "Kept: " + words + " stays as it was planned."
}

func (f *decideForm) anchor() string {
	if f.Crew == "" {
		return string(f.Kind)
	}
	return string(f.Kind) + "-" + f.Crew
}

// inForce reports whether a learned factor of the decision's kind and crew is in force.
func inForce(book *models.RateBook, d *models.RateDecision) bool {
	return slices.ContainsFunc(book.Decisions, func(old models.RateDecision) bool {
		return old.Kind == d.Kind && rowRef(old.CrewID) == rowRef(d.CrewID) && old.InForce
	})
}

// decision is what the form asks for, by what is known now. It is refused when more was learned since the page was opened: the
// person would accept a number that he did not see.
func (f *decideForm) decision(book *models.RateBook) (d models.RateDecision, e *pattern.Experience, err error) {
	if !slices.Contains(takeoff.Kinds(), f.Kind) || f.What != "accept" && f.What != "keep" {
		return d, nil, badRequest("The form does not say which rate to accept or keep. Open the rates page again.")
	}
	crew := ""
	for _, c := range book.Crews() {
		if strconv.FormatInt(c.ID, 10) == f.Crew {
			crew, d.CrewID = c.Code, &c.ID
		}
	}
	if f.Crew != "" && crew == "" {
		return d, nil, badRequest("There is no such crew.")
	}
	i := slices.IndexFunc(book.Experience, func(e pattern.Experience) bool { return e.Kind == f.Kind && e.Crew == crew })
	if i < 0 {
		return d, nil, badRequest("Nothing was learned of this yet.")
	}
	e = &book.Experience[i]
	if e.Learned.Count != f.Count {
		return d, nil, &models.ErrStale{What: "the learned rate of " + gerund(f.Kind), Read: int64(f.Count), Version: int64(e.Learned.Count)}
	}
	d.Kind, d.Spread, d.Observations = f.Kind, e.Learned.Spread, e.Learned.Count
	d.InForce, d.Factor = f.What == "accept", 1
	if d.InForce {
		d.Factor = e.Learned.Factor
	}
	return d, e, nil
}

func crewName(book *models.RateBook, code string) string {
	for _, c := range book.Crews() {
		if c.Code == code {
			return c.Name
		}
	}
	return code
}

// fields are the values of a form as hidden fields, sorted by name.
func fields(values url.Values) (list []web.Choice) {
	for name, texts := range values {
		for _, text := range texts {
			list = append(list, web.Choice{Value: name, Text: text})
		}
	}
	slices.SortStableFunc(list, func(a, b web.Choice) int {
		if a.Value < b.Value {
			return -1
		}
		return map[bool]int{true: 0, false: 1}[a.Value == b.Value]
	})
	return list
}

// showRevision plans with a revision and shows what it does.
func (s *Server) showRevision(c *gin.Context, page *web.RevisionPage, r planning.Revision) error {
	ctx := c.Request.Context()
	tried, err := planning.TryRevision(ctx, s.db, r)
	if errors.Is(err, planning.ErrNothingToPlan) {
		s.render(c, http.StatusOK, *page)
		return nil
	}
	if err != nil {
		return err
	}
	d, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return err
	}
	projects, err := models.Projects(ctx, s.db)
	if err != nil {
		return err
	}
	effects := effectsOf{names: newNamer(d), tried: tried}
	page.Planned, page.Cost = tried.Before.Plan != nil, effects.cost()
	for i := range tried.Changes {
		if change := &tried.Changes[i]; change.Task != "" {
			page.Moved = append(page.Moved, effects.moved(change))
		}
	}
	if page.Dates, err = effects.dates(projects, newFloatDays(ctx, s.db)); err != nil {
		return err
	}
	s.render(c, http.StatusOK, *page)
	return nil
}
