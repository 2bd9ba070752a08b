package web

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"strings"
)

// The drawing of moves: days won grow upwards in pixels, cost to the right in percent of the width, so that words keep their
// size on a phone.
const (
	yardHeight, yardTop, yardFoot = 300.0, 30.0, 46.0
	yardLeft, yardRight           = 11.0, 86.0 // percent
)

// yard places days and money in the drawing.
type yard struct{ days, least, most float64 }

func (p RecoveryPage) yard() yard {
	y := yard{days: max(1, -p.FloatDaysOfClock()), most: 100}
	for _, m := range p.drawn() {
		y.days, y.most, y.least = max(y.days, m.Days), max(y.most, m.Cost), min(y.least, m.Cost)
	}
	y.days *= 1.12
	return y
}

// drawn are the lines that have a place: those that win something.
func (p RecoveryPage) drawn() []MoveLine {
	var list []MoveLine
	for _, m := range append(append([]MoveLine{}, p.Moves...), p.Sets...) {
		if m.Days > 0 {
			list = append(list, m)
		}
	}
	return list
}

// FloatDaysOfClock is the float in days of 24 hours, negative when late.
func (p RecoveryPage) FloatDaysOfClock() float64 {
	if p.Forecast == nil {
		return 0
	}
	return p.Date.Sub(*p.Forecast).Hours() / 24
}

func (y yard) x(cost float64) float64 {
	return yardLeft + 3 + (cost-y.least)/(y.most-y.least)*(yardRight-yardLeft-3)
}

func (y yard) y(days float64) float64 {
	return yardHeight - yardFoot - days/y.days*(yardHeight-yardFoot-yardTop)
}

// Draw shows moves as small door frames on a wall: the higher, the more days are won, the farther right, the dearer. Sets stand
// as double frames. The ruled line is where the GC date is kept. The list below it says the same in words.
func (p RecoveryPage) Draw() template.HTML {
	lines := p.drawn()
	if len(lines) == 0 {
		return ""
	}
	y := p.yard()
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="yard" width="100%%" height="%v" role="img"><title>%s</title>`, yardHeight, html.EscapeString(p.DrawText()))
	p.drawScales(&b, y)
	if need := -p.FloatDaysOfClock(); need > 0 {
		fmt.Fprintf(&b, `<line class="yard-rule" x1="%[1]s" x2="100%%" y1="%.1[2]f" y2="%.1[2]f"/>`, percent(yardLeft), y.y(need))
		fmt.Fprintf(&b, `<text class="yard-rule-text" x="%s" dx="6" y="%.1f">the date holds from here</text>`, percent(yardLeft), y.y(need)-6)
	}
	for _, m := range lines {
		fmt.Fprintf(&b, `<svg x="%s" y="%.1f" width="1" height="1" overflow="visible"><path class="yard-frame" d="M-7 0v-18h14v18"/>`, percent(y.x(m.Cost)), y.y(m.Days))
		if len(m.Texts) > 1 {
			b.WriteString(`<path class="yard-frame" d="M-3.500 0v-14h7v14"/>`)
		}
		fmt.Fprintf(&b, `<text class="yard-letter" x="11" y="-3">%s</text></svg>`, html.EscapeString(m.Letter))
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// drawScales draws the floor, the wall and their figures.
func (p RecoveryPage) drawScales(b *strings.Builder, y yard) {
	floor, left := y.y(0), percent(yardLeft)
	fmt.Fprintf(b, `<line class="yard-floor" x1="%[1]s" x2="%[1]s" y1="%[2]v" y2="%[3]v"/><line class="yard-floor" x1="%[1]s" x2="100%%" y1="%[3]v" y2="%[3]v"/>`,
		left, yardTop-8, floor)
	for _, days := range ticks(y.days, 5) {
		fmt.Fprintf(b, `<text class="yard-text" x="%s" dx="-8" y="%.1f" text-anchor="end">%s</text>`, left, y.y(days)+5, Decimal(days))
	}
	for _, cost := range ticks(y.most, 3) {
		at := percent(y.x(cost))
		fmt.Fprintf(b, `<line class="yard-tick" x1="%[1]s" x2="%[1]s" y1="%.1[2]f" y2="%.1[3]f"/>`, at, floor, floor+6)
		fmt.Fprintf(b, `<text class="yard-text" x="%s" y="%.1f" text-anchor="middle">%s</text>`, at, floor+22, html.EscapeString(p.Format.Money(cost)))
	}
	fmt.Fprintf(b, `<text class="yard-text" x="6" y="%v">days won</text>`, yardTop-14)
	fmt.Fprintf(b, `<text class="yard-text" x="100%%" dx="-6" y="%.1f" text-anchor="end">cost</text>`, floor+40)
}

// ticks are up to most round values above 0 up to a highest one.
func ticks(highest float64, most int) []float64 {
	step := math.Pow(10, math.Floor(math.Log10(highest/float64(most))))
	for _, factor := range []float64{1, 2, 5, 10} {
		if highest/(step*factor) <= float64(most) {
			step *= factor
			break
		}
	}
	var list []float64
	for n := 1; float64(n)*step <= highest; n++ {
		list = append(list, float64(n)*step)
	}
	return list
}

// DrawText says what the drawing shows.
func (p RecoveryPage) DrawText() string {
	var parts []string
	for _, m := range p.drawn() {
		parts = append(parts, fmt.Sprintf("%s wins %s for %s", m.Letter, p.Format.WonDays(m.Days), p.Format.Money(m.Cost)))
	}
	return "Days won against cost: " + strings.Join(parts, "; ")
}

// WonDays writes days of the clock that are won: "3 days", "1 day", "0.5 days".
func (f Format) WonDays(days float64) string {
	text := Decimal(math.Round(days*10) / 10)
	if text == "1" {
		return "1 day"
	}
	return text + " days"
}
