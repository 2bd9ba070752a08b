package server

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/server/planning"
	"jambwright/web"
)

// settings shows the numbers that drive quantities and hours.
func (s *Server) settings(c *gin.Context, _ *person) error {
	e, err := readFirmEdit(c.Request.Context(), s.db)
	if err != nil {
		return err
	}
	page := web.SettingsPage{Chrome: s.chrome(c)}
	fillSettings(&page, e, nil)
	s.render(c, http.StatusOK, page)
	return nil
}

// readFirmEdit reads what the page edits.
func readFirmEdit(ctx context.Context, db *models.DB) (*firmEdit, error) {
	e := &firmEdit{factorsChanged: map[int]bool{}, curvesChanged: map[int]bool{}}
	return e, db.ReadTogether(ctx, func(tx *models.Tx) error {
		firm, err := models.Settings(ctx, tx)
		if err != nil {
			return err
		}
		e.firm = *firm
		if _, e.factors, _, err = models.RateTable(ctx, tx); err != nil {
			return err
		}
		stored, err := models.LearningCurves(ctx, tx)
		for _, kind := range pattern.StepKinds() {
			curve := models.RateLearning{Kind: kind, Rate: 1, StandardUnit: 1}
			for _, row := range stored {
				if row.Kind == kind {
					curve = row
				}
			}
			e.curves = append(e.curves, curve)
		}
		return err
	})
}

// versions are the versions of all rows of the page in one text, so that a page that is older than any of them is refused.
func (e *firmEdit) versions() string {
	text := strconv.FormatInt(e.firm.Version, 10)
	for _, row := range e.factors {
		text += "." + strconv.FormatInt(row.Version, 10)
	}
	for _, row := range e.curves {
		text += "." + strconv.FormatInt(row.Version, 10)
	}
	return text
}

// fillSettings fills in the page; sent are the texts of a form that was sent back, nil for what is stored.
func fillSettings(page *web.SettingsPage, e *firmEdit, sent url.Values) {
	page.Versions = e.versions()
	for _, g := range settingGroups(e) {
		group := web.SettingGroup{Title: g.title, About: g.about}
		for i := range g.settings {
			one := &g.settings[i]
			field := web.SettingField{Name: one.name, Label: page.Format.Capital(one.label), Value: one.text(one.value(e), page.Format)}
			field.Help = "from " + one.text(one.least, page.Format) + " to " + one.text(one.most, page.Format)
			if one.help != "" {
				field.Help += "; " + one.help
			}
			if text, given := sent[one.name]; given {
				field.Value = text[0]
			}
			group.Fields = append(group.Fields, field)
		}
		page.Groups = append(page.Groups, group)
	}
}

// changeSettings shows what changed settings do, or saves them.
func (s *Server) changeSettings(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	e, err := readFirmEdit(ctx, s.db)
	if err != nil {
		return err
	}
	if err := c.Request.ParseForm(); err != nil {
		return badRequest("The form could not be read. Open the settings again.")
	}
	sent := c.Request.PostForm
	if sent.Get("versions") != e.versions() {
		return &models.ErrStale{What: "the settings", Version: e.firm.Version, Current: &e.firm}
	}
	page := web.SettingsPage{Chrome: s.chrome(c)}
	changes, faults := e.take(sent, page.Format)
	switch {
	case len(faults) > 0:
		page.Faults = faults
		fillSettings(&page, e, sent)
		s.render(c, http.StatusUnprocessableEntity, page)
		return nil
	case len(changes) == 0:
		s.say(c, "Nothing was changed.")
		c.Redirect(http.StatusSeeOther, "/settings")
		return nil
	}
	revision := planning.Revision{Cause: "settings changed", Store: e.store(p.actor())}
	if sent.Get("do") == "save" {
		if _, err := planning.Revise(ctx, s.db, revision, p.actor()); err != nil {
			return err
		}
		s.say(c, "The settings are changed. The plan is a draft until you issue it.")
		c.Redirect(http.StatusSeeOther, "/settings")
		return nil
	}
	sent.Del("do")
	preview := web.RevisionPage{
		Chrome: page.Chrome, Title: "What these settings do", Lead: changes, Action: "/settings", Back: "/settings", Accept: "Save", Fields: fields(sent),
	}
	return s.showRevision(c, &preview, revision)
}

// take puts what was sent into the edit. What is sent as it is shown stays the stored number, so that a page in other units never
// drifts.
func (e *firmEdit) take(sent url.Values, f web.Format) (changes []string, faults web.Faults) {
	for _, g := range settingGroups(e) {
		for i := range g.settings {
			one := &g.settings[i]
			was := one.text(one.value(e), f)
			text, given := sent[one.name]
			if !given || text[0] == was {
				continue
			}
			v, message := one.read(text[0], f)
			if message != "" {
				faults = append(faults, web.FieldFault{Field: one.name, Message: message})
				continue
			}
			if now := one.text(v, f); now != was {
				changes = append(changes, fmt.Sprintf("%s: %s becomes %s.", one.label, was, now))
				one.set(e, v)
			}
		}
	}
	return changes, faults
}

// store writes what was changed.
func (e *firmEdit) store(actor models.Actor) func(ctx context.Context, tx *models.Tx) error {
	return func(ctx context.Context, tx *models.Tx) (err error) {
		if e.firmChanged {
			row := e.firm
			row.Crowding = nil
			for _, c := range e.firm.Crowding {
				if c.Room > 0 {
					row.Crowding = append(row.Crowding, c)
				}
			}
			err = models.SaveSettings(ctx, tx, &row, actor)
		}
		for i, row := range e.factors {
			if e.factorsChanged[i] {
				err = errors.Join(err, models.SaveFactor(ctx, tx, &row, actor))
			}
		}
		for i, row := range e.curves {
			if e.curvesChanged[i] {
				err = errors.Join(err, models.SaveLearning(ctx, tx, &row, actor))
			}
		}
		return err
	}
}
