package crewing

import (
	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

// TaskIndex is a task's place in the problem's list of tasks.
type TaskIndex = network.TaskIndex

// CrewIndex is a crew's place in the problem's list of crews.
type CrewIndex = network.CrewIndex

// None is the index of no task or crew.
const None = network.None

// State is how far a task's planning is settled before any schedule is made.
type State uint8

// The states of a task.
const (
	Open    State = iota // not started: crew and start are to be chosen
	Started              // under way: its resume is to be chosen
	Done                 // finished: nothing to plan
	LeftOut              // waits without a date or follows what does, or asks more of a capacity than there is
)

// relation says which ends of two tasks a link ties.
type relation uint8

const (
	fromStart relation = 1 << iota // measured from the predecessor's start, else from its finish
	toFinish                       // bounds the successor's finish, else its start
)

// link is one relation as seen from one of its ends; task is the other end.
type link struct {
	task     TaskIndex
	axis     network.CalendarIndex // lag calendar
	lag      calendar.WorkMinutes
	relation relation
}

// use is what a task takes of a shared capacity while it runs.
type use struct {
	resource int32
	units    int32
}

// resource is a shared capacity: a limit, or the number of crews at once in an area.
type resource struct {
	capacity int32
	id       string
	isArea   bool
}

// wish is a place that a task should keep if it can: a pinned start or a line of the frozen window.
type wish struct {
	crew     CrewIndex        // None: any
	start    calendar.Instant // Never: any
	isFrozen bool             // from the issued plan, not from a pin
}

// issuedLine is one task's place in the plan in force.
type issuedLine struct {
	task  TaskIndex
	crew  CrewIndex // None: not named
	start calendar.Instant
}

// rest is where the plan in force has what is left of a task under way go on, the data date at the earliest: Never without an
// issued line. crew is None where the line names none.
type rest struct {
	at   calendar.Instant
	crew CrewIndex
}

// bound is a lower bound on a start or finish and what set it.
type bound struct {
	at    calendar.Instant
	cause Cause
}

// crewData is what generation needs to know of a crew. The first move starts from home, measured from the data date, and
// from the last finished task, measured from its finish.
type crewData struct {
	axis     network.CalendarIndex
	shortest calendar.WorkMinutes // least minutes of any task it may do: shorter gaps are of no use
	home     int32                // site, noSite without one
	last     TaskIndex            // its last finished task or None
	ready    calendar.WorkMinutes // position of the data date
	lastEnd  calendar.WorkMinutes // position of the finish of its last finished task
}

// spot is where work is done.
type spot struct {
	site int32
	area int32 // 0 without one
}

// noSite is the site index of work that names none, and of crews without a home; no travel leads there or away.
const noSite = 0

// Model is a compiled problem with what crews and shared capacities need. It is immutable once made and may be shared.
// Slices have one entry per task index unless they say otherwise.
type Model struct {
	*network.Compiled
	axes []*axis // by calendar index, and behind those the crews' own that no option uses

	state        []State
	actual       []CrewIndex        // reported crew of started and done work, or None
	actualStart  []calendar.Instant // of started and done work
	actualFinish []calendar.Instant // of done work
	release      []bound            // what bounds its begin whatever the schedule: data date, not_before, done work
	ending       []bound            // the same for its finish, BeforeAll where nothing does
	wishes       []wish
	place        []int32 // in places
	issuedOf     []int32 // its line in issued, or None
	rest         []rest  // of started work

	usesFrom []int32 // uses of task t are uses[usesFrom[t]:usesFrom[t+1]]
	uses     []use
	inFrom   []int32 // links that bind t, from tasks yet to be planned
	in       []link
	outFrom  []int32
	out      []link
	firm     *firmLinks // nil where no follower may go ahead

	crews     []crewData
	resources []resource
	places    []spot                 // distinct pairs of site and area
	travel    []calendar.WorkMinutes // sites x sites
	sites     int
	setup     []calendar.WorkMinutes // per area, 0 first
	issued    []issuedLine           // of tasks without a status, in the order of the document
	weights   problem.Weights
	lastDone  calendar.Instant // latest finish of done work, BeforeAll without any

	order []TaskIndex          // tasks to plan, in an order that links allow, else as in the document
	why   map[TaskIndex]string // of tasks left out
}

func (m *Model) usesOf(t TaskIndex) []use { return m.uses[m.usesFrom[t]:m.usesFrom[t+1]] }
func (m *Model) into(t TaskIndex) []link  { return m.in[m.inFrom[t]:m.inFrom[t+1]] }
func (m *Model) outOf(t TaskIndex) []link { return m.out[m.outFrom[t]:m.outFrom[t+1]] }

// move is the crew working time lost between two tasks of one crew in a row: travel between sites, else the set-up of
// the area that is entered. Work without an area counts as elsewhere on its site.
func (m *Model) move(a, b TaskIndex) calendar.WorkMinutes {
	return m.moveBetween(m.place[a], m.place[b])
}

func (m *Model) moveBetween(a, b int32) calendar.WorkMinutes {
	if a == b {
		return 0
	}
	from, to := &m.places[a], &m.places[b]
	if from.site != to.site {
		return m.travel[int(from.site)*m.sites+int(to.site)]
	}
	return m.setup[to.area]
}

// homeMove is the travel of a crew's first move from home.
func (m *Model) homeMove(c CrewIndex, t TaskIndex) calendar.WorkMinutes {
	return m.travel[int(m.crews[c].home)*m.sites+int(m.places[m.place[t]].site)]
}

// firstPosition is the least position at which a crew can start its first task.
func (m *Model) firstPosition(c CrewIndex, t TaskIndex) calendar.WorkMinutes {
	crew := &m.crews[c]
	p := crew.ready + m.homeMove(c, t)
	if crew.last != None {
		p = max(p, crew.lastEnd+m.move(crew.last, t))
	}
	return p
}
