// Package problemtest makes random problem documents for property tests: valid by construction, of any size, with every
// feature of the document in them, and the same for the same seed on every machine.
//
// A document looks like the trade's work: openings on several sites, each a chain of survey, order, deliver, frame,
// glaze, hang and punch, tied to one another by further links of all four types. For every task of crew work the
// generator keeps one crew in mind that can do it (the witness), so that no task is refused for want of a crew; kinds,
// sites, heads and limits of the task are chosen to suit the witness.
//
//	p := problemtest.Random(seed, problemtest.Everything(200))
//
// What it does not do: it plans nothing, and does not promise that pins and the frozen window can be kept, that GC dates
// can be met, or that started work obeyed its links. Those are what the planner is tried with.
package problemtest

// Options say how large a document is and how often each feature comes up. A share is the chance of one task, link or
// crew to have the feature, 0 to 1.
type Options struct {
	Tasks        int
	Crews        int
	Sites        int // at least 1
	AreasPerSite int
	Limits       int
	GCDates      int

	LongestLabour int // minutes of crew work for one head, at least 1
	Fixed         float64
	Zero          float64 // tasks of no length
	ExtraLinks    float64 // links beyond each opening's chain, for each task
	OtherTypes    float64 // links that are SS, FF or SF
	Lags          float64
	NegativeLags  float64 // of the links with lag

	Shifts         bool // several calendars with shifts, holidays, exceptions and zones; else everything works always
	Travel         bool
	Setup          bool
	CrowdedAreas   bool // areas with max_crews
	LimitCalendars bool
	Away           float64 // crews
	Restricted     float64 // crews allowed on some sites only
	Paces          float64 // crews with productivities other than 1

	NotBefore float64
	Deadlines float64
	Pins      float64
	Waits     float64
	Finished  float64 // share of the work reported finished; as much again is started
	KeepOrder bool
	Issued    float64
	Frozen    bool
	Weights   bool
	Uncertain float64 // share of kinds, crews and named tasks whose figures vary in forecasts
}

// Everything has all features at the rates of a firm in the middle of its jobs, with crews and sites in proportion to
// the tasks: 85,000 tasks get 60 crews on 20 sites.
func Everything(tasks int) Options {
	return Options{
		Tasks:        tasks,
		Crews:        min(60, 3+tasks/40),
		Sites:        min(20, 1+tasks/60),
		AreasPerSite: min(12, 1+tasks/50),
		Limits:       min(12, 1+tasks/100),
		GCDates:      min(60, 1+tasks/30),

		LongestLabour: 960, Fixed: 0.2, Zero: 0.05, ExtraLinks: 0.3, OtherTypes: 0.4, Lags: 0.4, NegativeLags: 0.3,
		Shifts: true, Travel: true, Setup: true, CrowdedAreas: true, LimitCalendars: true, Away: 0.5, Restricted: 0.3, Paces: 0.6,
		NotBefore: 0.1, Deadlines: 0.1, Pins: 0.05, Waits: min(0.02, 0.002+1/float64(max(1, tasks))), Finished: 0.1, Issued: 0.3, Frozen: true, Uncertain: 0.4,
	}
}

// Harsh has few crews, most of them away or held to one site, and so many pins, issued starts, reports and links of all
// types that much of what was locked cannot be kept.
func Harsh(tasks int) Options {
	o := Everything(tasks)
	o.Crews, o.Limits = min(4, o.Crews), 6
	o.Zero, o.ExtraLinks, o.OtherTypes, o.Lags, o.NegativeLags = 0.15, 1, 0.7, 0.7, 0.5
	o.Away, o.Restricted = 0.9, 0.5
	o.NotBefore, o.Deadlines, o.Pins, o.Issued, o.Finished, o.Waits = 0.3, 0.3, 0.3, 0.9, 0.25, 0.005
	o.Weights = true
	return o
}

// Plain has crews and finish-to-start links only, in a calendar that always works.
func Plain(tasks int) Options {
	return Options{Tasks: tasks, Crews: min(60, 2+tasks/40), Sites: 1, GCDates: 1, LongestLabour: 600, ExtraLinks: 0.5}
}

// Tiny is small enough to try every order of the work: at most 8 tasks and 3 crews, with travel, set-up, limits,
// shifts and all link types, but nothing reported or locked.
func Tiny(tasks int) Options {
	return Options{
		Tasks: min(8, tasks), Crews: 3, Sites: 2, AreasPerSite: 2, Limits: 1, GCDates: 2,
		LongestLabour: 600, Fixed: 0.15, Zero: 0.05, ExtraLinks: 0.3, OtherTypes: 0.3, Lags: 0.3, NegativeLags: 0.2,
		Shifts: true, Travel: true, Setup: true, CrowdedAreas: true, LimitCalendars: true, Away: 0.2, Restricted: 0.2, Paces: 0.5,
		NotBefore: 0.1,
	}
}
