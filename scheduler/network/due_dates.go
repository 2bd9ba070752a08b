package network

import (
	"math/bits"

	"jambwright/scheduler/calendar"
)

// dueDates holds the finish that a date asks of few of many tasks: a bit a task, and the dates of the tasks whose bit is
// set, in order. Where one task in ten has a date, a million tasks take 1 MB in place of 8.
type dueDates struct {
	has    dirty
	before []int32            // by word of has: dates of the tasks before it
	dates  []calendar.Instant // by task with a date
}

// newDueDates collects deadlines and GC dates of a document whose names are compiled.
func newDueDates(c *Compiled) dueDates {
	var d dueDates
	d.has.reset(c.Tasks())
	for t := range TaskIndex(c.Tasks()) {
		if c.Deadline(t) != calendar.Never {
			d.has.add(int32(t))
		}
	}
	for i := range c.GCDates {
		for _, t := range c.GCDates[i].Tasks {
			d.has.add(int32(t))
		}
	}
	d.before = make([]int32, len(d.has))
	count := 0
	for i, word := range d.has {
		d.before[i] = int32(count)
		count += bits.OnesCount64(word)
	}
	d.fill(c, count)
	return d
}

func (d *dueDates) fill(c *Compiled, count int) {
	d.dates = make([]calendar.Instant, 0, count)
	for t := d.has.next(0); t >= 0; t = d.has.next(t + 1) {
		d.dates = append(d.dates, c.Deadline(TaskIndex(t)))
	}
	for i := range c.GCDates {
		for _, t := range c.GCDates[i].Tasks {
			due := &d.dates[d.place(t)]
			*due = min(*due, c.GCDates[i].Date)
		}
	}
}

// place is where the date of a task lies that has one.
func (d *dueDates) place(t TaskIndex) int {
	below := d.has[t>>6] & (1<<(t&63) - 1)
	return int(d.before[t>>6]) + bits.OnesCount64(below)
}

// of is the date of a task, Never if it has none.
func (d *dueDates) of(t TaskIndex) calendar.Instant {
	if d.has[t>>6]>>(t&63)&1 == 0 {
		return calendar.Never
	}
	return d.dates[d.place(t)]
}
