package delays

import (
	"fmt"
	"strings"

	"jambwright/models"
	"jambwright/scheduler/ledger"
	"jambwright/web"
)

// Disclaimer is what every statement says of itself.
const Disclaimer = "This is a statement of the planner's records. It is no legal advice; the contract governs. Party and consequence are " +
	"proposals of common practice unless marked as confirmed."

// Method is how the days were found, for the reader of a statement.
const Method = "Method: from one issued plan to the next, each cause is applied to the earlier plan in the order of time and all work is " +
	"planned again while staying with that plan; the difference is the cause's part. The parts add up to the whole. Days are days of 24 hours " +
	"on the clock. Concurrent means functionally concurrent: within one window, causes that together moved the date by less than each alone."

// CauseWords are the words of a cause.
func CauseWords(c ledger.Cause) web.DelayCause {
	switch c {
	case ledger.OtherTrade:
		return web.DelayTrade
	case ledger.Supplier:
		return web.DelaySupplier
	case ledger.GCChange:
		return web.DelayGC
	case ledger.OwnWork:
		return web.DelayOwn
	case ledger.CrewShortage:
		return web.DelayCrew
	case ledger.Weather:
		return web.DelayWeather
	case ledger.Replanning:
		return web.DelayReplan
	case ledger.Unknown:
	}
	return web.DelayUnknown
}

// Report is a statement in words, as the exports write it.
type Report struct {
	Title string
	Facts [][2]string
	Dates []ReportDate
}

// ReportDate is one GC date of it.
type ReportDate struct {
	Name  string
	Words []string // what happened to it
	Sum   string
	Lines []ReportLine
	Falls []web.Fall // how the causes lead from the forecast as issued to the one now; none where one of them is missing
}

// ReportLine is one cause of it.
type ReportLine struct {
	Number                            int
	Cause, Text, At, Party, Standing  string
	Confirmed, Notice, Concurrent, By string // By: how to read the minutes, where they are not simply the line's own
	Minutes, Alone                    int
	CanStandAlone                     bool
	Records                           []string
}

// NewReport writes a statement in words. firm is who states it.
func NewReport(s *Statement, firm string, f web.Format) *Report {
	f.Now = s.At
	full := fullDates(f)
	r := &Report{Title: "Statement of delays, " + s.Project.Name}
	to := "plan with data date " + full.Moment(s.To.DataDate)
	if s.Running {
		to = "draft, not issued, with data date " + full.Moment(s.To.DataDate)
	}
	r.Facts = [][2]string{
		{"Stated by", firm},
		{"Project", s.Project.Name},
		{"Dated", full.Moment(s.At)},
		{"From", "issued plan with data date " + full.Moment(s.From.DataDate)},
		{"To", to},
		{"Notice", noticeTerms(&s.Terms)},
		{"Days to spare", floatTerms(&s.Terms)},
		{"Pacing", pacingTerms(&s.Terms)},
	}
	for i := range s.Dates {
		r.Dates = append(r.Dates, reportDate(s, &s.Dates[i], full))
	}
	return r
}

// fullDates writes every date with its year: a statement is read later.
func fullDates(f web.Format) web.Format {
	f.Now = f.Now.AddDate(-100, 0, 0)
	return f
}

func reportDate(s *Statement, d *DateLedger, f web.Format) ReportDate {
	date := ReportDate{Name: d.GCDate.Name}
	say := func(format string, values ...any) { date.Words = append(date.Words, fmt.Sprintf(format, values...)) }
	if d.DueAfter != nil {
		say("GC date %s.", f.FinishDay(*d.DueAfter))
	}
	if d.DueBefore != nil && d.DueAfter != nil && !d.DueBefore.Equal(*d.DueAfter) {
		say("It was %s.", f.FinishDay(*d.DueBefore))
	}
	switch {
	case d.Measured():
		say("Forecast as issued %s, now %s: %s.", f.Moment(*d.Before), f.Moment(*d.After), f.Shift(d.Moved))
		if d.Moved > 0 {
			date.Words = append(date.Words, FloatWords(&s.Terms, d, f.Span))
		}
		date.Sum, date.Falls = sumWords(d, f), fallsOf(d)
	case d.Before != nil:
		say("Forecast as issued %s; there is no forecast now, since some of its work waits without a date.", f.Moment(*d.Before))
	case d.After != nil:
		say("There was no forecast as issued; it is %s now.", f.Moment(*d.After))
	default:
		say("There is no forecast.")
	}
	for i := range d.Lines {
		date.Lines = append(date.Lines, reportLine(s, i+1, &d.Lines[i], f))
	}
	return date
}

