package web

import (
	"fmt"
	"html"
	"html/template"
	"strings"
	"time"
)

// timeLine is common to all lines on their way, so that they can be compared.
func (p MaterialPage) timeLine() timeLine {
	from := p.Format.Now
	last := from.Add(week)
	for i := range p.Coming {
		last = later(later(last, p.Coming[i].Need), p.Coming[i].Expected)
	}
	return timeLine{from: from, span: last.Sub(from)}
}

// Ruler draws the scale above what is on its way: a tick for every week, some of them named.
func (p MaterialPage) Ruler() template.HTML { return p.timeLine().ruler(p.Format, "Weeks from today") }

// Rule draws one line on its way: the ruled line ends where it is needed; a frame stands where it is promised, a dashed one where
// it is only expected, past the end where it is late.
func (p MaterialPage) Rule(index int) template.HTML {
	return materialRule(p.Format, p.timeLine(), p.Coming[index])
}

// RuleOf draws a line alone, on a scale of its own.
func (l Delivery) RuleOf(f Format) template.HTML {
	last := later(f.Now.Add(week), later(l.Need, l.Expected))
	return materialRule(f, timeLine{from: f.Now, span: last.Sub(f.Now)}, l)
}

func materialRule(f Format, scale timeLine, l Delivery) template.HTML {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="rule" width="100%%" height="62" role="img"><title>%s</title>`, html.EscapeString(l.Title()+": "+l.ArrivalWords(f)))
	stop := 0.0
	if !l.Need.IsZero() {
		stop = scale.at(l.Need)
		fmt.Fprintf(&b, `<line class="rule-line" x1="0" x2="%[1]s" y1="32" y2="32"/><line class="rule-stop" x1="%[1]s" x2="%[1]s" y1="20" y2="44"/>`, percent(stop))
	}
	if !l.Expected.IsZero() {
		at := scale.at(l.Expected)
		if at > stop && !l.Need.IsZero() {
			fmt.Fprintf(&b, `<line class="rule-past" x1="%s" x2="%s" y1="32" y2="32"/>`, percent(stop), percent(at))
		}
		class, word := "rule-frame rule-guess", "expected "+f.FinishDay(l.Expected)
		if l.Rule == "promised" {
			class, word = "rule-frame", "promised "+f.Day(l.Expected)
		}
		fmt.Fprintf(&b, `<svg x="%s" y="16" width="1" height="16" overflow="visible"><path class="%s" d="M-5 16V0H5v16"/></svg>`, percent(at), class)
		b.WriteString(label("rule-text", at, 11, word))
	}
	if !l.Need.IsZero() {
		b.WriteString(label("rule-text", stop, 58, neededWord(f, l.Need)))
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

func neededWord(f Format, need time.Time) string {
	if need.Before(f.Now) {
		return "was needed by " + f.Day(need)
	}
	return "needed by " + f.Day(need)
}
