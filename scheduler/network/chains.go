package network

import (
	"cmp"
	"slices"

	"jambwright/scheduler/calendar"
)

// Chain is tasks in a row, each linked to the next, and the least total float among them.
type Chain struct {
	Tasks []TaskIndex
	Float calendar.WorkMinutes
}

// NearCriticalChains sorts the unfinished tasks with at most the given total float into chains, the least float first;
// for N days give N times the minutes of a working day. Every such task is in exactly one chain: a chain begins with
// the task of the least float that is left and goes on both ways to the linked task of the least float that is left, so
// it ends at an end of the network or where it joins a more critical chain. Ties go to the task listed first. The
// slices are the caller's own. O(n log n) for n near-critical tasks, plus their links.
func (w *Workspace) NearCriticalChains(within calendar.WorkMinutes) []Chain {
	var near []TaskIndex
	for t := range TaskIndex(w.c.Tasks()) {
		if w.dates.NearCritical(t, within) {
			near = append(near, t)
		}
	}
	float := w.dates.TotalFloat
	slices.SortFunc(near, func(a, b TaskIndex) int { return cmp.Or(cmp.Compare(float[a], float[b]), cmp.Compare(a, b)) })
	g := chainer{w: w, within: within, taken: make([]bool, w.c.Tasks())}
	var chains []Chain
	for _, t := range near {
		if !g.taken[t] {
			chains = append(chains, Chain{Tasks: g.chain(t), Float: float[t]})
		}
	}
	return chains
}

type chainer struct {
	w      *Workspace
	within calendar.WorkMinutes
	taken  []bool // by task: already in a chain
}

func (g *chainer) chain(t TaskIndex) []TaskIndex {
	g.taken[t] = true
	tasks := []TaskIndex{t}
	for before := g.predecessor(t); before != None; before = g.predecessor(before) {
		g.taken[before] = true
		tasks = append(tasks, before)
	}
	slices.Reverse(tasks)
	for after := g.successor(t); after != None; after = g.successor(after) {
		g.taken[after] = true
		tasks = append(tasks, after)
	}
	return tasks
}

func (g *chainer) predecessor(t TaskIndex) TaskIndex {
	best := TaskIndex(None)
	for _, l := range g.w.c.Incoming(t) {
		best = g.better(best, l.From)
	}
	return best
}

func (g *chainer) successor(t TaskIndex) TaskIndex {
	best := TaskIndex(None)
	for _, index := range g.w.c.Outgoing(t) {
		best = g.better(best, g.w.c.Links[index].To)
	}
	return best
}

// better is the one of two tasks, best possibly None, that a chain goes on to.
func (g *chainer) better(best, t TaskIndex) TaskIndex {
	float := g.w.dates.TotalFloat
	switch {
	case g.taken[t] || !g.w.dates.NearCritical(t, g.within):
		return best
	case best == None || float[t] < float[best] || float[t] == float[best] && t < best:
		return t
	}
	return best
}
