package network

import (
	"fmt"
	"slices"
	"strings"
)

// CycleError says that tasks wait for one another in a ring: each is linked to the next, the last to the first.
type CycleError struct {
	Tasks []string // in the order of the links, beginning with the one listed first in the document
}

// Error lists the ring.
func (e *CycleError) Error() string {
	ring := strings.Join(append(slices.Clone(e.Tasks), e.Tasks[0]), " -> ")
	return fmt.Sprintf("links form a ring of %d tasks: %s\ntake out one of these links", len(e.Tasks), ring)
}

// sortTasks fills Order, predecessors first (Kahn 1962, "Topological sorting of large networks"). Tasks whose
// predecessors are all placed are taken first come, first served from the document's order, so the same document always
// gives the same order. When links form a ring it gives the ring instead. O(tasks + links).
func (c *Compiled) sortTasks() (ring []TaskIndex) {
	n := TaskIndex(c.Tasks())
	waiting := make([]int32, n) // by task: predecessors not yet placed
	c.Order = make([]TaskIndex, 0, n)
	for t := range n {
		waiting[t] = int32(len(c.Incoming(t)))
		if waiting[t] == 0 {
			c.Order = append(c.Order, t)
		}
	}
	for next := 0; next < len(c.Order); next++ {
		for _, l := range c.Outgoing(c.Order[next]) {
			to := c.Links[l].To
			if waiting[to]--; waiting[to] == 0 {
				c.Order = append(c.Order, to)
			}
		}
	}
	if len(c.Order) == int(n) {
		return nil
	}
	return c.findRing(waiting)
}

// findRing walks backwards among the tasks that could not be placed. Each of them waits for another of them, so the
// walk must come back to a task it has seen, and what lies between is a ring.
func (c *Compiled) findRing(waiting []int32) []TaskIndex {
	before := func(t TaskIndex) TaskIndex {
		links := c.Incoming(t)
		return links[slices.IndexFunc(links, func(l Link) bool { return waiting[l.From] > 0 })].From
	}
	at := TaskIndex(slices.IndexFunc(waiting, func(n int32) bool { return n > 0 }))
	seen := make([]bool, c.Tasks())
	for ; !seen[at]; at = before(at) {
		seen[at] = true
	}
	ring := []TaskIndex{at}
	for t := before(at); t != at; t = before(t) {
		ring = append(ring, t)
	}
	slices.Reverse(ring)
	first := slices.Index(ring, slices.Min(ring))
	return append(slices.Clone(ring[first:]), ring[:first]...)
}
