package web

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"strings"
)

// plotEnd is the factor, up and down from the company rate, at which a strip of rates ends. What is farther out counts with
// the bound of learning, which is three, and is drawn at the edge.
const plotEnd = 3.3

// strip is the place of a factor in percent of the width: the company rate in the middle, equal ratios equally far apart.
func strip(factor float64) float64 {
	if !(factor > 0) {
		return 0
	}
	at := 50 + 50*math.Log(factor)/math.Log(plotEnd)
	return min(max(at, 1), 99)
}

// Draw shows the finished tasks as dots on a line of hours a unit, the company rate as a ruled line that hangs through it, and the
// learned rate as a line in a band. The dots stand in the order in which the work was done, the newest on top.
func (r LearnedRate) Draw() template.HTML {
	height := 104
	if r.CrewID != "" {
		height = 64
	}
	floor := height - 22
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="rates-strip" width="100%%" height="%d" role="img"><title>%s</title>`, height, html.EscapeString(r.Text()))
	low, high := strip(r.Low), strip(r.High)
	fmt.Fprintf(&b, `<rect class="rates-band" x="%s" width="%s" y="6" height="%d"/>`, percent(low), percent(max(high-low, 0.4)), floor-6)
	fmt.Fprintf(&b, `<line class="rates-floor" x1="0" x2="100%%" y1="%[1]d" y2="%[1]d"/>`, floor)
	for _, factor := range []float64{0.5, 1, 2} {
		at := percent(strip(factor))
		fmt.Fprintf(&b, `<line class="rates-tick" x1="%[1]s" x2="%[1]s" y1="%[2]d" y2="%[3]d"/>`, at, floor, floor+5)
		fmt.Fprintf(&b, `<text class="rates-text" x="%s" y="%d">%s</text>`, at, height-2, html.EscapeString(r.Rate(factor)))
	}
	fmt.Fprintf(&b, `<line class="rates-company" x1="50%%" x2="50%%" y1="0" y2="%d"/>`, floor)
	fmt.Fprintf(&b, `<line class="rates-learned" x1="%[1]s" x2="%[1]s" y1="6" y2="%[2]d"/>`, percent(strip(r.Factor)), floor)
	for i, dot := range r.Dots {
		y := float64(floor-8) - float64(floor-24)*float64(i)/float64(max(len(r.Dots)-1, 1))
		if dot > 3 || dot < 1.0/3 {
			fmt.Fprintf(&b, `<circle class="rates-far" cx="%s" cy="%.1f" r="4"/>`, percent(strip(dot)), y)
			continue
		}
		fmt.Fprintf(&b, `<circle class="rates-dot" cx="%s" cy="%.1f" r="3.2"/>`, percent(strip(dot)), y)
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// Text says what the drawing shows.
func (r LearnedRate) Text() string {
	tasks := "finished tasks"
	if r.Count == 1 {
		tasks = "finished task"
	}
	text := fmt.Sprintf("Hours a unit, %s: company rate %s; %d %s, on average %s; learned rate %s, with eight chances in ten between %s and %s",
		r.Name, r.Rate(1), r.Count, tasks, r.Rate(r.Mean), r.Rate(r.Factor), r.Rate(r.Low), r.Rate(r.High))
	if r.Bounded > 0 {
		text += fmt.Sprintf("; %d so far out that they count with three times the usual only", r.Bounded)
	}
	return text
}
