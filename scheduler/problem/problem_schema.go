package problem

// One table per object of the problem document, in the order of its written form.

var problemFields = []field[Problem]{
	{"version", required, func(w *walker, p *Problem) { p.Version = w.version() }},
	{"zone", required, func(w *walker, p *Problem) { p.Zone = w.text() }},
	{"data_date", required, func(w *walker, p *Problem) { p.DataDate = w.instant() }},
	{"calendars", optional, func(w *walker, p *Problem) { p.Calendars = list(w, objects(calendarFields)) }},
	{"sites", optional, func(w *walker, p *Problem) { p.Sites = list(w, objects(siteFields)) }},
	{"travel", optional, func(w *walker, p *Problem) { p.Travel = list(w, objects(travelFields)) }},
	{"areas", optional, func(w *walker, p *Problem) { p.Areas = list(w, objects(areaFields)) }},
	{"crews", optional, func(w *walker, p *Problem) { p.Crews = list(w, objects(crewFields)) }},
	{"limits", optional, func(w *walker, p *Problem) { p.Limits = list(w, objects(limitFields)) }},
	{"tasks", required, func(w *walker, p *Problem) { p.Tasks = list(w, objects(taskFields)) }},
	{"links", optional, func(w *walker, p *Problem) { p.Links = list(w, objects(linkFields)) }},
	{"gc_dates", optional, func(w *walker, p *Problem) { p.GCDates = list(w, objects(gcDateFields)) }},
	{"frozen_until", optional, func(w *walker, p *Problem) { p.FrozenUntil = new(w.instant()) }},
	{"issued", optional, func(w *walker, p *Problem) { p.Issued = list(w, objects(issuedFields)) }},
	{"out_of_order", optional, func(w *walker, p *Problem) { p.OutOfOrder = oneOf(LetRun, KeepOrder)(w) }},
	{"weights", optional, func(w *walker, p *Problem) { p.Weights = new(object(w, weightFields).weights()) }},
	{"uncertainty", optional, func(w *walker, p *Problem) { p.Uncertainty = new(object(w, uncertaintyFields)) }},
}

var calendarFields = []field[Calendar]{
	{"id", required, func(w *walker, c *Calendar) { c.ID = w.identifier() }},
	{"zone", required, func(w *walker, c *Calendar) { c.Zone = w.text() }},
	{"week", required, func(w *walker, c *Calendar) { c.Week = object(w, weekFields) }},
	{"holidays", optional, func(w *walker, c *Calendar) { c.Holidays = list(w, parsed(ParseDate)) }},
	{"exceptions", optional, func(w *walker, c *Calendar) { c.Exceptions = list(w, objects(exceptionFields)) }},
}

var weekFields = []field[Week]{
	{"mon", optional, func(w *walker, d *Week) { d.Mon = list(w, parsed(ParseShift)) }},
	{"tue", optional, func(w *walker, d *Week) { d.Tue = list(w, parsed(ParseShift)) }},
	{"wed", optional, func(w *walker, d *Week) { d.Wed = list(w, parsed(ParseShift)) }},
	{"thu", optional, func(w *walker, d *Week) { d.Thu = list(w, parsed(ParseShift)) }},
	{"fri", optional, func(w *walker, d *Week) { d.Fri = list(w, parsed(ParseShift)) }},
	{"sat", optional, func(w *walker, d *Week) { d.Sat = list(w, parsed(ParseShift)) }},
	{"sun", optional, func(w *walker, d *Week) { d.Sun = list(w, parsed(ParseShift)) }},
}

var exceptionFields = []field[Exception]{
	{"date", required, func(w *walker, e *Exception) { e.Date = parsed(ParseDate)(w) }},
	{"shifts", required, func(w *walker, e *Exception) { e.Shifts = list(w, parsed(ParseShift)) }},
}

var siteFields = []field[Site]{
	{"id", required, func(w *walker, s *Site) { s.ID = w.identifier() }},
}

var travelFields = []field[Travel]{
	{"from", required, func(w *walker, t *Travel) { t.From = w.identifier() }},
	{"to", required, func(w *walker, t *Travel) { t.To = w.identifier() }},
	{"minutes", required, func(w *walker, t *Travel) { t.Minutes = w.whole() }},
}

var areaFields = []field[Area]{
	{"id", required, func(w *walker, a *Area) { a.ID = w.identifier() }},
	{"site", required, func(w *walker, a *Area) { a.Site = w.identifier() }},
	{"max_crews", optional, func(w *walker, a *Area) { a.MaxCrews = new(w.whole()) }},
	{"setup_minutes", optional, func(w *walker, a *Area) { a.SetupMinutes = w.whole() }},
}

var crewFields = []field[Crew]{
	{"id", required, func(w *walker, c *Crew) { c.ID = w.identifier() }},
	{"skills", required, func(w *walker, c *Crew) { c.Skills = list(w, (*walker).identifier) }},
	{"heads", required, func(w *walker, c *Crew) { c.Heads = w.whole() }},
	{"calendar", required, func(w *walker, c *Crew) { c.Calendar = w.identifier() }},
	{"productivity", optional, func(w *walker, c *Crew) { c.Productivity = table(w, (*walker).number) }},
	{"sites", optional, func(w *walker, c *Crew) { c.Sites = list(w, (*walker).identifier) }},
	{"home_site", optional, func(w *walker, c *Crew) { c.HomeSite = w.identifier() }},
	{"cost_per_hour", optional, func(w *walker, c *Crew) { c.CostPerHour = w.number() }},
	{"away", optional, func(w *walker, c *Crew) { c.Away = list(w, objects(spanFields)) }},
}

