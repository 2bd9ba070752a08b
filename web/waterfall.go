package web

import (
	"fmt"
	"html"
	"html/template"
	"slices"
	"strings"
)

// Fall is one step of the waterfall: the sum of a cause's lines.
type Fall struct {
	Words    string
	Minutes  int
	From, To int // minutes after the first forecast, running
	side     string
}

// Steps sums the lines of a date up by cause, in the order in which the causes first show.
func (d DelayDate) Steps() (list []Fall) {
	place := map[DelayCause]int{}
	for i := range d.Lines {
		l := &d.Lines[i]
		at, there := place[l.Cause]
		if !there {
			at = len(list)
			place[l.Cause] = at
			list = append(list, Fall{Words: string(l.Cause), side: l.Cause.side()})
		}
		list[at].Minutes += l.Minutes
	}
	list = slices.DeleteFunc(list, func(s Fall) bool { return s.Minutes == 0 })
	if d.Untold != 0 {
		list = append(list, Fall{Words: "not told apart", side: "nobody", Minutes: d.Untold})
	}
	sum := 0
	for i := range list {
		list[i].From, list[i].To = sum, sum+list[i].Minutes
		sum = list[i].To
	}
	return list
}

// Sizes of the waterfall in its own units, about one to a pixel on a phone.
const (
	fallWidth = 360
	fallRow   = 46
	fallBar   = 18
	fallEdge  = 4
)

// Waterfall draws how the parts lead from the date as issued to the date now: from each step's end a plumb line hangs to the
// next one's beginning. Steps are told by words and by pattern, not by colour alone.
func (d DelayDate) Waterfall(f Format) template.HTML {
	falls := d.Steps()
	low, high := 0, 0
	for _, s := range falls {
		low, high = min(low, s.To), max(high, s.To)
	}
	scale := func(minutes int) float64 {
		if high == low {
			return fallEdge
		}
		return fallEdge + float64(minutes-low)/float64(high-low)*(fallWidth-2*fallEdge)
	}
	height := fallRow * (len(falls) + 2)
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="falls" viewBox="0 0 %d %d" role="img"><title>%s</title>`, fallWidth, height, html.EscapeString(d.fallText(f, falls)))
	id := "hatch-" + d.ID
	fmt.Fprintf(&b, `<defs><pattern id="%s" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="fall-hatch" d="M0 3h6"/></pattern></defs>`, html.EscapeString(id))
	d.fallStop(&b, scale(0), 0, "as issued: "+f.FinishDay(*d.Before)+", "+f.Clock(*d.Before))
	for i, s := range falls {
		y := fallRow * (i + 1)
		left, right := scale(min(s.From, s.To)), scale(max(s.From, s.To))
		fmt.Fprintf(&b, `<path class="fall-plumb" d="M%.1f %dV%d"/>`, scale(s.From), y-4, y+22)
		fmt.Fprintf(&b, `<text class="fall-words" x="%d" y="%d">%s</text>`, fallEdge+2, y+14, html.EscapeString(f.Capital(s.Words)+" "+f.Signed(s.Minutes)))
		class := "fall fall-" + s.side
		if s.Minutes < 0 {
			class += " fall-back"
		}
		fmt.Fprintf(&b, `<rect class="%s" x="%.1f" y="%d" width="%.1f" height="%d"/>`, class, left, y+22, max(2, right-left), fallBar)
		if s.side == "theirs" {
			fmt.Fprintf(&b, `<rect fill="url(#%s)" x="%.1f" y="%d" width="%.1f" height="%d"/>`, html.EscapeString(id), left, y+22, max(2, right-left), fallBar)
		}
		fmt.Fprintf(&b, `<path class="fall-plumb" d="M%.1f %dV%d"/>`, scale(s.To), y+22+fallBar, y+fallRow)
	}
	d.fallStop(&b, scale(d.Moved), fallRow*(len(falls)+1), "now: "+f.FinishDay(*d.After)+", "+f.Clock(*d.After)+" ("+f.Signed(d.Moved)+")")
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// fallStop draws the beginning or the end: a stop with its date.
func (d DelayDate) fallStop(b *strings.Builder, x float64, y int, words string) {
	fmt.Fprintf(b, `<text class="fall-words fall-end" x="%d" y="%d">%s</text>`, fallEdge+2, y+14, html.EscapeString(capital(words)))
	fmt.Fprintf(b, `<path class="fall-stop" d="M%.1f %dv22"/>`, x, y+20)
}

// fallText says what the drawing shows.
func (d DelayDate) fallText(f Format, falls []Fall) string {
	parts := []string{"From " + f.FinishDay(*d.Before) + " as issued"}
	for _, s := range falls {
		parts = append(parts, s.Words+" "+f.Signed(s.Minutes))
	}
	return strings.Join(parts, ", ") + ", to " + f.FinishDay(*d.After) + " now: " + f.Signed(d.Moved)
}

// FallSums says the sum in one line: "+4 days +2 h −1 day = +3 days 2 h".
func (d DelayDate) FallSums(f Format) string {
	var parts []string
	for _, s := range d.Steps() {
		parts = append(parts, f.Signed(s.Minutes))
	}
	return strings.Join(parts, " ") + " = " + f.Signed(d.Moved)
}
