// Package problem holds the two documents that the planning core speaks: the problem (what is to be planned) and the
// plan (the result). Both are plain values; the same core plans a problem read from a file and one built from stored
// rows. Read and ReadPlan decode strictly, Validate finds every fault at once, Write and WritePlan encode.
//
//	{"version": 1, "zone": "America/Chicago", "data_date": "2026-03-02T07:00:00-06:00",
//	 "calendars": [{"id": "days", "zone": "America/Chicago", "week": {"mon": ["07:00-15:30"], "tue": ["07:00-15:30"]}}],
//	 "sites": [{"id": "mill"}],
//	 "crews": [{"id": "birch", "skills": ["frame", "glaze"], "heads": 2, "calendar": "days"}],
//	 "tasks": [{"id": "D-204/frame", "kind": "frame", "site": "mill", "labour_minutes": 480},
//	           {"id": "D-204/glaze", "kind": "glaze", "site": "mill", "labour_minutes": 240}],
//	 "links": [{"from": "D-204/frame", "to": "D-204/glaze"}]}
//
// frame takes 480 / 2 = 240 minutes, Monday 7:00 to 11:00; glaze follows it, 11:00 to 13:00.
//
// # Conventions
//
// Instants are time.Time values on whole minutes, in UTC after reading; the writers show them in the document's zone.
// Durations are whole minutes of working time of a named calendar. Intervals are half-open, [start, finish). Identifiers
// are strings, unique within their list. The calendar id "always" is built in: every minute of it works.
//
// # What the fields mean
//
// Calendars. A shift runs from the first instant by which the local clock has reached its start to the first by which it
// has reached its end. A shift across the hour that comes twice in autumn is an hour longer; a reading that the clock
// skips in spring means the instant of the change.
//
// Working time of a task. Crew work runs in its crew's calendar less the crew's absences, fixed work in its own
// calendar; both only where the calendars of all limits that the task uses are open. Work pauses for non-working time
// and for nothing else, and its crew stays with it while it pauses. Work of some length begins on a working minute and
// ends at the end of one, so that what ends with a shift ends at closing time, not the next morning. Work of no length
// stands at any instant, working or not, and holds nothing. A limit used with 0 units is not used.
//
// Length on a crew. See CrewMinutes. The remaining minutes of started work are used as they are reported.
//
// Links. A lag above 0 ends at the first instant by which that many working minutes of its calendar have passed, a lag
// below 0 begins at the last instant since which they have; a lag of 0 is the instant itself. FS and SS hold the
// successor's start, FF and SF its finish.
//
// Limits and areas. Units of a limit and a crew's place in an area are held from start to finish, nights included, for
// started work from its resume. Fixed work in an area has no crew.
//
// Moves. From one task of a crew to its next, travel (another site) or set-up (another area of the same site; work without
// an area counts as elsewhere) must fit in crew working time, limits aside. The first move from the data date starts at
// the crew's home site, and the way from its last finished task must fit too, counted from that finish.
//
// Status. Finished work keeps its dates and crew. Started work keeps its start and crew, whatever the crew's skills, and
// runs its remaining minutes in one piece from resume, at the data date or later. Under let_run no link into it binds;
// under keep_order its resume and finish obey them. Links out of it count from its actual start and its planned finish.
//
// Locks. A pinned crew does the work, or nobody. A pinned start, and crew and start of a task that is issued to begin
// before frozen_until and has neither a status nor a pin, hold unless the place has become impossible; then the plan
// carries a MovedNote. The rest of a task under way keeps the resume that it was issued with as far as that pays, for which no
// figure counts.
//
// Left out. Unfinished work that waits is left out with all that follows it over links of any type, and so is work that
// its crews or calendar have no time for.
//
// Figures. A GC date's forecast is the latest finish of its tasks; with one of them left out it has none and costs
// nothing. Lateness counts in days of 24 hours with their fraction. Changes counts the issued lines of tasks without a
// status that have another start or crew now, or none. Travel counts set-up and the way from home too. Idle is crew
// working time between the data date and a crew's last finish in which it neither works nor moves. The total is lateness
// cost, changes, crew time, and minutes from data date to makespan, each times its weight. Crew time, under the weight of
// travel, is travel and idle minutes and a twentieth (FlowShare) of the flow: the sum of the minutes from data date to the
// finish of each unfinished task of the plan.
//
// # The uncertainty block
//
// What is not certain, for the forecast; see Uncertainty, Spread, Damage and Distribution for what each field means:
//
//	"uncertainty": {
//	  "causes": [{"id": "Northlight", "kind": "supplier"}],
//	  "spreads": [
//	    {"id": "hours", "kinds": ["frame", "glaze"], "factor": {"log_normal": {"median": 1, "sigma": 0.25}}},
//	    {"id": "glass", "tasks": ["R3/deliver"], "minutes": {"pert": {"least": 28800, "likely": 43200, "most": 72000}},
//	     "causes": {"Northlight": 0.7}},
//	    {"id": "walls", "tasks": ["D-204/frame"], "slip_minutes": {"values": [0, 7200], "chances": [0.7, 0.3]}}],
//	  "damages": [{"id": "breakage", "kinds": ["glaze"], "chance": 0.03, "remake_minutes": {"uniform": {"least": 14400, "most": 28800}},
//	     "remake_calendar": "always"}]
//	}
//
// # What this package does not do
//
// It computes no dates. It reads, validates and writes.
package problem
