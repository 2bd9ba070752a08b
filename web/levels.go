package web

import (
	"fmt"
	"html"
	"html/template"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// timeLine maps instants to a share of the width of the dates page: the plumb line of the data date hangs at 0, and the
// last date or forecast stands a little before the right edge.
type timeLine struct {
	from time.Time
	span time.Duration
}

// timeLine is common to all rows, so that they can be compared.
func (p DatesPage) timeLine() timeLine {
	from := p.DataDate
	if from.IsZero() {
		from = p.Format.Now
	}
	last := from.Add(week)
	for _, row := range p.Rows {
		if from.IsZero() {
			from = row.Date.Add(-week)
		}
		last = later(last, row.Date)
		if row.Forecast != nil {
			last = later(last, *row.Forecast)
		}
		if row.Outlook != nil {
			last = later(last, row.Outlook.P90)
		}
	}
	return timeLine{from: from, span: last.Sub(from)}
}

const week = 7 * 24 * time.Hour

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// at is the place of an instant in percent; what lies before the data date is drawn on it.
func (l timeLine) at(t time.Time) float64 {
	const usable = 94
	if l.span <= 0 || t.Before(l.from) {
		return 0
	}
	return float64(t.Sub(l.from)) / float64(l.span) * usable
}

// weeks lists the starts of the reader's weeks along the line, thinned to at most the number of them.
func (l timeLine) weeks(f Format, most int) []time.Time {
	local := f.In(l.from)
	day := time.Date(local.Year(), local.Month(), local.Day(), 0, 0, 0, 0, local.Location())
	for day.Weekday() != f.WeekStart || !day.After(l.from) {
		day = day.AddDate(0, 0, 1)
	}
	total := int(l.span/week) + 1
	step := 7 * ((total + most - 1) / most)
	var weeks []time.Time
	for ; !day.After(l.from.Add(l.span)); day = day.AddDate(0, 0, step) {
		weeks = append(weeks, day)
	}
	return weeks
}

// lastName is the place in percent behind which the name of a week would run out of the drawing on a phone.
const lastName = 78

// Ruler draws the scale above the rows: a tick for every week, some of them named.
func (p DatesPage) Ruler() template.HTML {
	return p.timeLine().ruler(p.Format, "Weeks from the data date")
}

func (l timeLine) ruler(f Format, title string) template.HTML {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="ruler" width="100%%" height="30" role="img"><title>%s</title>`, html.EscapeString(title))
	for _, t := range l.weeks(f, 60) {
		fmt.Fprintf(&b, `<line class="ruler-tick" x1="%[1]s" x2="%[1]s" y1="22" y2="30"/>`, percent(l.at(t)))
	}
	for _, t := range l.weeks(f, 4) {
		if at := l.at(t); at < lastName {
			fmt.Fprintf(&b, `<text class="ruler-text" x="%s" y="15">%s</text>`, percent(at), html.EscapeString(f.In(t).Format("Mon 2 Jan")))
		}
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// Level draws one row: the ruled line from the plumb line to the stop of the GC date, the plan's forecast as a small frame
// that stands on the line, or past its end where it is late, and under the line the band in which the date comes four times
// of five, with its middle marked.
func (p DatesPage) Level(index int) template.HTML {
	row, l, f := p.Rows[index], p.timeLine(), p.Format
	stop := l.at(row.Date)
	height := 62
	if row.Outlook != nil {
		height = 88
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="rule" width="100%%" height="%d" role="img"><title>%s</title>`, height, html.EscapeString(p.levelText(row)))
	fmt.Fprintf(&b, `<line class="rule-line" x1="0" x2="%[1]s" y1="32" y2="32"/><line class="rule-stop" x1="%[1]s" x2="%[1]s" y1="20" y2="44"/>`, percent(stop))
	if row.Forecast != nil {
		at := l.at(*row.Forecast)
		if at > stop {
			fmt.Fprintf(&b, `<line class="rule-past" x1="%s" x2="%s" y1="32" y2="32"/>`, percent(stop), percent(at))
		}
		fmt.Fprintf(&b, `<svg x="%s" y="16" width="1" height="16" overflow="visible"><path class="rule-frame" d="M-5 16V0H5v16"/></svg>`, percent(at))
		b.WriteString(label("rule-text", at, 11, "plan "+f.FinishDay(*row.Forecast)))
	}
	b.WriteString(label("rule-text", stop, 58, "GC date "+f.FinishDay(row.Date)))
	if row.Outlook != nil {
		l.band(&b, f, row.Outlook)
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// band draws a channel from P10 to P90 with a post at P50. Its middle is named below, the two ends stand in words.
func (l timeLine) band(b *strings.Builder, f Format, o *Outlook) {
	from, to, middle := l.at(o.P10), l.at(o.P90), l.at(o.P50)
	fmt.Fprintf(b, `<rect class="rule-band" x="%s" width="%s" y="63" height="9"/>`, percent(from), percent(max(to-from, 0.4)))
	fmt.Fprintf(b, `<line class="rule-middle" x1="%[1]s" x2="%[1]s" y1="60" y2="75"/>`, percent(middle))
	b.WriteString(label("rule-text", middle, 86, "half the time by "+f.FinishDay(o.P50)))
}

// levelText says what the row's drawing shows.
func (p DatesPage) levelText(row DateRow) string {
	f := p.Format
	text := row.Name + ": GC date " + f.FinishDay(row.Date)
	if row.Forecast == nil {
		return text + ", no forecast"
	}
	text += ", plan " + f.FinishDay(*row.Forecast) + ", " + f.FloatDays(row.FloatDays)
	if o := row.Outlook; o != nil {
		text += fmt.Sprintf(", %s with a chance of %s, P10 %s, P50 %s, P80 %s, P90 %s",
			f.ChanceWords(o.Chance), f.Percent(o.Chance), f.FinishDay(o.P10), f.FinishDay(o.P50), f.FinishDay(o.P80), f.FinishDay(o.P90))
	}
	return text
}

// letterWidth is how wide a letter of a label is at most on average, in percent of the drawing on a phone of 390 px: about
// 7.3 of its 328 px.
const letterWidth = 2.23

// label writes a text at a place: from it to the right, or up to it, or around it, whichever lies within the drawing on a phone. A
// text that is too wide for all three stands around a place as near as it can be.
func label(class string, at, y float64, text string) string {
	width := letterWidth * float64(utf8.RuneCountInString(text))
	anchor, dx := "start", "0"
	switch {
	case at+width <= 100:
	case at >= width:
		anchor, dx = "end", "6"
	default:
		anchor, at = "middle", max(min(at, 100-width/2), min(width/2, 50))
	}
	return fmt.Sprintf(`<text class="%s" x="%s" dx="%s" y="%v" text-anchor="%s">%s</text>`,
		class, percent(at), dx, y, anchor, html.EscapeString(text))
}

func percent(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) + "%" }
