package importing

import "jambwright/server/sheet"

var crewHeadings = sheet.Vocabulary{
	{Field: fName, Names: []string{
		"crew", "crew name", "name", "crew no", "team", "team name", "gang", "crew id", "crew lead name", "crews", "id", "no",
	}},
	{Field: fForeman, Names: []string{"foreman", "lead", "crew lead", "leader", "crew leader", "supervisor", "lead hand", "leadman", "foreperson", "lead installer"}},
	{Field: fHeads, Names: []string{
		"heads", "head count", "headcount", "crew size", "size", "people", "persons", "men", "workers", "hands", "no of people", "number of people",
		"no of heads", "no of workers", "members", "installers", "no in crew", "no of men", "qty", "quantity", "manpower", "no of installers",
	}},
	{Field: fSkills, Names: []string{
		"skills", "skill", "can do", "kinds of work", "kind of work", "work", "work types", "task kinds", "kinds of task", "capabilities", "does", "trades", "trade",
		"scope", "tasks", "specialty", "specialties", "work kinds", "type of work", "abilities", "qualified for",
	}},
	{Field: "survey", Names: []string{"survey", "measure", "field measure", "measuring"}},
	{Field: "order", Names: []string{"order", "ordering", "purchasing"}},
	{Field: "deliver", Names: []string{"deliver", "delivery", "unloading"}},
	{Field: "frame", Names: []string{"frame", "framing", "frames"}},
	{Field: "glaze", Names: []string{"glaze", "glazing", "glass"}},
	{Field: "hang", Names: []string{"hang", "hanging", "doors", "door hanging", "hardware"}},
	{Field: "punch", Names: []string{"punch", "punch list", "punchlist"}},
	{Field: fHomeSite, Names: []string{"home site", "home", "site", "base", "home base", "project", "job", "main site", "job site", "jobsite", "yard"}},
	{Field: fSites, Names: []string{"sites", "other sites", "may work at", "allowed sites", "jobs", "projects", "sites allowed"}},
	{Field: fCalendar, Names: []string{"calendar", "work calendar", "week", "work week", "workweek", "work days", "days"}},
	{Field: fShift, Names: []string{"shift", "hours", "working hours", "work hours", "shift hours", "regular hours", "daily hours", "hours of work"}},
	{Field: fStart, Names: []string{"start", "start time", "shift start", "starts", "begin"}},
	{Field: fFinishTime, Names: []string{"finish", "end", "finish time", "end time", "shift end", "shift finish", "ends", "quit"}},
	{Field: fCost, Names: []string{
		"cost per hour", "cost an hour", "cost hour", "cost hr", "cost per hr", "hourly cost", "rate", "hourly rate", "labor rate", "labour rate", "cost", "crew rate", "rate hr",
		"crew cost per hour", "crew cost an hour", "cost of the whole crew per hour", "rate per hour", "hr", "per hr", "per hour", "usd per hour", "usd hr", "cost h", "rate hour", "billing rate", "burdened rate",
	}},
	{Field: fProductivity, Names: []string{"productivity", "prod", "factor", "productivity factor", "efficiency", "pace", "prod factor"}},
	{Field: fAway, Names: []string{"away", "absent", "absence", "absences", "vacation", "off", "days off", "time off", "unavailable", "not available", "away dates", "leave", "pto"}},
	{Field: fAwayFrom, Names: []string{"away from", "absent from", "off from", "vacation from", "vacation start", "away start", "off start", "unavailable from", "leave from", "from", "start of absence"}},
	{Field: fAwayTo, Names: []string{"away to", "away until", "away through", "away thru", "absent to", "off to", "vacation to", "vacation end", "away end", "off until", "unavailable to", "leave to", "to", "until", "through", "back", "end of absence"}},
	{Field: fNotes, Names: notesNames, Many: true},
	{Field: fOther, Names: []string{"phone", "cell", "mobile", "email", "truck", "vehicle", "union", "local"}, Many: true},
}

var handoverHeadings = sheet.Vocabulary{
	{Field: fCondition, Names: []string{
		"condition", "handover", "hand over", "handover condition", "conditions", "prerequisite", "requirement", "milestone", "item", "activity", "what", "work",
		"handovers", "work by others", "by others", "description", "task", "scope", "need", "needed",
	}, Repeat: sheet.Never},
	{Field: fLevel, Names: levelNames, Repeat: sheet.Always},
	{Field: fArea, Names: areaNames, Repeat: sheet.OnlyWithBlankOfWider, Within: fLevel},
	{Field: fRoom, Names: roomNames, Many: true},
	{Field: fTrade, Names: []string{
		"trade", "by", "responsible", "responsible party", "responsibility", "party", "owner", "contractor", "subcontractor", "sub", "who", "owed by", "by trade",
		"trade partner", "company", "by whom", "other trade",
	}},
	{Field: fPromised, Names: []string{
		"promised", "promised date", "date promised", "promise", "promise date", "committed", "commit date", "commitment", "due", "due date", "planned", "planned date",
		"plan", "target", "target date", "scheduled", "schedule", "schedule date", "scheduled date", "gc date", "baseline", "handover date", "date", "ready", "ready date", "needed by", "required", "gc schedule",
	}},
	{Field: fForecast, Names: []string{
		"forecast", "forecast date", "our forecast", "expected", "expected date", "eta", "anticipated", "projected", "current", "current date", "revised", "revised date", "latest", "our date", "estimate", "estimated",
	}},
	{Field: fActual, Names: []string{
		"actual", "actual date", "actually", "done", "date done", "complete", "completed", "date complete", "completed date", "handed over", "received", "finished", "achieved", "turned over", "handed over on", "accepted",
	}},
	{Field: fNotes, Names: notesNames, Many: true},
	{Field: fOther, Names: []string{"no", "id", "status", "ref", "percent", "pct", "contact"}, Many: true},
}

