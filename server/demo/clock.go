package demo

import (
	"sync"
	"time"
)

// Clock is a clock that can be set while the past of the scenario is told, and then follows the real one. It is safe for
// concurrent use.
type Clock struct {
	real func() time.Time

	mu  sync.Mutex
	set time.Time // zero: follow the real clock
}

// NewClock makes a clock that follows a real one.
func NewClock(real func() time.Time) *Clock { return &Clock{real: real} }

// Now is the time told, or the real one.
func (c *Clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.set.IsZero() {
		return c.real()
	}
	return c.set
}

// Set makes it a certain time until the next Set or Follow.
func (c *Clock) Set(t time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.set = t
}

// Follow lets the real clock rule again.
func (c *Clock) Follow() { c.Set(time.Time{}) }