// fallsOf sums a date's lines up by cause, as the page does.
func fallsOf(d *DateLedger) []web.Fall {
	date := web.DelayDate{Untold: d.Untold()}
	for i := range d.Lines {
		date.Lines = append(date.Lines, web.DelayLine{Cause: CauseWords(d.Lines[i].Cause), Minutes: d.Lines[i].Minutes})
	}
	return date.Steps()
}

// sumWords adds the lines up, one by one.
func sumWords(d *DateLedger, f web.Format) string {
	var parts []string
	for i := range d.Lines {
		if d.Lines[i].Minutes != 0 {
			parts = append(parts, f.Signed(d.Lines[i].Minutes))
		}
	}
	if untold := d.Untold(); untold != 0 {
		parts = append(parts, f.Signed(untold)+" not told apart")
	}
	if len(parts) == 0 {
		return ""
	}
	return strings.Join(parts, " ") + " = " + f.Signed(d.Moved)
}

func reportLine(s *Statement, number int, l *Line, f web.Format) ReportLine {
	line := ReportLine{
		Number: number, Cause: f.Capital(string(CauseWords(l.Cause))), Text: f.Capital(l.Text), At: f.Moment(l.At), Party: l.Party,
		Standing: standingWords(l), Minutes: l.Minutes, Alone: l.Alone, CanStandAlone: l.CanStandAlone(),
		Concurrent: strings.Join(l.Concurrent, "; "), By: PacingWords(&s.Terms, l),
	}
	switch {
	case l.Lost:
		line.By = "With this the forecast went missing."
	case l.CountedWith != "":
		line.By = "Its days are in: " + l.CountedWith
	}
	if c := l.Confirmed; c != nil {
		line.Party = c.Party
		line.Confirmed = "confirmed by " + c.Actor + " on " + f.Moment(c.UpdatedAt)
		if c.Note != "" {
			line.Confirmed += ": " + c.Note
		}
	}
	if l.Notice != nil {
		line.Notice = l.Notice.Words()
	}
	for _, e := range l.Evidence {
		text := e.Text
		if e.At != nil {
			text = f.Moment(*e.At) + ": " + text
		}
		line.Records = append(line.Records, text)
	}
	return line
}

func standingWords(l *Line) string {
	standing := l.Standing()
	words := "not excusable"
	switch {
	case !standing.Known:
		return "not proposed"
	case standing.Compensable:
		words = "excusable, compensable"
	case standing.Excusable:
		words = "excusable, not compensable"
	}
	if l.Confirmed == nil {
		return words + " (proposed)"
	}
	return words
}

func noticeTerms(t *models.DelayTerms) string {
	var parts []string
	for _, kind := range []struct {
		name string
		days *int
	}{{"other trade", t.TradeDays}, {"general contractor", t.GCDays}, {"supplier", t.SupplierDays}, {"weather", t.WeatherDays}} {
		if kind.days != nil {
			parts = append(parts, kind.name+" "+days(*kind.days))
		}
	}
	if len(parts) == 0 {
		return "none agreed"
	}
	return strings.Join(parts, ", ") + ", calendar days from the event"
}

func floatTerms(t *models.DelayTerms) string {
	switch t.FloatOwner {
	case models.FloatOfGC:
		return "belong to the general contractor"
	case models.FloatOurs:
		return "belong to the subcontractor"
	case models.FloatFirstUse:
	}
	return "whoever needs them first may use them"
}

func pacingTerms(t *models.DelayTerms) string {
	if t.Pacing {
		return "recognised"
	}
	return "not recognised"
}