var supplierHeadings = sheet.Vocabulary{
	{Field: fName, Names: []string{
		"supplier", "supplier name", "vendor", "vendor name", "manufacturer", "mfr", "name", "company", "source", "firm", "suppliers", "fabricator", "maker",
	}, Repeat: sheet.Always},
	{Field: fItems, Names: []string{
		"supplies", "items", "item", "material", "materials", "product", "products", "what", "scope", "component", "goods", "material item", "category", "type", "description",
	}},
	{Field: fLeast, Names: leads([]string{"least", "min", "minimum", "shortest", "best", "optimistic", "low", "earliest", "fastest"})},
	{Field: fLikely, Names: append(leads([]string{"likely", "most likely", "typical", "typ", "mid", "middle", "median", "normal", "expected", "standard", "std", "usual", "average", "avg", "current", "quoted", "mode"}), "lead time", "lead", "lead days", "lead times", "lead time days", "lead time weeks", "lead weeks", "lead wks", "lead time wks", "lt", "weeks", "wks", "days", "lead time working days", "lead time calendar days", "lead time business days", "working days", "business days", "calendar days", "delivery time", "delivery", "lead time wk", "lead time d")},
	{Field: fMost, Names: leads([]string{"most", "max", "maximum", "longest", "worst", "pessimistic", "high", "latest", "slowest"})},
	{Field: fDays, Names: []string{"day kind", "kind of days", "days are", "days counted", "day type", "days type", "unit", "units", "time unit"}},
	{Field: fBasis, Names: []string{"order basis", "basis", "ordered from", "order from", "ordered on", "order on", "release basis", "measure basis"}},
	{Field: fCalendar, Names: []string{"calendar", "supplier calendar", "work calendar"}},
	{Field: fContact, Names: []string{"contact", "contact name", "phone", "email", "rep", "salesperson"}, Many: true},
	{Field: fNotes, Names: notesNames, Many: true},
	{Field: fOther, Names: []string{"no", "id", "terms", "city", "address", "account", "status"}, Many: true},
}

// leads makes the headings of one lead time: "lead days least", "min lead time weeks".
func leads(words []string) []string {
	var names []string
	units := []string{"", " days", " weeks", " wks", " working days", " calendar days", " business days", " wk"}
	for _, w := range words {
		for _, u := range units {
			names = append(names, w+u, w+" lead"+u, w+" lead time"+u, "lead "+w+u, "lead time "+w+u, "lead"+u+" "+w, "lead time"+u+" "+w)
			if u != "" {
				names = append(names, u[1:]+" "+w)
			}
		}
	}
	return names
}

var gcDateHeadings = sheet.Vocabulary{
	{Field: fDate, Names: []string{
		"date", "gc date", "required date", "required by", "due date", "due", "deadline", "contract date", "milestone date", "complete by", "completion date",
		"date required", "must finish", "must finish by", "finish by", "finish date", "need date", "needed by", "by", "finish", "target date", "end date", "hold date", "completion", "when",
	}},
	{Field: fName, Names: []string{
		"name", "milestone", "milestone name", "gc milestone", "date name", "description", "title", "what", "event", "item", "contract milestone", "gc dates", "dates", "activity", "requirement", "desc",
	}},
	{Field: fLevel, Names: levelNames, Repeat: sheet.Never},
	{Field: fArea, Names: areaNames, Repeat: sheet.Never},
	{Field: fWork, Names: []string{
		"work complete", "work", "kind of work", "task kind", "kind", "task", "work kind", "complete", "scope", "work to complete", "tasks complete", "trade", "through", "stage", "type of work",
	}},
	{Field: fDamages, Names: []string{
		"damages per day", "damages a day", "damages", "damages day", "ld", "lds", "ld per day", "ld day", "ld s", "liquidated damages", "liquidated damages per day", "liquidated damages day",
		"lds per day", "lds day", "penalty", "penalty per day", "damages per calendar day", "cost of delay", "per day", "damages each day", "l ds",
	}},
	{Field: fNotes, Names: notesNames, Many: true},
	{Field: fOther, Names: []string{"no", "id", "status", "ref", "contract ref", "section", "article"}, Many: true},
}
