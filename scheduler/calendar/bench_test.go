package calendar_test

import (
	"math/rand/v2"
	"testing"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// benchmarkCalendar is four years of two shifts a day with federal holidays; instants are spread over all of it.
func benchmarkCalendar(b *testing.B) (*calendar.Calendar, []calendar.Instant) {
	spec := problem.Calendar{
		Zone: "America/Chicago", Week: weekdays(shifts(b, "07:00-12:00", "12:30-15:30")),
		Holidays: calendar.FederalHolidays(2026, 2029),
	}
	c := compiled(b, spec, "2026-01-01T00:00:00Z", "2030-01-01T00:00:00Z")
	from, to := c.Horizon()
	random := rand.New(rand.NewPCG(1, 2))
	instants := make([]calendar.Instant, 1<<16) // too many for the branch predictor to learn by heart
	for i := range instants {
		instants[i] = from + calendar.Instant(random.Int64N(int64(to-from)))
	}
	return c, instants
}

func BenchmarkPosition(b *testing.B) {
	c, instants := benchmarkCalendar(b)
	var sum calendar.WorkMinutes
	i := 0
	for b.Loop() {
		sum += c.Position(instants[i&(1<<16-1)])
		i++
	}
	_ = sum
}

func BenchmarkAdd(b *testing.B) {
	c, instants := benchmarkCalendar(b)
	b.ReportAllocs()
	var sum calendar.Instant
	i := 0
	for b.Loop() {
		sum += c.Add(instants[i&(1<<16-1)], calendar.WorkMinutes(i&2047))
		i++
	}
	_ = sum
}

func BenchmarkCompile_FourYears(b *testing.B) {
	spec := problem.Calendar{
		Zone: "America/Chicago", Week: weekdays(shifts(b, "07:00-12:00", "12:30-15:30")),
		Holidays: calendar.FederalHolidays(2026, 2029),
	}
	from, to := at(b, "2026-01-01T00:00:00Z"), at(b, "2030-01-01T00:00:00Z")
	b.ReportAllocs()
	for b.Loop() {
		if _, err := calendar.Compile(spec, from, to); err != nil {
			b.Fatal(err)
		}
	}
}
