package problem

import (
	"fmt"
	"strings"
)

func (v *validator) checkLinks() {
	for i := range v.p.Links {
		l, at := &v.p.Links[i], spot{"links", i}
		v.known(at, "from", &v.tasks, l.From)
		v.known(at, "to", &v.tasks, l.To)
		switch l.Relation() {
		case FinishToStart, StartToStart, FinishToFinish, StartToFinish:
		default:
			v.fault(at, "type", "write FS, SS, FF or SF", "%q is not known", l.Type)
		}
		if l.LagMinutes > MaxMinutes || l.LagMinutes < -MaxMinutes {
			v.fault(at, "lag_minutes", "", "%d minutes is more than 20 years (%d)", l.LagMinutes, MaxMinutes)
		}
		if l.LagMinutes != 0 {
			v.usable(at, "lag_calendar", l.Calendar())
		} else {
			v.known(at, "lag_calendar", &v.calendars, l.Calendar())
		}
		if l.From == l.To && l.From != "" {
			v.fault(at, "to", "take the link out", "task %q is linked to itself", l.From)
		}
	}
}

// checkRings reports rings of tasks that wait for one another, whatever the types of their links: each at the link that
// closes it, the ones through the first tasks first. A ring is looked for in every group of tasks that reach one another,
// its closing link set aside, and the search repeated, so that no ring is left over but by the bound on repetitions.
func (v *validator) checkRings() {
	const mostRepetitions = 100
	g := v.linkGraph()
	for range mostRepetitions {
		groups := g.groups()
		if len(groups) == 0 {
			return
		}
		for _, group := range groups {
			ring := g.shortestRing(group)
			closing := ring[len(ring)-1]
			v.reportRing(g, ring)
			g.closed[closing] = true
		}
	}
}

func (v *validator) reportRing(g *linkGraph, ring []int) {
	names := make([]string, 0, len(ring)+1)
	for _, edge := range ring {
		names = append(names, v.p.Tasks[g.from[edge]].ID)
	}
	names = append(names, names[0])
	v.faults = append(v.faults, Fault{
		Place:   spot{"links", g.link[ring[len(ring)-1]]}.String(),
		Message: fmt.Sprintf("%d tasks wait for one another in a ring: %s", len(ring), strings.Join(names, " -> ")),
		Remedy:  "take out one of the links between them",
	})
}

// linkGraph holds the resolved links in compressed rows: the edges of task t are offset[t] to offset[t+1]. Links of a
// task to itself are left out.
type linkGraph struct {
	offset         []int
	from, to, link []int  // per edge: task indexes, and the index in the document
	closed         []bool // per edge: set aside, since it closes a ring already found
}

func (v *validator) linkGraph() *linkGraph {
	n := len(v.p.Tasks)
	g := &linkGraph{offset: make([]int, n+1)}
	ends := func(i int) (from, to int, ok bool) {
		from, knownFrom := v.tasks.index[v.p.Links[i].From]
		to, knownTo := v.tasks.index[v.p.Links[i].To]
		return from, to, knownFrom && knownTo && from != to
	}
	for i := range v.p.Links {
		if from, _, ok := ends(i); ok {
			g.offset[from+1]++
		}
	}
	for t := range n {
		g.offset[t+1] += g.offset[t]
	}
	g.from, g.to, g.link = make([]int, g.offset[n]), make([]int, g.offset[n]), make([]int, g.offset[n])
	g.closed = make([]bool, g.offset[n])
	next := append([]int(nil), g.offset...)
	for i := range v.p.Links {
		if from, to, ok := ends(i); ok {
			at := next[from]
			g.from[at], g.to[at], g.link[at] = from, to, i
			next[from]++
		}
	}
	return g
}

// groups returns the groups of two and more tasks that all reach one another (strongly connected components), after
// Tarjan 1972, "Depth-first search and linear graph algorithms", with a stack of its own in place of recursion: a chain of 85,000 tasks must not cost a deep call stack.
func (g *linkGraph) groups() (groups [][]int) {
	n := len(g.offset) - 1
	order, low := make([]int, n), make([]int, n) // 0: not visited
	onStack, edge := make([]bool, n), append([]int(nil), g.offset[:n]...)
	var open, path []int
	visited := 0
	visit := func(t int) {
		visited++
		order[t], low[t] = visited, visited
		open, path, onStack[t] = append(open, t), append(path, t), true
	}
	for root := range n {
		if order[root] == 0 {
			visit(root)
		}
		for len(path) > 0 {
			t := path[len(path)-1]
			if edge[t] < g.offset[t+1] {
				to, closed := g.to[edge[t]], g.closed[edge[t]]
				edge[t]++
				if closed {
					continue
				}
				if order[to] == 0 {
					visit(to)
				} else if onStack[to] {
					low[t] = min(low[t], order[to])
				}
				continue
			}
			path = path[:len(path)-1]
			if len(path) > 0 {
				low[path[len(path)-1]] = min(low[path[len(path)-1]], low[t])
			}
			if low[t] == order[t] {
				at := len(open) - 1
				for ; open[at] != t; at-- {
					onStack[open[at]] = false
				}
				onStack[t] = false
				if group := open[at:]; len(group) > 1 {
					groups = append(groups, append([]int(nil), group...))
				}
				open = open[:at]
			}
		}
	}
	return groups
}

// shortestRing is a ring of edges through the first task of a group, found breadth first, in order.
func (g *linkGraph) shortestRing(group []int) []int {
	first, inside := group[0], make(map[int]bool, len(group))
	for _, t := range group {
		inside[t] = true
		first = min(first, t)
	}
	reachedBy := map[int]int{} // task -> edge that first reached it
	queue := []int{first}
	for len(queue) > 0 {
		t := queue[0]
		queue = queue[1:]
		for e := g.offset[t]; e < g.offset[t+1]; e++ {
			to := g.to[e]
			if _, seen := reachedBy[to]; seen || !inside[to] || g.closed[e] {
				continue
			}
			reachedBy[to] = e
			if to == first {
				return g.backTo(first, reachedBy)
			}
			queue = append(queue, to)
		}
	}
	panic("problem: a strongly connected group has no ring")
}

func (g *linkGraph) backTo(first int, reachedBy map[int]int) []int {
	var ring []int
	for t := first; ; {
		e := reachedBy[t]
		ring = append(ring, e)
		if t = g.from[e]; t == first {
			break
		}
	}
	for i, j := 0, len(ring)-1; i < j; i, j = i+1, j-1 {
		ring[i], ring[j] = ring[j], ring[i]
	}
	return ring
}
