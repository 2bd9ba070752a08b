package problem

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// Validate returns everything in a problem that the planner could not work with, section by section and in each
// section in order: unknown and repeated identifiers, values out of range, statuses that contradict themselves, rings
// of links, tasks that no crew can do. After it returns none, the planner may assume that all references resolve and
// that the links form no ring.
//
// It computes no dates, so work whose crews never have time for it is not found here; the planner reports it as
// unplanned. Cost is O(calendars + crews + tasks + links), with a small table of the distinct demands on crews.
func Validate(p *Problem) Faults { return validate(p, nil) }

// validator checks one problem; the identifier sets are filled before the checks that use them.
type validator struct {
	p      *Problem
	faults Faults
	// What a reader already found at fault: the very places, and those with every object around them. For a fault at
	// tasks[3].pin.crew, unreadable holds also tasks[3].pin, tasks[3] and tasks.
	reported, unreadable map[string]bool
	zones                map[string]string // zone -> what is wrong with it, "" when nothing
	hints                int               // suggestions left: each compares with every identifier

	calendars, sites, areas, crews, limits, tasks identifiers

	workless map[string]bool   // calendars without any working time
	demands  map[demand]string // what crews were asked for -> the rule that refuses every one, "" when some can
}

// validate checks what a reader could make out, without repeating the reader's own faults or their consequences.
func validate(p *Problem, readFaults Faults) Faults {
	v := &validator{
		p: p, reported: map[string]bool{}, unreadable: map[string]bool{}, hints: 100,
		zones: map[string]string{}, workless: map[string]bool{}, demands: map[demand]string{},
	}
	for _, f := range readFaults {
		v.reported[f.Place] = true
		for place := f.Place; place != ""; place = place[:max(0, strings.LastIndexAny(place, ".["))] {
			v.unreadable[place] = true
		}
	}
	v.collectIdentifiers()
	v.checkHead()
	v.checkCalendars()
	v.checkPlaces()
	v.checkCrews()
	v.checkLimits()
	v.checkTasks()
	v.checkLinks()
	v.checkRings()
	v.checkGCDates()
	v.checkIssued()
	v.checkWeights()
	v.checkUncertainty()
	return v.faults
}

// spot is an element of one of the document's lists; the zero value is the document itself.
type spot struct {
	list  string
	index int
}

func (s spot) String() string {
	if s.list == "" {
		return ""
	}
	return s.list + "[" + strconv.Itoa(s.index) + "]"
}

func (s spot) field(name string) string {
	switch {
	case s.list == "":
		return name
	case name == "":
		return s.String()
	}
	return s.String() + "." + name
}

// fault records a fault of a field, unless the reader already found that field at fault.
func (v *validator) fault(at spot, field, remedy, format string, values ...any) {
	place := at.field(field)
	if v.reported[place] {
		return
	}
	v.faults = append(v.faults, Fault{Place: place, Message: fmt.Sprintf(format, values...), Remedy: remedy})
}

// identifiers is the set of identifiers of one list.
type identifiers struct {
	what  string // "crew", for messages
	index map[string]int
	names []string
	// partial: an identifier of the list could not be read, so one that is not in the set may still exist.
	partial bool
}

func (v *validator) collectIdentifiers() {
	p := v.p
	v.calendars = collect(v, "calendar", "calendars", len(p.Calendars), func(i int) string { return p.Calendars[i].ID })
	v.sites = collect(v, "site", "sites", len(p.Sites), func(i int) string { return p.Sites[i].ID })
	v.areas = collect(v, "area", "areas", len(p.Areas), func(i int) string { return p.Areas[i].ID })
	v.crews = collect(v, "crew", "crews", len(p.Crews), func(i int) string { return p.Crews[i].ID })
	v.limits = collect(v, "limit", "limits", len(p.Limits), func(i int) string { return p.Limits[i].ID })
	v.tasks = collect(v, "task", "tasks", len(p.Tasks), func(i int) string { return p.Tasks[i].ID })
}