var spanFields = []field[Span]{
	{"from", required, func(w *walker, s *Span) { s.From = w.instant() }},
	{"to", required, func(w *walker, s *Span) { s.To = w.instant() }},
}

var limitFields = []field[Limit]{
	{"id", required, func(w *walker, l *Limit) { l.ID = w.identifier() }},
	{"capacity", required, func(w *walker, l *Limit) { l.Capacity = w.whole() }},
	{"calendar", optional, func(w *walker, l *Limit) { l.Calendar = w.identifier() }},
}

var taskFields = []field[Task]{
	{"id", required, func(w *walker, t *Task) { t.ID = w.identifier() }},
	{"kind", required, func(w *walker, t *Task) { t.Kind = w.identifier() }},
	{"site", optional, func(w *walker, t *Task) { t.Site = w.identifier() }},
	{"area", optional, func(w *walker, t *Task) { t.Area = w.identifier() }},
	{"labour_minutes", optional, func(w *walker, t *Task) { t.LabourMinutes = new(w.whole()) }},
	{"min_heads", optional, func(w *walker, t *Task) { t.MinHeads = w.whole() }},
	{"duration_minutes", optional, func(w *walker, t *Task) { t.DurationMinutes = new(w.whole()) }},
	{"calendar", optional, func(w *walker, t *Task) { t.Calendar = w.identifier() }},
	{"uses", optional, func(w *walker, t *Task) { t.Uses = table(w, (*walker).whole) }},
	{"not_before", optional, func(w *walker, t *Task) { t.NotBefore = new(w.instant()) }},
	{"not_before_cause", optional, func(w *walker, t *Task) { t.NotBeforeCause = w.text() }},
	{"deadline", optional, func(w *walker, t *Task) { t.Deadline = new(w.instant()) }},
	{"pin", optional, func(w *walker, t *Task) { t.Pin = new(object(w, pinFields)) }},
	{"status", optional, func(w *walker, t *Task) { t.Status = new(object(w, statusFields)) }},
	{"waits", optional, func(w *walker, t *Task) { t.Waits = w.boolean() }},
}

var pinFields = []field[Pin]{
	{"crew", optional, func(w *walker, p *Pin) { p.Crew = w.identifier() }},
	{"start", optional, func(w *walker, p *Pin) { p.Start = new(w.instant()) }},
}

var statusFields = []field[Status]{
	{"started", required, func(w *walker, s *Status) { s.Started = w.instant() }},
	{"remaining_minutes", optional, func(w *walker, s *Status) { s.RemainingMinutes = new(w.whole()) }},
	{"finished", optional, func(w *walker, s *Status) { s.Finished = new(w.instant()) }},
	{"crew", optional, func(w *walker, s *Status) { s.Crew = w.identifier() }},
}

var linkFields = []field[Link]{
	{"from", required, func(w *walker, l *Link) { l.From = w.identifier() }},
	{"to", required, func(w *walker, l *Link) { l.To = w.identifier() }},
	{"type", optional, func(w *walker, l *Link) {
		l.Type = oneOf(FinishToStart, StartToStart, FinishToFinish, StartToFinish)(w)
	}},
	{"lag_minutes", optional, func(w *walker, l *Link) { l.LagMinutes = w.whole() }},
	{"lag_calendar", optional, func(w *walker, l *Link) { l.LagCalendar = w.identifier() }},
}

var gcDateFields = []field[GCDate]{
	{"id", required, func(w *walker, d *GCDate) { d.ID = w.identifier() }},
	{"tasks", required, func(w *walker, d *GCDate) { d.Tasks = list(w, (*walker).identifier) }},
	{"date", required, func(w *walker, d *GCDate) { d.Date = w.instant() }},
	{"damages_per_day", optional, func(w *walker, d *GCDate) { d.DamagesPerDay = new(w.number()) }},
}

var issuedFields = []field[Issued]{
	{"task", required, func(w *walker, i *Issued) { i.Task = w.identifier() }},
	{"crew", optional, func(w *walker, i *Issued) { i.Crew = w.identifier() }},
	{"start", required, func(w *walker, i *Issued) { i.Start = w.instant() }},
	{"resume", optional, func(w *walker, i *Issued) { i.Resume = new(w.instant()) }},
}

// givenWeights tells a weight that was left out from one that is 0.
type givenWeights struct{ lateness, change, travel, early *float64 }

var weightFields = []field[givenWeights]{
	{"lateness", optional, func(w *walker, g *givenWeights) { g.lateness = new(w.number()) }},
	{"change", optional, func(w *walker, g *givenWeights) { g.change = new(w.number()) }},
	{"travel", optional, func(w *walker, g *givenWeights) { g.travel = new(w.number()) }},
	{"early", optional, func(w *walker, g *givenWeights) { g.early = new(w.number()) }},
}

func (g givenWeights) weights() Weights {
	weights := DefaultWeights()
	for _, w := range []struct {
		given *float64
		into  *float64
	}{{g.lateness, &weights.Lateness}, {g.change, &weights.Change}, {g.travel, &weights.Travel}, {g.early, &weights.Early}} {
		if w.given != nil {
			*w.into = *w.given
		}
	}
	return weights
}
