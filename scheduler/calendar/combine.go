package calendar

// Without is the calendar less the given intervals, which may come in any order and overlap: a crew's calendar less the
// times it is away. The horizon stays. O((intervals + away) log away).
func (c *Calendar) Without(away []Interval) *Calendar {
	taken := FromIntervals(away, c.from, c.to)
	b := builder{from: c.from, to: c.to}
	next := 0
	for i := range c.starts {
		rest := c.interval(i)
		for next < len(taken.starts) && taken.finishes[next] <= rest.Start {
			next++
		}
		for k := next; k < len(taken.starts) && taken.starts[k] < rest.Finish; k++ {
			b.add(Interval{rest.Start, taken.starts[k]})
			rest.Start = taken.finishes[k]
		}
		b.add(rest)
	}
	return b.calendar()
}

// Intersect is the calendar that works when both do, over the horizon that both cover: a task that needs a hoist works
// in its own time and the hoist's. O(intervals of both).
func (c *Calendar) Intersect(other *Calendar) *Calendar {
	from := max(c.from, other.from)
	b := builder{from: from, to: max(from, min(c.to, other.to))}
	for i, k := 0, 0; i < len(c.starts) && k < len(other.starts); {
		b.add(Interval{max(c.starts[i], other.starts[k]), min(c.finishes[i], other.finishes[k])})
		if c.finishes[i] < other.finishes[k] {
			i++
		} else {
			k++
		}
	}
	return b.calendar()
}
