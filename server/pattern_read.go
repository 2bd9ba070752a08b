package server

import (
	"cmp"
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
	"jambwright/web"
)

// Bounds of what a form of a pattern can mean.
const (
	mostLinks      = 20
	mostLagMinutes = 60 * 24 * 90
)

func caseChoices() []web.Choice {
	list := []web.Choice{{Value: string(pattern.Always), Text: "every opening"}}
	for _, w := range []pattern.When{pattern.WithPanes, pattern.WithLeaves, pattern.WithButtJoints, pattern.WhenPowered} {
		list = append(list, web.Choice{Value: string(w), Text: whenWords(w)})
	}
	return list
}

func linkTypeChoices() []web.Choice {
	return []web.Choice{
		{Value: string(problem.FinishToStart), Text: "it starts once the first is finished"},
		{Value: string(problem.StartToStart), Text: "it starts once the first has started"},
		{Value: string(problem.FinishToFinish), Text: "it finishes once the first is finished"},
		{Value: string(problem.StartToFinish), Text: "it finishes once the first has started"},
	}
}

// clockChoices are the calendars that a lag can count on, with those that the pattern has already.
func (e *patternEdit) clockChoices() []web.Choice {
	list := []web.Choice{{Text: "round the clock"}, {Value: pattern.SiteCalendar, Text: "in the site's working time"}}
	for _, l := range e.now.Links {
		at := clockOf(l)
		if !slices.ContainsFunc(list, func(c web.Choice) bool { return c.Value == at }) {
			list = append(list, web.Choice{Value: at, Text: "by calendar " + at})
		}
	}
	return list
}

func clockOf(l pattern.StepLink) string {
	if l.LagCalendar == problem.Always {
		return ""
	}
	return l.LagCalendar
}

func whenOf(w pattern.When) string { return string(cmp.Or(w, pattern.Always)) }

// sentPattern is a pattern as its form sends it.
func sentPattern(p *pattern.Pattern) url.Values {
	sent := url.Values{}
	for i, step := range p.Steps {
		k := string(step.Kind)
		sent.Set("place_"+k, strconv.Itoa(i+1))
		sent.Set("when_"+k, whenOf(step.When))
		for _, need := range step.Needs {
			sent.Set("need_"+k+"_"+string(need.Condition), whenOf(need.When))
		}
		for _, item := range step.Items {
			sent.Add("item_"+k, string(item))
		}
	}
	for i, l := range p.Links {
		n := strconv.Itoa(i)
		sent.Set("from_"+n, string(l.From))
		sent.Set("to_"+n, string(l.To))
		sent.Set("link_"+n, string(cmp.Or(l.Type, problem.FinishToStart)))
		sent.Set("clock_"+n, clockOf(l))
		sent.Set("case_"+n, whenOf(l.When))
		if l.LagMinutes != 0 {
			sent.Set("lag_"+n, lagText(l.LagMinutes))
		}
	}
	return sent
}

// lagText writes a lag as readLag reads it: "24", "1:30", "-2".
func lagText(minutes int) string {
	sign := ""
	if minutes < 0 {
		sign, minutes = "-", -minutes
	}
	if minutes%60 == 0 {
		return sign + strconv.Itoa(minutes/60)
	}
	return fmt.Sprintf("%s%d:%02d", sign, minutes/60, minutes%60)
}

// sentLinks are the rows of links of a form, and empty ones for more. Each stays in its row, since faults name that.
func sentLinks(sent url.Values) []web.LinkForm {
	list, used := make([]web.LinkForm, mostLinks), 0
	for i := range list {
		n := strconv.Itoa(i)
		list[i] = web.LinkForm{
			From: sent.Get("from_" + n), To: sent.Get("to_" + n), Type: sent.Get("link_" + n), Lag: sent.Get("lag_" + n), Clock: sent.Get("clock_" + n), When: sent.Get("case_" + n),
		}
		if list[i].From+list[i].To != "" {
			used = i + 1
		}
	}
	return list[:min(used+emptyLinks, mostLinks)]
}

