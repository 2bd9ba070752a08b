package slippage

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/problem"
)

func day(text string) problem.Date {
	d, err := problem.ParseDate(text)
	if err != nil {
		panic(err)
	}
	return d
}

func dates(texts ...string) []problem.Date {
	list := make([]problem.Date, len(texts))
	for i, t := range texts {
		list[i] = day(t)
	}
	return list
}

func actual(text string) *problem.Date { d := day(text); return &d }

// NIST/SEMATECH e-Handbook of Statistical Methods, section 7.2.6.2, quoted from memory and worked by hand: twelve gauge
// measurements, whose 90th percentile is 95.1981 (rank 0.9 x 13 = 11.7: 95.1959 and seven tenths of the way to 95.1990).
func TestPercentile_OfTheHandbook(t *testing.T) {
	t.Parallel()
	values := []float64{
		95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.0610, 95.1591, 95.1195, 95.1065, 95.0925, 95.1990, 95.1682,
	}
	slices.Sort(values)
	assert.InDelta(t, 95.1981, Percentile(values, 0.9), 0.00005)
}

func TestSpread_ByHand(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name string
		days []int
		want Spread
	}{
		{"none", nil, Spread{}},
		{"one value is every percentile", []int{3}, Spread{1, 3, 3, 3, 3, 3}},
		// Ranks 0.75, 1.5 and 2.25 of two values: below the first, half way, beyond the last.
		{"two", []int{0, 5}, Spread{2, 0, 0, 2.5, 5, 5}},
		// Ranks 1.25, 2.5 and 3.75 of four: 1 + 1/4 of 1, half way from 2 to 6, 6 + 3/4 of 4.
		{"four", []int{1, 2, 6, 10}, Spread{4, 1, 1.25, 4, 9, 10}},
		// Ranks 2, 4 and 6 of seven are whole.
		{"seven", []int{-3, 0, 0, 2, 4, 7, 21}, Spread{7, -3, 0, 2, 7, 21}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, c.want, SpreadOf(c.days))
		})
	}
}

// The story of the package comment, by the calendar: 4 to 10 December is 6 days, to the 14th 4 more, to the 11th 7.
func TestStory_OfThePackageComment(t *testing.T) {
	t.Parallel()
	s := Story{Promises: dates("2026-12-04", "2026-12-10", "2026-12-14"), Actual: actual("2026-12-11")}
	assert.Equal(t, []int{6, 4}, s.Steps())
	assert.Equal(t, 2, s.Slips())
	assert.Equal(t, 10, s.Moved())
	days, known := s.Outcome()
	assert.True(t, known)
	assert.Equal(t, 7, days)
}

func TestStory_GainsRepeatsAndSilence(t *testing.T) {
	t.Parallel()
	gained := Story{Promises: dates("2026-12-10", "2026-12-10", "2026-12-08", "2026-12-09")}
	assert.Equal(t, []int{-2, 1}, gained.Steps(), "a date said twice is one promise")
	assert.Equal(t, 1, gained.Slips())
	assert.Equal(t, -1, gained.Moved())
	_, known := gained.Outcome()
	assert.False(t, known, "an open condition has no outcome")
	silent := Story{Actual: actual("2026-12-10")}
	_, known = silent.Outcome()
	assert.False(t, known, "nobody promised anything")
	assert.Zero(t, silent.Moved())
}

func TestDays_OverMonthsYearsAndLeapDays(t *testing.T) {
	t.Parallel()
	assert.Equal(t, 6, Days(day("2026-12-04"), day("2026-12-10")))
	assert.Equal(t, 366, Days(day("2028-01-01"), day("2029-01-01")), "2028 is a leap year")
	assert.Equal(t, -29, Days(day("2028-03-01"), day("2028-02-01")))
	assert.Equal(t, 8, Days(day("2026-10-30"), day("2026-11-07")), "clocks going back make no day longer")
}

// Partitions handed over 3 late, 1 early, on the day, and 10 late after two slips; one open story has slipped and one has
// not. Outcomes in order -1 0 3 10: ranks 1.25, 2.5, 3.75 give -0.75, 1.5 and 8.25.
func TestRecords_ByHand(t *testing.T) {
	t.Parallel()
	stories := []Story{
		{Trade: "Partitions", Condition: "walls", Promises: dates("2026-11-02"), Actual: actual("2026-11-05")},
		{Trade: "Partitions", Condition: "walls", Promises: dates("2026-11-02"), Actual: actual("2026-11-01")},
		{Trade: "Partitions", Condition: "walls", Promises: dates("2026-11-02"), Actual: actual("2026-11-02")},
		{Trade: "Partitions", Condition: "walls", Promises: dates("2026-11-02", "2026-11-06", "2026-11-10"), Actual: actual("2026-11-12")},
		{Trade: "Partitions", Condition: "ceiling", Promises: dates("2026-11-20", "2026-11-27")},
		{Trade: "Partitions", Condition: "ceiling", Promises: dates("2026-11-20")},
		{Trade: "Flooring", Condition: "floor", Promises: dates("2026-12-01")},
		{Trade: "Nobody", Condition: "power"},
	}
	want := Record{
		Name: "Partitions", Promised: 6, HandedOver: 4, Late: 2, OnTheDay: 1, Early: 1, Open: 2, OpenLater: 1, Slips: 3,
		Days: []int{-1, 0, 3, 10}, Spread: Spread{4, -1, -0.75, 1.5, 8.25, 10},
	}
	assert.Equal(t, []Record{{Name: "Flooring", Promised: 1, Open: 1}, want}, ByTrade(stories))
	names := []string{}
	for _, r := range ByCondition(stories) {
		names = append(names, r.Name)
	}
	assert.Equal(t, []string{"ceiling", "floor", "walls"}, names, "what nobody promised has no record")
}

func TestRecords_DoNotDependOnTheOrderOfStories(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		base := day("2026-01-05")
		at := func(n int) problem.Date {
			return problem.DateOf(midnight(base).Add(time.Duration(n) * 24 * time.Hour))
		}
		offset := rapid.IntRange(-40, 400)
		var stories []Story
		for range rapid.IntRange(0, 12).Draw(rt, "stories") {
			s := Story{Trade: rapid.SampledFrom([]string{"A", "B", ""}).Draw(rt, "trade"), Condition: "c"}
			for range rapid.IntRange(0, 4).Draw(rt, "promises") {
				s.Promises = append(s.Promises, at(offset.Draw(rt, "promise")))
			}
			if rapid.Bool().Draw(rt, "handed over") {
				d := at(offset.Draw(rt, "actual"))
				s.Actual = &d
			}
			stories = append(stories, s)
		}
		records := ByTrade(stories)
		back := slices.Clone(stories)
		slices.Reverse(back)
		require.Equal(rt, records, ByTrade(back))
		for _, r := range records {
			require.Equal(rt, r.Promised, r.HandedOver+r.Open)
			require.Equal(rt, r.HandedOver, r.Late+r.OnTheDay+r.Early)
			require.Len(rt, r.Days, r.HandedOver)
			p := r.Spread
			require.True(rt, p.Least <= p.Lower && p.Lower <= p.Median && p.Median <= p.Upper && p.Upper <= p.Most, "%+v", p)
		}
		for i := range stories { // the steps of a story add up to its way
			sum := 0
			for _, step := range stories[i].Steps() {
				sum += step
			}
			require.Equal(rt, stories[i].Moved(), sum)
		}
	})
}
