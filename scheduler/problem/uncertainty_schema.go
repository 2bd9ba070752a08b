package problem

// The tables of the uncertainty block, as those of the problem document.

var uncertaintyFields = []field[Uncertainty]{
	{"causes", optional, func(w *walker, u *Uncertainty) { u.Causes = list(w, objects(causeFields)) }},
	{"spreads", optional, func(w *walker, u *Uncertainty) { u.Spreads = list(w, objects(spreadFields)) }},
	{"damages", optional, func(w *walker, u *Uncertainty) { u.Damages = list(w, objects(damageFields)) }},
}

var causeFields = []field[CommonCause]{
	{"id", required, func(w *walker, c *CommonCause) { c.ID = w.identifier() }},
	{"kind", optional, func(w *walker, c *CommonCause) { c.Kind = w.text() }},
}

var spreadFields = []field[Spread]{
	{"id", required, func(w *walker, s *Spread) { s.ID = w.identifier() }},
	{"tasks", optional, func(w *walker, s *Spread) { s.Tasks = list(w, (*walker).identifier) }},
	{"kinds", optional, func(w *walker, s *Spread) { s.Kinds = list(w, (*walker).identifier) }},
	{"crews", optional, func(w *walker, s *Spread) { s.Crews = list(w, (*walker).identifier) }},
	{"minutes", optional, func(w *walker, s *Spread) { s.Minutes = new(object(w, distributionFields)) }},
	{"factor", optional, func(w *walker, s *Spread) { s.Factor = new(object(w, distributionFields)) }},
	{"slip_minutes", optional, func(w *walker, s *Spread) { s.SlipMinutes = new(object(w, distributionFields)) }},
	{"causes", optional, func(w *walker, s *Spread) { s.Causes = table(w, (*walker).number) }},
}

var damageFields = []field[Damage]{
	{"id", required, func(w *walker, d *Damage) { d.ID = w.identifier() }},
	{"tasks", optional, func(w *walker, d *Damage) { d.Tasks = list(w, (*walker).identifier) }},
	{"kinds", optional, func(w *walker, d *Damage) { d.Kinds = list(w, (*walker).identifier) }},
	{"chance", required, func(w *walker, d *Damage) { d.Chance = w.number() }},
	{"remake_minutes", required, func(w *walker, d *Damage) { d.RemakeMinutes = new(object(w, distributionFields)) }},
	{"remake_calendar", required, func(w *walker, d *Damage) { d.RemakeCalendar = w.identifier() }},
	{"rework", optional, func(w *walker, d *Damage) { d.Rework = new(w.number()) }},
	{"causes", optional, func(w *walker, d *Damage) { d.Causes = table(w, (*walker).number) }},
}

var distributionFields = []field[Distribution]{
	{"triangular", optional, func(w *walker, d *Distribution) { d.Triangular = new(object(w, threePointFields)) }},
	{"pert", optional, func(w *walker, d *Distribution) { d.Pert = new(object(w, threePointFields)) }},
	{"uniform", optional, func(w *walker, d *Distribution) { d.Uniform = new(object(w, rangeFields)) }},
	{"log_normal", optional, func(w *walker, d *Distribution) { d.LogNormal = new(object(w, logNormalFields)) }},
	{"values", optional, func(w *walker, d *Distribution) { d.Values = list(w, (*walker).number) }},
	{"chances", optional, func(w *walker, d *Distribution) { d.Chances = list(w, (*walker).number) }},
}

var threePointFields = []field[ThreePoint]{
	{"least", required, func(w *walker, p *ThreePoint) { p.Least = w.number() }},
	{"likely", required, func(w *walker, p *ThreePoint) { p.Likely = w.number() }},
	{"most", required, func(w *walker, p *ThreePoint) { p.Most = w.number() }},
}

var rangeFields = []field[Range]{
	{"least", required, func(w *walker, r *Range) { r.Least = w.number() }},
	{"most", required, func(w *walker, r *Range) { r.Most = w.number() }},
}

var logNormalFields = []field[LogNormal]{
	{"median", required, func(w *walker, l *LogNormal) { l.Median = w.number() }},
	{"sigma", required, func(w *walker, l *LogNormal) { l.Sigma = w.number() }},
}