// patternReader turns a sent form into a pattern; every field that cannot be read is a fault.
type patternReader struct {
	sent   url.Values
	faults web.Faults
	p      pattern.Pattern
	places map[int]takeoff.Kind
}

func (r *patternReader) fault(field, format string, values ...any) {
	r.faults = append(r.faults, web.FieldFault{Field: field, Message: web.Format{}.Capital(fmt.Sprintf(format, values...))})
}

func readPattern(sent url.Values, typ takeoff.Type) (pattern.Pattern, web.Faults) {
	r := &patternReader{sent: sent, p: pattern.Pattern{Type: typ}, places: map[int]takeoff.Kind{}}
	r.steps()
	for i := range mostLinks {
		r.link(strconv.Itoa(i))
	}
	if ring := r.p.Ring(); ring != nil && len(r.faults) == 0 {
		names := make([]string, len(ring))
		for i, kind := range ring {
			names[i] = gerund(kind)
		}
		r.fault("", "These steps wait for one another in a ring: %s. Take out one of the links, or change the places.", strings.Join(names, ", then "))
	}
	return r.p, r.faults
}

// steps reads the steps in the order of their places.
func (r *patternReader) steps() {
	for _, kind := range pattern.StepKinds() {
		field := "place_" + string(kind)
		text := r.sent.Get(field)
		if text == "" {
			continue
		}
		n, err := strconv.Atoi(text)
		switch {
		case err != nil || n < 1 || n > len(pattern.StepKinds()):
			r.fault(field, "Choose where %s stands.", gerund(kind))
		case r.places[n] != "":
			r.fault(field, "%s stands there already: give each step a place of its own.", gerund(r.places[n]))
		default:
			r.places[n] = kind
		}
	}
	if len(r.places) == 0 && len(r.faults) == 0 {
		r.fault("", "A pattern has at least one step: give one a place.")
	}
	usedBy := map[pattern.Item]takeoff.Kind{}
	for n := 1; n <= len(pattern.StepKinds()); n++ {
		if kind := r.places[n]; kind != "" {
			r.p.Steps = append(r.p.Steps, r.step(kind, usedBy))
		}
	}
}

func (r *patternReader) step(kind takeoff.Kind, usedBy map[pattern.Item]takeoff.Kind) pattern.Step {
	k := string(kind)
	step := pattern.Step{Kind: kind, When: r.when("when_"+k, "place_"+k)}
	prefix := "need_" + k + "_"
	for _, name := range slices.Sorted(maps.Keys(r.sent)) {
		condition, isNeed := strings.CutPrefix(name, prefix)
		if isNeed && condition != "" && r.sent.Get(name) != "" {
			step.Needs = append(step.Needs, pattern.Need{Condition: pattern.Condition(condition), When: r.when(name, "place_"+k)})
		}
	}
	slices.SortStableFunc(step.Needs, func(a, b pattern.Need) int { return cmp.Compare(rankOf(a.Condition), rankOf(b.Condition)) })
	for _, text := range r.sent["item_"+k] {
		item := pattern.Item(text)
		switch first, used := usedBy[item]; {
		case !slices.Contains(pattern.Items(), item):
			r.fault("item_"+k, "There is no such material.")
		case used:
			r.fault("item_"+k, "The %s is needed by %s already: choose the first step that needs it.", itemWords(item), gerund(first))
		default:
			usedBy[item] = kind
			step.Items = append(step.Items, item)
		}
	}
	return step
}

// when reads a case; what is none is a fault of a field.
func (r *patternReader) when(name, field string) pattern.When {
	w := pattern.When(cmp.Or(r.sent.Get(name), string(pattern.Always)))
	if !slices.ContainsFunc(caseChoices(), func(c web.Choice) bool { return c.Value == string(w) }) {
		r.fault(field, "Choose from the list at which openings it is so.")
	}
	if w == pattern.Always {
		return ""
	}
	return w
}

