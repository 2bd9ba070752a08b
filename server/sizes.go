package server

import (
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

// sizeWords says which size of an opening an item is made to, and how that differs from what was measured since. fits says that
// the size used can be built; day writes a date.
func sizeWords(o *models.Opening, s pattern.ItemSize, fits bool, day func(time.Time) string, f web.Format) string {
	used := pattern.FieldSize{Width: o.Width, Height: o.Height}
	text := "drawings"
	switch {
	case s.Used != nil && !fits:
		text = "drawings: nothing can be built to the measured size"
	case s.Used != nil:
		used, text = *s.Used, "survey, measured "+day(s.Used.At)
		if s.Basis == pattern.AfterFraming {
			text = "set frame, measured " + day(s.Used.At)
		}
	case len(o.Sizes) == 0 && s.Basis != pattern.FromDrawings:
		return "drawings: not measured yet"
	case s.Basis == pattern.FromDrawings:
		text = "drawings, as the order basis says"
	}
	if len(o.Sizes) == 0 {
		return text
	}
	newest := o.Sizes[len(o.Sizes)-1]
	differs := differenceWords(newest.Width-used.Width, newest.Height-used.Height, f)
	switch {
	case s.Later != nil:
		text += "; measured after ordering, " + differs
	case used.Width != newest.Width || used.Height != newest.Height:
		text += "; the measured size " + differs
	}
	return text
}

// differenceWords says how a size differs from another one.
func differenceWords(width, height length.Length, f web.Format) string {
	var parts []string
	for _, d := range []struct {
		name string
		by   length.Length
	}{{"width", width}, {"height", height}} {
		switch {
		case d.by > 0:
			parts = append(parts, fmt.Sprintf("%s %s more", d.name, f.Small(d.by)))
		case d.by < 0:
			parts = append(parts, fmt.Sprintf("%s %s less", d.name, f.Small(-d.by)))
		}
	}
	if len(parts) == 0 {
		return "the same size"
	}
	return "differs by " + strings.Join(parts, " and ")
}

// sizes sets the drawings beside what was measured, and says what that changes in the panes.
func (v *dayView) sizes(d *models.OpeningDetail, taken *takeoff.Takeoff) web.OpeningSizes {
	o := &d.Opening
	if len(o.Sizes) == 0 {
		return web.OpeningSizes{}
	}
	newest := o.Sizes[len(o.Sizes)-1]
	page := web.OpeningSizes{
		Measured: v.format.Size(newest.Width, newest.Height), MeasuredAt: newest.At,
		Differs: differenceWords(newest.Width-o.Width, newest.Height-o.Height, v.format),
	}
	for _, item := range pattern.NeededItems(&pattern.Opening{Takeoff: o.Takeoff()}) {
		if item == pattern.Hardware {
			continue // has no size
		}
		size := o.ItemSize(item)
		_, fits := size.MadeTo(o.Takeoff(), v.rules)
		page.Items = append(page.Items, web.Fact{Name: v.format.Capital(itemWords(item)) + " made to", Value: sizeWords(o, size, fits, v.format.Day, v.format)})
	}
	if drawn, err := takeoff.Of(o.Takeoff(), v.rules); err == nil {
		page.Panes = v.paneChanges(drawn.Panes, taken.Panes)
	}
	return page
}

// leavesAsMade are the leaves of an opening, which may be ordered from another size than its glass.
func leavesAsMade(o *models.Opening, taken *takeoff.Takeoff, rules takeoff.Rules) []takeoff.LeafSize {
	made, _ := o.ItemSize(pattern.Leaf).MadeTo(o.Takeoff(), rules)
	t, err := takeoff.Of(made, rules)
	if err != nil || len(t.Leaves) != len(taken.Leaves) {
		return taken.Leaves
	}
	return t.Leaves
}

// paneChanges lists the panes that are not made as drawn.
func (v *dayView) paneChanges(drawn, made []takeoff.Pane) []web.PaneChange {
	var list []web.PaneChange
	f := v.format
	for i := range min(len(drawn), len(made)) {
		from, to := &drawn[i], &made[i]
		if from.Width == to.Width && from.Height == to.Height {
			continue
		}
		list = append(list, web.PaneChange{
			Name: fmt.Sprintf("pane %d", i+1), Drawn: f.Size(from.Width, from.Height), Made: f.Size(to.Width, to.Height),
			Differs: strings.TrimPrefix(differenceWords(to.Width-from.Width, to.Height-from.Height, f), "differs by "),
			Weight:  changeWords(f.Weight(kilograms(from.Grams)), f.Weight(kilograms(to.Grams))),
		})
	}
	return list
}

// changeWords says what became of a figure.
func changeWords(was, is string) string {
	if was == is {
		return is
	}
	return was + ", now " + is
}

// takeSizeBack takes a measured size back.
func (s *Server) takeSizeBack(c *gin.Context, p *person) error {
	id, err := strconv.ParseInt(c.Param("id"), 10, 64)
	if err != nil {
		return notFound("")
	}
	task, err := models.TaskOfReport(c.Request.Context(), s.db, id)
	if err != nil {
		return err
	}
	if !p.mayRead(task.ProjectID) || task.OpeningID == nil {
		return notAllowed("This report is of a project that is not yours.")
	}
	err = reporting.TakeBack(c.Request.Context(), s.db, id, c.PostForm("report_id"), p.actor())
	var faults reporting.Faults
	switch {
	case errors.Is(err, models.ErrRefused):
		return badRequest("This size does not stand any more: it is taken back already. Open the opening’s page again.")
	case errors.As(err, &faults):
		return badRequest(faults.Error())
	case err != nil:
		return err
	}
	s.say(c, "The size is taken back. Quantities and the order list go by the size before it; the next re-plan takes it in.")
	c.Redirect(http.StatusSeeOther, "/openings/"+strconv.FormatInt(*task.OpeningID, 10))
	return nil
}
