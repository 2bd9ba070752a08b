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

// topological orders n tasks, predecessors first (Kahn 1962, "Topological sorting of large networks"). Tasks whose
// predecessors are all placed are taken first come, first served from the document's order, so the same document always gives the same
// order. When links form a ring it gives the ring instead. O(tasks + links).
func topological(n int, links []Link) (order, ring []TaskIndex) {
	waiting := make([]int32, n) // by task: predecessors not yet placed
	for i := range links {
		waiting[links[i].To]++
	}
	followers := successorRows(n, links)
	order = make([]TaskIndex, 0, n)
	for t := range TaskIndex(n) {
		if waiting[t] == 0 {
			order = append(order, t)
		}
	}
	for next := 0; next < len(order); next++ {
		for _, l := range followers.row(int32(order[next])) {
			to := links[l].To
			if waiting[to]--; waiting[to] == 0 {
				order = append(order, to)
			}
		}
	}
	if len(order) == n {
		return order, nil
	}
	return nil, findRing(n, links, waiting)
}

// findRing walks backwards among the tasks that could not be placed. Each of them waits for another of them, so the walk
// must come back to a task it has seen, and what lies between is a ring.
func findRing(n int, links []Link, waiting []int32) []TaskIndex {
	before := make([]TaskIndex, n) // by task: one unplaced predecessor
	for i := range links {
		if waiting[links[i].From] > 0 {
			before[links[i].To] = links[i].From
		}
	}
	at := TaskIndex(slices.IndexFunc(waiting, func(n int32) bool { return n > 0 }))
	seen := make([]bool, n)
	for ; !seen[at]; at = before[at] {
		seen[at] = true
	}
	ring := []TaskIndex{at}
	for t := before[at]; t != at; t = before[t] {
		ring = append(ring, t)
	}
	slices.Reverse(ring)
	first := slices.Index(ring, slices.Min(ring))
	return append(slices.Clone(ring[first:]), ring[:first]...)
}

// successorRows lists, for each task, the links out of it in ascending order.
func successorRows(n int, links []Link) rows[LinkIndex] {
	r := rows[LinkIndex]{offsets: make([]int32, n+1), items: make([]LinkIndex, len(links))}
	for i := range links {
		r.offsets[links[i].From+1]++
	}
	for t := range n {
		r.offsets[t+1] += r.offsets[t]
	}
	place := slices.Clone(r.offsets[:n])
	for i := range links {
		from := links[i].From
		r.items[place[from]] = LinkIndex(i)
		place[from]++
	}
	return r
}
