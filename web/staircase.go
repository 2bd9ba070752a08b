package web

import (
	"fmt"
	"html"
	"html/template"
	"slices"
	"strings"
	"time"

	"jambwright/scheduler/problem"
)

// The drawing's own units; it is stretched to the width there is.
const (
	stairWidth, stairHeight = 360, 200
	stairLeft, stairRight   = 6, 352
	stairTop, stairFloor    = 26, 172
	leastTread              = 10
)

// staircase maps instants to places across and promised days to places up: every slip is a step up, a gain a step down.
type staircase struct {
	format   Format
	from, to time.Time
	low      time.Time
	high     time.Time
}

// Staircase draws how the promise of the handover has moved: a tread for each promise, as long as it stood, a riser with
// its days for each change, our own forecast as a dotted tread, the day of handover as a plate with a check. The plumb line
// is the present. It draws nothing before anything was promised.
func (p HandoverPage) Staircase() template.HTML {
	if !slices.ContainsFunc(p.Steps, func(s PromiseStep) bool { return !s.none() }) {
		return ""
	}
	s := p.stair()
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="stair" viewBox="0 0 %d %d" role="img"><title>%s</title>`, stairWidth, stairHeight, html.EscapeString(p.StairWords()))
	fmt.Fprintf(&b, `<line class="stair-floor" x1="%[1]d" x2="%[2]d" y1="%[3]d" y2="%[3]d"/>`, stairLeft, stairRight, stairFloor)
	s.plumb(&b, p.Format.Now)
	s.flight(&b, p.steps(false), "stair-tread", true)
	s.flight(&b, p.steps(true), "stair-ours", false)
	if d := p.Cell.Actual; d != nil {
		x, y := s.across(noonOf(*d)), s.up(*d)
		fmt.Fprintf(&b, `<path class="stair-plate" d="M%[1]s %[2]sm-7 -7h14v14h-14z"/><path class="stair-check" d="M%[1]s %[2]sm-4 0l3 3 5 -6"/>`, unit(x), unit(y))
		s.name(&b, x, y-12, "handed over "+p.Format.Date(*d))
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// StairWords tells the drawing in words.
func (p HandoverPage) StairWords() string {
	var parts []string
	for i, step := range p.Steps {
		who := "promised "
		if step.Ours {
			who = "we expected "
		}
		if step.none() {
			parts = append(parts, "from "+p.Format.Day(step.At)+" "+strings.TrimSpace(who)+" no day of its own")
			continue
		}
		text := "from " + p.Format.Day(step.At) + " " + who + p.Format.Date(step.Date)
		if before := p.before(i); before != nil {
			text += ", " + p.Format.SlipWords(&before.Date, &step.Date)
		}
		parts = append(parts, text)
	}
	if d := p.Cell.Actual; d != nil {
		parts = append(parts, "handed over "+p.Format.Date(*d))
	}
	return "The promise over time: " + strings.Join(parts, "; ")
}

// before is the step of the same voice before another one, nil for the first.
func (p HandoverPage) before(i int) *PromiseStep {
	for j := i - 1; j >= 0; j-- {
		if p.Steps[j].Ours == p.Steps[i].Ours && !p.Steps[j].none() {
			return &p.Steps[j]
		}
	}
	return nil
}

func (p HandoverPage) steps(ours bool) []PromiseStep {
	var list []PromiseStep
	for _, step := range p.Steps {
		if step.Ours == ours {
			list = append(list, step)
		}
	}
	return list
}

// stair measures the drawing: across from the first word to the present or the handover, up over all dates.
func (p HandoverPage) stair() staircase {
	s := staircase{format: p.Format, from: p.Steps[0].At, to: p.Format.Now}
	span := func(d problem.Date) {
		if s.low.IsZero() {
			s.low, s.high = noonOf(d), noonOf(d)
		}
		s.low, s.high = earlier(s.low, noonOf(d)), later(s.high, noonOf(d))
	}
	for _, step := range p.Steps {
		if !step.none() {
			span(step.Date)
		}
		s.to = later(s.to, step.At)
	}
	if d := p.Cell.Actual; d != nil {
		span(*d)
		s.to = later(s.to, noonOf(*d))
	}
	s.to = later(s.to, s.from.Add(week))
	return s
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

// noonOf is a date as an instant, near enough for a drawing.
func noonOf(d problem.Date) time.Time {
	return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC)
}

// across leaves room at the right for the present's bob.
func (s staircase) across(t time.Time) float64 {
	share := float64(t.Sub(s.from)) / float64(s.to.Sub(s.from))
	return stairLeft + share*(stairRight-stairLeft-10)
}

func (s staircase) up(d problem.Date) float64 {
	const lowest = stairFloor - 22
	if !s.high.After(s.low) {
		return (stairTop + lowest) / 2
	}
	return lowest - float64(noonOf(d).Sub(s.low))/float64(s.high.Sub(s.low))*(lowest-stairTop-14)
}

// flight draws the treads and risers of one voice. Names stand on their treads where they do not run into the one before;
// the list under the drawing has them all.
func (s staircase) flight(b *strings.Builder, steps []PromiseStep, class string, named bool) {
	lastX, lastY := -1000.0, -1000.0
	for i, step := range steps {
		if step.none() {
			continue
		}
		x, y, end := s.across(step.At), s.up(step.Date), s.across(s.to)
		if i+1 < len(steps) {
			end = s.across(steps[i+1].At)
		}
		if i+1 == len(steps) {
			x = min(x, end-leastTread) // what was said just now is seen as well
		}
		fmt.Fprintf(b, `<line class="%s" x1="%s" x2="%s" y1="%[4]s" y2="%[4]s"/>`, class, unit(x), unit(end), unit(y))
		if i > 0 && !steps[i-1].none() {
			fmt.Fprintf(b, `<line class="%s stair-riser" x1="%[2]s" x2="%[2]s" y1="%s" y2="%s"/>`, class, unit(x), unit(s.up(steps[i-1].Date)), unit(y))
		}
		if free := x-lastX > 70 || lastY-y > 13 || y-lastY > 13; free {
			text := s.format.Date(step.Date)
			if !named {
				text = "we expect " + text
			}
			s.name(b, x, y-5, text)
			lastX, lastY = x, y
		}
	}
}

// name writes words from a place on, or up to it where they would run out of the drawing.
func (s staircase) name(b *strings.Builder, x, y float64, text string) {
	anchor := "start"
	if x+float64(len(text))*6 > stairRight {
		anchor = "end"
		x -= 4
	}
	fmt.Fprintf(b, `<text class="stair-name" x="%s" y="%s" text-anchor="%s">%s</text>`, unit(x), unit(y), anchor, html.EscapeString(text))
}

// plumb hangs the present.
func (s staircase) plumb(b *strings.Builder, now time.Time) {
	if now.IsZero() {
		return
	}
	x := s.across(now)
	fmt.Fprintf(b, `<line class="bob-line" x1="%[1]s" x2="%[1]s" y1="8" y2="%[2]d"/><path class="bob-body" d="M%[1]s %[2]dm-5 0h10l-5 16z"/>`, unit(x), stairFloor)
	fmt.Fprintf(b, `<text class="stair-small" x="%s" y="196" text-anchor="end">today</text>`, unit(x-9))
	fmt.Fprintf(b, `<text class="stair-small" x="%d" y="196">%s</text>`, stairLeft, html.EscapeString(s.format.Day(s.from)))
}

// unit writes a measure of a drawing.
func unit(x float64) string { return fmt.Sprintf("%.1f", x) }
