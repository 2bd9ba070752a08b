package network_test

import (
	"strings"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

// builder makes small problem documents. Its data date is Monday 2026-06-01T00:00Z and its tasks run round the clock
// unless a test says otherwise.
type builder struct{ p problem.Problem }

var monday = time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)

func newBuilder() *builder {
	return &builder{p: problem.Problem{Version: problem.Version, Zone: "UTC", DataDate: monday}}
}

func (b *builder) problem() *problem.Problem { return &b.p }

func (b *builder) fixed(id string, minutes int) *builder {
	return b.fixedOn(id, minutes, problem.Always)
}

func (b *builder) fixedOn(id string, minutes int, on string) *builder {
	b.p.Tasks = append(b.p.Tasks, problem.Task{ID: id, Kind: "cure", DurationMinutes: &minutes, Calendar: on})
	return b
}

func (b *builder) crewTask(id string, labour int, change func(*problem.Task)) *builder {
	task := problem.Task{ID: id, Kind: "frame", LabourMinutes: &labour}
	if change != nil {
		change(&task)
	}
	b.p.Tasks = append(b.p.Tasks, task)
	return b
}

func (b *builder) crew(id string, heads int, change func(*problem.Crew)) *builder {
	crew := problem.Crew{ID: id, Skills: []string{"frame"}, Heads: heads, Calendar: problem.Always}
	if change != nil {
		change(&crew)
	}
	b.p.Crews = append(b.p.Crews, crew)
	return b
}

// week adds a calendar in UTC with the same shifts from Monday to Friday.
func (b *builder) week(id string, texts ...string) *builder {
	var list []problem.Shift
	for _, text := range texts {
		shift, err := problem.ParseShift(text)
		if err != nil {
			panic(err)
		}
		list = append(list, shift)
	}
	b.p.Calendars = append(b.p.Calendars, problem.Calendar{
		ID: id, Zone: "UTC", Week: problem.Week{Mon: list, Tue: list, Wed: list, Thu: list, Fri: list},
	})
	return b
}

func (b *builder) link(from, to string) *builder {
	return b.relate(from, to, problem.FinishToStart, 0, problem.Always)
}

func (b *builder) relate(from, to string, relation problem.LinkType, lag int, on string) *builder {
	b.p.Links = append(b.p.Links, problem.Link{From: from, To: to, Type: relation, LagMinutes: lag, LagCalendar: on})
	return b
}

func (b *builder) task(id string) *problem.Task {
	for i := range b.p.Tasks {
		if b.p.Tasks[i].ID == id {
			return &b.p.Tasks[i]
		}
	}
	panic("no task " + id)
}

func (b *builder) status(id, started string, remaining int) *builder {
	b.task(id).Status = &problem.Status{Started: mustClock(started), RemainingMinutes: &remaining}
	return b
}

func (b *builder) finished(id, started, finished string) *builder {
	end := mustClock(finished)
	b.task(id).Status = &problem.Status{Started: mustClock(started), Finished: &end}
	return b
}

// mustClock reads "tue 07:30" as a time of the builder's first week; "+1 tue 07:30" is a week later.
func mustClock(text string) time.Time {
	week := 0
	if rest, ok := strings.CutPrefix(text, "+1 "); ok {
		week, text = 1, rest
	} else if rest, ok := strings.CutPrefix(text, "-1 "); ok {
		week, text = -1, rest
	}
	day, hour, ok := strings.Cut(text, " ")
	at, err := time.Parse("15:04", hour)
	index := strings.Index("mon tue wed thu fri sat sun", day)
	if !ok || err != nil || index < 0 {
		panic("time " + text + " is not of the form tue 07:30")
	}
	return monday.AddDate(0, 0, 7*week+index/4).Add(time.Duration(at.Hour())*time.Hour + time.Duration(at.Minute())*time.Minute)
}

func clock(_ require.TestingT, text string) time.Time { return mustClock(text) }

func instant(_ require.TestingT, text string) calendar.Instant {
	return calendar.FromTime(mustClock(text))
}

func compiled(t require.TestingT, b *builder) *network.Compiled {
	c, err := network.Compile(b.problem())
	require.NoError(t, err)
	return c
}
