package server

import (
	"fmt"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/server/delays"
	"jambwright/web"
)

// delayView turns a statement into the page.
type delayView struct {
	format    web.Format
	statement *delays.Statement
}

func (v *delayView) fill(page *web.DelaysPage) {
	s := v.statement
	page.Terms = termsForm(&s.Terms)
	page.Windows = v.windows()
	page.Window = delays.All
	if len(s.Windows) > 0 && (s.From.ID != s.Windows[0].From.ID || s.To.ID != s.Windows[len(s.Windows)-1].To.ID) {
		page.Window = strconv.FormatInt(s.From.ID, 10) + "-" + strconv.FormatInt(s.To.ID, 10)
	}
	page.FromPlan, page.ToPlan, page.Running = s.From.DataDate, s.To.DataDate, s.Running
	for i := range s.Dates {
		page.Dates = append(page.Dates, v.date(&s.Dates[i]))
	}
	for _, w := range s.Warnings() {
		page.Notices = append(page.Notices, web.DelayWarning{
			Text: w.Text, Deadline: w.Notice.Deadline.At(0, s.Zone), DaysLeft: w.Notice.DaysLeft,
		})
	}
}

func termsForm(t *models.DelayTerms) web.DelayTermsForm {
	text := func(days *int) string {
		if days == nil {
			return ""
		}
		return strconv.Itoa(*days)
	}
	return web.DelayTermsForm{
		Trade: text(t.TradeDays), GC: text(t.GCDays), Supplier: text(t.SupplierDays), Weather: text(t.WeatherDays),
		FloatOwner: string(t.FloatOwner), Pacing: t.Pacing, Version: t.Version,
	}
}

// windows are the runs to choose from, all of them first, then the newest window first.
func (v *delayView) windows() []web.Choice {
	list := v.statement.Windows
	if len(list) == 0 {
		return nil
	}
	choices := []web.Choice{{Value: delays.All, Text: "all, since " + v.format.Day(list[0].From.DataDate)}}
	for i := len(list) - 1; i >= 0; i-- {
		text := v.format.Moment(list[i].From.DataDate) + " to " + v.format.Moment(list[i].To.DataDate)
		if list[i].Running {
			text += ", running"
		}
		choices = append(choices, web.Choice{Value: list[i].Run(), Text: text})
	}
	return choices
}

func (v *delayView) date(d *delays.DateLedger) web.DelayDate {
	date := web.DelayDate{
		ID: strconv.FormatInt(d.GCDate.ID, 10), Name: d.GCDate.Name, DueBefore: d.DueBefore, DueAfter: d.DueAfter,
		Before: d.Before, After: d.After, Moved: d.Moved, AloneSum: d.AloneSum, Untold: d.Untold(),
		Excusable: d.ExcusableMin, Compensable: d.PayableMin, FloatWords: v.floatWords(d),
	}
	for i := range d.Lines {
		date.Lines = append(date.Lines, v.line(&date, i, &d.Lines[i]))
	}
	return date
}

// floatWords says what the contract's rule on float makes of a movement.
func (v *delayView) floatWords(d *delays.DateLedger) string {
	if !d.Measured() || d.Moved <= 0 {
		return ""
	}
	return delays.FloatWords(&v.statement.Terms, d, v.format.Span)
}

func (v *delayView) line(date *web.DelayDate, index int, l *delays.Line) web.DelayLine {
	line := web.DelayLine{
		ID: fmt.Sprintf("line-%s-%d", date.ID, index), Key: l.Key, Cause: delays.CauseWords(l.Cause), At: l.At, Text: l.Text, Party: l.Party,
		Minutes: l.Minutes, Alone: l.Alone, CanStand: l.CanStandAlone(), CountedWith: l.CountedWith, Concurrent: l.Concurrent,
		Pacing: delays.PacingWords(&v.statement.Terms, l), Lost: l.Lost, CanConfirm: l.CanConfirm(),
		Confirm: web.DelayConfirmForm{Party: l.Party},
	}
	if standing := l.Standing(); standing.Known {
		line.Confirm.Excusable, line.Confirm.Compensable = yesNo(standing.Excusable), yesNo(standing.Compensable)
	}
	if c := l.Confirmed; c != nil {
		line.Party = c.Party
		line.Confirm.Party, line.Confirm.Note, line.Confirm.Version = c.Party, c.Note, c.Version
		line.Confirmed = c.Actor + ", " + v.format.Moment(c.UpdatedAt)
		if c.Note != "" {
			line.Confirmed += ": " + c.Note
		}
	}
	for _, e := range l.Evidence {
		line.Records = append(line.Records, web.DelayRecord{At: e.At, Text: e.Text, Href: recordPage(&e)})
	}
	line.Notice = v.notice(l.Notice)
	return line
}

func yesNo(is bool) string {
	if is {
		return "yes"
	}
	return "no"
}

// recordPage is where a record can be read.
func recordPage(e *models.Evidence) string {
	switch {
	case e.HandoverID != nil:
		return "/handovers/" + strconv.FormatInt(*e.HandoverID, 10)
	case e.ReleaseID != nil:
		return "/material/releases/" + strconv.FormatInt(*e.ReleaseID, 10)
	case e.RemakeID != nil:
		return "/material/remakes/" + strconv.FormatInt(*e.RemakeID, 10)
	case e.OpeningID != nil:
		return "/openings/" + strconv.FormatInt(*e.OpeningID, 10)
	}
	return ""
}

func (v *delayView) notice(n *delays.Notice) *web.DelayNotice {
	if n == nil {
		return nil
	}
	shown := &web.DelayNotice{
		Deadline: n.Deadline.At(0, v.statement.Zone), Words: n.Words(),
		Urgent: n.State == delays.NoticeOverdue || n.State == delays.NoticeDueSoon,
	}
	if n.Sent != nil {
		shown.SentOn, shown.Reference, shown.Version = n.Sent.SentOn.String(), n.Sent.Reference, n.Sent.Version
	}
	return shown
}

// noticesShown is how many notices the pages warn of before they count the rest.
const noticesShown = 3

// noticeAlerts warn on the pages that managers open first of notices that are due or overdue.
func (s *Server) noticeAlerts(c *gin.Context) []web.Alert {
	p := personOf(c)
	if p == nil || c.FullPath() != "/dates" && c.FullPath() != "/tomorrow" {
		return nil
	}
	warnings, err := delays.Warnings(c.Request.Context(), s.db, p.projects)
	if err != nil {
		s.log.Error("alerts", "error", err)
		return nil
	}
	var alerts []web.Alert
	for i := range warnings[:min(len(warnings), noticesShown)] {
		w := &warnings[i]
		alerts = append(alerts, web.Alert{
			Text: fmt.Sprintf("%s: notice %s: %s.", w.Project.Name, w.Notice.Words(), w.Text),
			Href: "/delays?project=" + strconv.FormatInt(w.Project.ID, 10), LinkText: "See the delay",
		})
	}
	if more := len(warnings) - noticesShown; more > 0 {
		alerts = append(alerts, web.Alert{Text: fmt.Sprintf("%d more notices are due.", more), Href: "/delays", LinkText: "See all"})
	}
	return alerts
}
