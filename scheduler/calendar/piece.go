package calendar

// EarliestPiece is the first place for n working minutes in one piece that starts at or after start and finishes at or
// after finish; BeforeAll binds nothing. The piece pauses for non-working time only: it starts with a working minute
// and ends with one. A piece of no minutes lies at the later of the two bounds, in working time or not. Both answers
// are Never when the horizon holds no such place. n is not negative. O(log intervals).
func (c *Calendar) EarliestPiece(start, finish Instant, n WorkMinutes) (Instant, Instant) {
	if n == 0 {
		t := max(start, finish)
		return t, t
	}
	i := c.startedBy(start)
	if finish <= start && i > 0 && start+Instant(n) <= c.finishes[i-1] {
		return start, start + Instant(n) // most work fits into the shift it starts in
	}
	var p WorkMinutes
	if i > 0 {
		p = c.before[i-1] + WorkMinutes(min(start, c.finishes[i-1])-c.starts[i-1])
	}
	if finish > start {
		// The piece must not be among those that end by finish-1; see EarliestWithAdd.
		p = max(p, c.Position(finish-1)+1-n)
	}
	if p+n > c.total {
		return Never, Never
	}
	return c.LastAt(p), c.FirstAt(p + n)
}

// LatestPiece is the mirror of EarliestPiece: the last place for n working minutes in one piece that starts at or
// before start and finishes at or before finish; Never binds nothing. A piece of no minutes lies at the earlier of the
// two bounds. Both answers are BeforeAll when the horizon holds no such place. n is not negative. O(log intervals).
func (c *Calendar) LatestPiece(start, finish Instant, n WorkMinutes) (Instant, Instant) {
	if n == 0 {
		t := min(start, finish)
		return t, t
	}
	p := c.Position(finish) - n
	if start < finish {
		p = min(p, c.Position(start+1)-1) // the minute it starts with has begun by start
	}
	if p < 0 {
		return BeforeAll, BeforeAll
	}
	return c.LastAt(p), c.FirstAt(p + n)
}
