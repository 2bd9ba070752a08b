package server

import (
	"strings"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/recovery"
	"jambwright/scheduler/takeoff"
	"jambwright/web"
)

// namer turns the planner's ids into names for sentences, from the directory of stored things.
type namer struct {
	d     *models.Directory
	names web.Names
}

func newNamer(d *models.Directory) *namer {
	n := &namer{d: d, names: web.Names{
		Tasks: map[string]string{}, Crews: map[string]string{}, Limits: d.Limits, Calendars: d.Calendars,
		Areas: map[string]string{}, Handovers: map[string]web.Handover{}, Materials: map[string]web.Material{},
	}}
	for code, crew := range d.Crews {
		n.names.Crews[code] = crew.Name
	}
	for id, name := range d.Areas {
		project, area, _ := strings.Cut(id, "/")
		n.names.Areas[pattern.AreaID(project, area)] = name
	}
	return n
}

// know adds the names of tasks by their keys; anything else is passed over.
func (n *namer) know(keys ...string) *namer {
	for _, key := range keys {
		if _, known := n.names.Tasks[key]; known || key == "" {
			continue
		}
		if ordinary, crew, long := recovery.HoursOf(key); long {
			n.names.Calendars[key] = n.names.Calendars[ordinary] + ", longer hours of crew " + n.names.Crews[crew]
			continue
		}
		k, err := pattern.TaskKey(key).Parse()
		if err != nil {
			continue
		}
		n.names.Tasks[key] = n.task(k)
		switch k.Kind {
		case pattern.Handovers:
			n.names.Handovers[key] = n.handover(k)
		case takeoff.Order, pattern.Lead, takeoff.Deliver:
			n.names.Materials[key] = n.material(k)
		}
	}
	return n
}

// knowRemakes adds remakes that a trial ordered and that are not stored.
func (n *namer) knowRemakes(f *pattern.Firm) *namer {
	for i := range f.Projects {
		p := &f.Projects[i]
		for _, m := range p.Remakes {
			if _, stored := n.d.Releases[p.Code+"/"+m.ID]; !stored {
				n.d.Releases[p.Code+"/"+m.ID] = models.ReleaseEntry{Remake: true, Item: m.Item, Mark: m.Opening}
			}
		}
	}
	return n
}

// task is a task in words: "framing of D-204", "order of glass of level L2".
func (n *namer) task(k pattern.Key) string {
	switch k.Kind {
	case pattern.Handovers:
		h := n.handover(k)
		return h.Condition + " on " + h.Area
	case takeoff.Survey:
		return "survey of " + n.area(k)
	case takeoff.Order, pattern.Lead, takeoff.Deliver:
		return map[takeoff.Kind]string{
			takeoff.Order: "order of ", pattern.Lead: "making of ", takeoff.Deliver: "delivery of ",
		}[k.Kind] + n.material(k).What
	}
	return gerund(k.Kind) + " of " + k.Subject
}

// subject is what a task is done on, for pages that show the kind beside it: a mark, an area, a release.
func (n *namer) subject(key string) string {
	k, err := pattern.TaskKey(key).Parse()
	if err != nil {
		return key
	}
	switch k.Kind {
	case pattern.Handovers:
		return n.task(k)
	case takeoff.Survey:
		return n.area(k)
	case takeoff.Order, pattern.Lead, takeoff.Deliver:
		return n.material(k).What
	}
	return k.Subject
}

// gerund is a kind of work as a noun.
func gerund(kind takeoff.Kind) string {
	switch kind {
	case takeoff.Order:
		return "ordering"
	case takeoff.Deliver:
		return "unloading"
	case takeoff.Frame:
		return "framing"
	case takeoff.Glaze:
		return "glazing"
	case takeoff.Hang:
		return "hanging"
	case takeoff.Punch:
		return "punch work"
	}
	return string(kind)
}

func (n *namer) area(k pattern.Key) string {
	if name := n.d.Areas[k.Project+"/"+k.Subject]; name != "" {
		return name
	}
	return k.Subject
}

func (n *namer) handover(k pattern.Key) web.Handover {
	h := web.Handover{Condition: conditionWords(k.Condition), Area: n.area(k)}
	if stored := n.d.Handover(k); stored != nil {
		switch {
		case stored.Forecast != nil:
			h.Basis, h.Day = "forecast", stored.Forecast.Date
		case stored.Promised != nil:
			h.Basis, h.Day = "promised", stored.Promised.Date
		}
	}
	return h
}

// conditionWords is a condition as people say it: "walls boarded".
func conditionWords(c pattern.Condition) string { return strings.ReplaceAll(string(c), "_", " ") }

func (n *namer) material(k pattern.Key) web.Material {
	entry := n.d.Releases[k.Project+"/"+k.Subject]
	m := web.Material{What: "release " + k.Subject, Supplier: entry.Supplier}
	if entry.Remake {
		m.What = "remade " + itemWords(entry.Item) + " of " + entry.Mark
	}
	if day, promised := entry.Promised[max(k.Drop, 1)]; promised {
		m.Basis, m.Day = "promised", day.Date
	}
	return m
}

// itemWords is an item of material as people say it.
func itemWords(item pattern.Item) string {
	if item == pattern.Leaf {
		return "door leaf"
	}
	return strings.ReplaceAll(string(item), "_", " ")
}

// why is the sentence for a reason.
func (n *namer) why(f web.Format, r problem.Reason, crew string) string {
	return f.Why(r, crew, n.know(r.Ref).names)
}

// crewByID is a crew's name by its row; "" for none.
func (n *namer) crewByID(id *int64) string {
	if id == nil {
		return ""
	}
	for _, crew := range n.d.Crews {
		if crew.ID == *id {
			return crew.Name
		}
	}
	return ""
}

// reasonKind tells what a task before another one is to it.
func reasonKind(kind takeoff.Kind) problem.ReasonKind {
	switch kind {
	case pattern.Handovers:
		return problem.ReasonHandover
	case takeoff.Order, pattern.Lead, takeoff.Deliver:
		return problem.ReasonMaterial
	}
	return problem.ReasonPredecessor
}

// notes are the planner's notes with names where it writes keys of tasks.
func (n *namer) notes(notes []string) []string {
	named := make([]string, len(notes))
	for i, note := range notes {
		words := strings.Split(note, " ")
		for j, word := range words {
			key := strings.TrimRight(word, ".,:;")
			if name := n.know(key).names.Tasks[key]; name != "" {
				words[j] = name + word[len(key):]
			}
		}
		named[i] = strings.TrimPrefix(strings.Join(words, " "), "task ")
	}
	return named
}