// rankOf is a condition's place in the order in which a building gets them.
func rankOf(c pattern.Condition) int {
	if i := slices.Index(usualConditions(), c); i >= 0 {
		return i
	}
	return len(usualConditions())
}

func (r *patternReader) link(n string) {
	from, to := takeoff.Kind(r.sent.Get("from_"+n)), takeoff.Kind(r.sent.Get("to_"+n))
	if from == "" && to == "" {
		return
	}
	field := "from_" + n
	has := func(kind takeoff.Kind) bool { // whether or not its place could be read
		return slices.Contains(pattern.StepKinds(), kind) && r.sent.Get("place_"+string(kind)) != ""
	}
	switch {
	case from == "" || to == "":
		r.fault(field, "A link has a first and a second step: choose both, or neither.")
	case from == to:
		r.fault(field, "A step does not wait for itself.")
	case !has(from) || !has(to):
		r.fault(field, "%s is not part of this pattern.", gerund(map[bool]takeoff.Kind{true: to, false: from}[has(from)]))
	}
	typ := problem.LinkType(r.sent.Get("link_" + n))
	if !slices.ContainsFunc(linkTypeChoices(), func(c web.Choice) bool { return c.Value == string(typ) }) {
		r.fault(field, "Choose from the list what waits for what.")
	}
	l := pattern.StepLink{From: from, To: to, Type: typ, LagCalendar: r.sent.Get("clock_" + n), When: r.when("case_"+n, field)}
	if slices.ContainsFunc(r.p.Links, func(o pattern.StepLink) bool {
		return o.From == from && o.To == to && o.Type == typ && o.When == l.When
	}) {
		r.fault(field, "This link is there already.")
	}
	l.LagMinutes = r.lag("lag_" + n)
	r.p.Links = append(r.p.Links, l)
}

// lag reads hours that may be negative.
func (r *patternReader) lag(field string) int {
	text, negative := strings.CutPrefix(strings.NewReplacer("−", "-").Replace(strings.TrimSpace(r.sent.Get(field))), "-")
	minutes := parseHours(text, field, func(field, message string) { r.fault(field, "%s", message) })
	switch {
	case minutes == nil:
		return 0
	case *minutes > mostLagMinutes:
		r.fault(field, "That is more than ninety days.")
		return 0
	case negative:
		return -*minutes
	}
	return *minutes
}

// patternLines are what a pattern says, a sentence for each part.
func patternLines(p *pattern.Pattern, f web.Format) (lines []string) {
	where := func(w pattern.When) string {
		if words := whenWords(w); words != "" {
			return ", " + words
		}
		return ""
	}
	for i, step := range p.Steps {
		name := gerund(step.Kind)
		lines = append(lines, fmt.Sprintf("%s is step %d%s", name, i+1, where(step.When)))
		for _, need := range step.Needs {
			lines = append(lines, fmt.Sprintf("%s waits for %s%s", name, conditionWords(need.Condition), where(need.When)))
		}
		for _, item := range step.Items {
			lines = append(lines, fmt.Sprintf("%s needs the %s on site", name, itemWords(item)))
		}
	}
	for _, l := range p.Links {
		lines = append(lines, linkWords(l, f))
	}
	return lines
}

// patternChanges say what becomes of a pattern, in sentences.
func patternChanges(now, next *pattern.Pattern, f web.Format) (changes []string) {
	before, after := patternLines(now, f), patternLines(next, f)
	for _, line := range before {
		if !slices.Contains(after, line) {
			changes = append(changes, "No longer: "+line+".")
		}
	}
	for _, line := range after {
		if !slices.Contains(before, line) {
			changes = append(changes, "Now: "+line+".")
		}
	}
	return changes
}