func collect(v *validator, what, list string, n int, id func(int) string) identifiers {
	set := identifiers{what: what, index: make(map[string]int, n), names: make([]string, 0, n)}
	set.partial = v.unreadable[list] && n == 0
	for i := range n {
		if id(i) == "" {
			set.partial = set.partial || v.unreadable[list]
			continue
		}
		if _, ok := set.index[id(i)]; !ok {
			set.index[id(i)] = i
			set.names = append(set.names, id(i))
		}
	}
	return set
}

// own checks the identifier of an element of its own list: there, and not given twice.
func (v *validator) own(at spot, set *identifiers, id string) {
	if strings.TrimSpace(id) == "" {
		v.fault(at, "id", "", "must not be blank")
		return
	}
	if first := set.index[id]; first != at.index {
		v.fault(at, "id", "", "%s %q is already %s", set.what, id, spot{at.list, first})
	}
}

// known checks a reference and reports whether it resolves.
func (v *validator) known(at spot, field string, set *identifiers, id string) bool {
	if _, ok := set.index[id]; ok {
		return true
	}
	if set.what == "calendar" && id == Always {
		return true
	}
	if !set.partial {
		v.fault(at, field, v.didYouMean(id, set.names), "unknown %s %q", set.what, id)
	}
	return false
}

func (v *validator) didYouMean(id string, names []string) string {
	const most = 5000
	if v.hints == 0 || len(names) > most {
		return ""
	}
	v.hints--
	if near := nearest(id, names); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return ""
}

// minutes checks a length of time.
func (v *validator) minutes(at spot, field string, minutes int) {
	switch {
	case minutes < 0:
		v.fault(at, field, "", "%d minutes is negative", minutes)
	case minutes > MaxMinutes:
		v.fault(at, field, "", "%d minutes is more than 20 years (%d)", minutes, MaxMinutes)
	}
}

// amount checks a factor, cost or weight.
func (v *validator) amount(at spot, field string, amount float64) {
	if amount < 0 || math.IsNaN(amount) || math.IsInf(amount, 0) {
		v.fault(at, field, "", "%v must be 0 or more", amount)
	}
}

// instant checks a time built in memory; the reader holds a document's times to the same rules.
func (v *validator) instant(at spot, field string, t time.Time) {
	switch year := t.UTC().Year(); {
	case t.Second() != 0 || t.Nanosecond() != 0:
		v.fault(at, field, "times are on whole minutes", "%s is not on a whole minute", t.Format(time.RFC3339Nano))
	case year < FirstYear-1 || year > LastYear+1: // the document's year is the local one
		v.fault(at, field, fmt.Sprintf("the year must lie in %d to %d", FirstYear, LastYear), "time %s cannot be used", t.Format(time.RFC3339))
	}
}

func (v *validator) zone(at spot, field, name string) {
	trouble, ok := v.zones[name]
	if !ok {
		if _, err := LoadZone(name); err != nil {
			trouble = err.Error()
		}
		v.zones[name] = trouble
	}
	if trouble != "" {
		v.fault(at, field, "write an IANA name such as America/Chicago", "%s", trouble)
	}
}

// LoadZone finds an IANA zone by name. Unlike time.LoadLocation it refuses the empty name and the machine's own zone,
// which would let the same document mean different things on different machines.
func LoadZone(name string) (*time.Location, error) {
	if name == "" || name == "Local" {
		return nil, fmt.Errorf("zone %q is not an IANA zone", name)
	}
	zone, err := time.LoadLocation(name)
	if err != nil {
		return nil, fmt.Errorf("zone %q is not known", name)
	}
	return zone, nil
}

func (v *validator) checkHead() {
	document := spot{}
	if v.p.Version != Version {
		v.fault(document, "version", "", "version %d is not known; this program reads version %d", v.p.Version, Version)
	}
	v.zone(document, "zone", v.p.Zone)
	v.instant(document, "data_date", v.p.DataDate)
	if v.p.FrozenUntil != nil {
		v.instant(document, "frozen_until", *v.p.FrozenUntil)
	}
	switch v.p.OutOfOrder {
	case "", LetRun, KeepOrder:
	default:
		v.fault(document, "out_of_order", "write let_run or keep_order", "%q is not known", v.p.OutOfOrder)
	}
}
