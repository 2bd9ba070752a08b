package server

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"path"
	"slices"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/takeoff"
	"jambwright/server/importing"
	"jambwright/server/intake"
	"jambwright/server/planning"
	"jambwright/web"
)

// rateForm shows the form of one rate.
func (s *Server) rateForm(c *gin.Context, _ *person) error {
	page := web.RatePage{Chrome: s.chrome(c), Form: web.RateForm{Kind: c.Query("kind"), Type: c.Query("type"), Driver: c.Query("driver")}}
	row, err := s.storedRate(c.Request.Context(), &page)
	if err != nil {
		return err
	}
	page.Form.Hours, page.Form.Source = shownRate(row, page.Format), row.Source
	page.Form.Version, page.Form.Of = strconv.FormatInt(row.Version, 10), page.Form.Type
	s.render(c, http.StatusOK, page)
	return nil
}

// shownRate writes a rate in the reader's units, exactly enough that it reads back as the same shown number.
func shownRate(row *models.Rate, f web.Format) string {
	return strconv.FormatFloat(math.Round(row.Hours*driverUnit(row.Driver, f)*1e6)/1e6, 'f', -1, 64)
}

// storedRate fills in what the page says around its form and returns the row as it is; a row for all types stands in for one of
// a type that has none.
func (s *Server) storedRate(ctx context.Context, page *web.RatePage) (*models.Rate, error) {
	kind, driver := takeoff.Kind(page.Form.Kind), takeoff.Driver(page.Form.Driver)
	if !slices.Contains(takeoff.Kinds(), kind) || !slices.Contains(takeoff.Drivers(), driver) {
		return nil, notFound("There is no such rate. Open the rates page again.")
	}
	rows, _, _, err := models.RateTable(ctx, s.db)
	if err != nil {
		return nil, err
	}
	page.Unit = driverWords(driver, page.Format)
	page.Name = page.Format.Capital(gerund(kind)) + ": hours for each " + page.Unit
	page.Types = []web.Choice{{Text: "all types"}}
	for _, t := range takeoff.Types() {
		page.Types = append(page.Types, web.Choice{Value: string(t), Text: typeWords(t)})
	}
	book, err := models.ReadRateBook(ctx, s.db)
	if err != nil {
		return nil, err
	}
	for i := range book.Decisions {
		if d := &book.Decisions[i]; d.InForce && d.Kind == kind {
			page.Ends = append(page.Ends, fmt.Sprintf("The rate learned of %s and accepted %s ends with a change here: it was learned against the table as it is now.", decisionLine(d).What, page.Format.Day(d.At)))
		}
	}
	return rateRow(rows, kind, takeoff.Type(page.Form.Type), driver), nil
}

// rateRow finds the row of a type; where it has none, a row that is not stored yet and says what holds for all types.
func rateRow(rows []models.Rate, kind takeoff.Kind, t takeoff.Type, driver takeoff.Driver) *models.Rate {
	found := &models.Rate{Kind: kind, OpeningType: t, Driver: driver}
	for i := range rows {
		r := &rows[i]
		switch {
		case r.Kind != kind || r.Driver != driver:
		case r.OpeningType == t:
			return r
		case r.OpeningType == "":
			found.Hours, found.Source = r.Hours, r.Source
		}
	}
	return found
}

// editRate shows what a changed rate does, or saves it.
func (s *Server) editRate(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	page := web.RatePage{Chrome: s.chrome(c)}
	if err := c.ShouldBind(&page.Form); err != nil {
		return badRequest("The form could not be read. Open the rates page again.")
	}
	stored, err := s.storedRate(ctx, &page)
	if err != nil {
		return err
	}
	row := models.Rate{Kind: stored.Kind, OpeningType: takeoff.Type(page.Form.Type), Driver: stored.Driver, Source: strings.TrimSpace(page.Form.Source)}
	row.Version, _ = strconv.ParseInt(page.Form.Version, 10, 64)
	if page.Form.Of != page.Form.Type {
		row.Version = stored.Version // the form was opened on the row of another type
	}
	row.Hours, page.Faults = readRate(page.Form.Hours, stored, page.Format)
	if len(page.Faults) > 0 {
		s.render(c, http.StatusUnprocessableEntity, page)
		return nil
	}
	revision := planning.Revision{
		Cause: fmt.Sprintf("hours of %s for each %s changed", gerund(row.Kind), page.Unit),
		Store: func(ctx context.Context, tx *models.Tx) error {
			again := row
			return models.SaveRate(ctx, tx, &again, p.actor())
		},
	}
	if page.Form.Do == "save" {
		if _, err := planning.Revise(ctx, s.db, revision, p.actor()); err != nil {
			return err
		}
		s.say(c, "The rate is changed. The plan is a draft until you issue it.")
		c.Redirect(http.StatusSeeOther, "/rates#kind-"+string(row.Kind))
		return nil
	}
	preview := web.RevisionPage{
		Chrome: page.Chrome, Action: "/rates/edit", Back: "/rates#kind-" + string(row.Kind), Accept: "Save", Title: "What this rate does",
		Lead: append([]string{fmt.Sprintf("%s, %s: %s becomes %s.", page.Name, cmpText(typeWords(row.OpeningType), "all types"),
			web.Decimal(stored.Hours*driverUnit(row.Driver, page.Format))+" h", web.Decimal(row.Hours*driverUnit(row.Driver, page.Format))+" h")}, page.Ends...),
		Fields: fields(url.Values{
			"kind": {page.Form.Kind}, "type": {page.Form.Type}, "driver": {page.Form.Driver}, "hours": {page.Form.Hours},
			"source": {page.Form.Source}, "version": {page.Form.Version}, "of": {page.Form.Of},
		}),
	}
	return s.showRevision(c, &preview, revision)
}

// exportRates sends the company table as a sheet that reads in again as the same table.
func (s *Server) exportRates(c *gin.Context, _ *person) error {
	rows, err := intake.RateRows(c.Request.Context(), s.db)
	if err != nil {
		return err
	}
	metric := s.format(c, nil).Units == web.Metric
	return sendSheet(c, path.Base(c.Request.URL.Path), "table", importing.RateSheet(rows, metric), 0)
}

func cmpText(a, b string) string {
	if a == "" {
		return b
	}
	return a
}

// readRate reads hours in the reader's units. What is written as it was shown is the stored number itself, so that a change of units
// never drifts.
func readRate(text string, stored *models.Rate, f web.Format) (float64, web.Faults) {
	text = strings.TrimSpace(strings.ReplaceAll(text, ",", "."))
	if text == shownRate(stored, f) {
		return stored.Hours, nil
	}
	const most = 10_000
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(text, "h")), 64)
	if err != nil || math.IsNaN(v) || v < 0 || v > most {
		return 0, web.Faults{{Field: "hours", Message: fmt.Sprintf("%q is no number of hours. Write hours from 0 to 10,000, such as 0.25.", text)}}
	}
	return v / driverUnit(stored.Driver, f), nil
}
