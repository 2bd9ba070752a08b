package calendar

// Next is the start of the first working minute at or after t: t itself in working time, the horizon's end if no
// working minute is left. O(log intervals).
func (c *Calendar) Next(t Instant) Instant {
	i := c.startedBy(t)
	if i > 0 && t < c.finishes[i-1] {
		return t
	}
	if i < len(c.starts) {
		return c.starts[i]
	}
	return c.to
}

// Previous is the end of the last working minute at or before t: t itself if the minute before it works, the horizon's
// start if no working minute ends by t. O(log intervals).
func (c *Calendar) Previous(t Instant) Instant {
	i := c.startedBy(t - 1) // the minute that ends at t starts one earlier
	if i == 0 {
		return c.from
	}
	return min(t, c.finishes[i-1])
}

// Position is the number of working minutes in [horizon start, t), 0 before the horizon and Total after it. It never
// falls as t grows. O(log intervals).
func (c *Calendar) Position(t Instant) WorkMinutes {
	i := c.startedBy(t)
	if i == 0 {
		return 0
	}
	return c.before[i-1] + WorkMinutes(min(t, c.finishes[i-1])-c.starts[i-1])
}

// FirstAt is the earliest instant of the horizon with Position p, the place of a finish: it stays at the shift's end.
// FirstAt(0) is the horizon's start, FirstAt of more than Total is Never, of less than 0 BeforeAll. For 0 < p,
// FirstAt(p) <= t holds exactly when p <= Position(t). O(log intervals).
func (c *Calendar) FirstAt(p WorkMinutes) Instant {
	switch {
	case p < 0:
		return BeforeAll
	case p == 0:
		return c.from
	case p > c.total:
		return Never
	}
	i := c.filledBefore(p) - 1
	return c.starts[i] + Instant(p-c.before[i])
}

// LastAt is the latest instant of the horizon with Position p, the place of a start: it goes to the next shift's start.
// LastAt(Total) is the horizon's end, LastAt of more than Total is Never, of less than 0 BeforeAll. O(log intervals).
func (c *Calendar) LastAt(p WorkMinutes) Instant {
	switch {
	case p < 0:
		return BeforeAll
	case p == c.total:
		return c.to
	case p > c.total:
		return Never
	}
	i := c.filledBefore(p+1) - 1
	return c.starts[i] + Instant(p-c.before[i])
}

// Count is the number of working minutes from a to b, negative when b is earlier. O(log intervals).
func (c *Calendar) Count(a, b Instant) WorkMinutes { return c.Position(b) - c.Position(a) }

// Add moves t by n working minutes. For n > 0 it is the first instant by which n of them have passed since t; for n < 0
// it counts back: the latest instant from which -n of them pass until t; Add(t, 0) is t, in working time or not. It is
// Never or BeforeAll when the horizon holds too little working time. O(log intervals).
func (c *Calendar) Add(t Instant, n WorkMinutes) Instant {
	switch {
	case n > 0:
		return c.FirstAt(c.Position(t) + n)
	case n < 0:
		return c.LastAt(c.Position(t) + n)
	}
	return t
}

// LatestWithAdd is the latest t with Add(t, n) <= s: the mirror of Add for a backward pass. It is Never when every
// instant will do (n < 0 and s behind all work) and BeforeAll when none in the horizon does. O(log intervals).
func (c *Calendar) LatestWithAdd(s Instant, n WorkMinutes) Instant {
	switch {
	case n > 0:
		// FirstAt(p) <= s exactly when p <= Position(s), so Position(t) may be as large as Position(s) - n.
		return c.LastAt(c.Position(s) - n)
	case n < 0:
		// Counting back lands on the start of a working minute. It lands at or before s exactly when that minute has
		// begun by s, that is when it is one of the Position(s+1) first ones.
		p := c.Position(s+1) - 1 - n
		if p >= c.total {
			return Never
		}
		return c.LastAt(p)
	}
	return s
}

// EarliestWithAdd is the earliest t with Add(t, n) >= s: where work of n minutes must start so that it does not finish
// before s. It may lie outside working time; Next gives the start of work. It is BeforeAll when every instant will do
// (n > 0 and s before all work) and Never when none in the horizon does. O(log intervals).
func (c *Calendar) EarliestWithAdd(s Instant, n WorkMinutes) Instant {
	switch {
	case n > 0:
		// Add(t, n) ends a working minute. It ends at or after s exactly when it is not among those that end by s-1.
		p := c.Position(s-1) + 1 - n
		if p <= 0 {
			return BeforeAll
		}
		return c.FirstAt(p)
	case n < 0:
		// LastAt(p) >= s exactly when p >= Position(s).
		return c.FirstAt(c.Position(s) - n)
	}
	return s
}
