package recovery

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// value is what a choice of levels comes to.
type value struct {
	won  int64   // more is better
	cost float64 // less is better
}

// choice holds a level of each lever, 0 for none.
type choice []int

func (c choice) key() string {
	parts := make([]string, len(c))
	for i, level := range c {
		parts[i] = strconv.Itoa(level)
	}
	return strings.Join(parts, ",")
}

// step is a choice on the way up, with what it comes to.
type step struct {
	levels choice
	value  value
}

// climber raises levers step by step. Each step is the cheapest for each unit won among raises of at most together levers
// at once by a level each, or of one lever by several; then levers that are no longer needed are lowered again. It is the
// stepwise time-cost trade-off of Kelley and Walker (1959), where parallel critical paths have to be shortened together,
// with the network replaced by whatever tells what a choice wins. It finds the least cost of each duration where costs grow
// with each unit won; in general its steps are good but not proved to be the best.
type climber struct {
	tops     []int // highest level of each lever
	together int
	budget   int                       // choices that may be valued
	value    func(of []choice) []value // of several choices at once

	known map[string]value // what has been valued; may hold some from the beginning
}

// climb returns the steps from nothing pulled on. It ends when no raise wins more, or when the budget is spent.
func (c *climber) climb() []step {
	if c.known == nil {
		c.known = map[string]value{}
	}
	start := make(choice, len(c.tops))
	now := step{start, c.values([]choice{start})[0]}
	steps := []step{now}
	for {
		next, found := c.best(now)
		if !found {
			return steps
		}
		now = c.lowered(next)
		steps = append(steps, now)
	}
}

// best is the raise with the least cost for each unit won; among equals the one that wins less, then the first.
func (c *climber) best(from step) (next step, found bool) {
	raises := c.raises(from.levels)
	values := c.values(raises)
	for i, v := range values {
		if v.won <= from.value.won {
			continue
		}
		if !found || cheaper(from.value, v, next.value) {
			next, found = step{raises[i], v}, true
		}
	}
	return next, found
}

// cheaper reports whether a costs less for each unit won than b, both from the same start.
func cheaper(from, a, b value) bool {
	slopeA, slopeB := slope(from, a), slope(from, b)
	if math.Abs(slopeA-slopeB) > 1e-9*(math.Abs(slopeA)+math.Abs(slopeB)) {
		return slopeA < slopeB
	}
	return a.won < b.won
}

func slope(from, to value) float64 { return (to.cost - from.cost) / float64(to.won-from.won) }

// raises lists what can be pulled next, singles first.
func (c *climber) raises(from choice) []choice {
	var list []choice
	for lever := range from {
		for level := from[lever] + 1; level <= c.tops[lever]; level++ {
			raised := slices.Clone(from)
			raised[lever] = level
			list = append(list, raised)
		}
	}
	for size := 2; size <= c.together; size++ {
		c.subsets(from, 0, size, slices.Clone(from), &list)
	}
	return list
}

// subsets adds every raise of size levers by a level each, from the lever first on.
func (c *climber) subsets(from choice, first, size int, raised choice, list *[]choice) {
	if size == 0 {
		*list = append(*list, slices.Clone(raised))
		return
	}
	for lever := first; lever < len(from); lever++ {
		if from[lever] == c.tops[lever] {
			continue
		}
		raised[lever]++
		c.subsets(from, lever+1, size-1, raised, list)
		raised[lever]--
	}
}

// lowered takes back levels that are not needed for what the step wins.
func (c *climber) lowered(s step) step {
	for lever := 0; lever < len(s.levels); lever++ {
		for s.levels[lever] > 0 {
			less := slices.Clone(s.levels)
			less[lever]--
			v := c.values([]choice{less})
			if len(v) == 0 || v[0].won < s.value.won || v[0].cost >= s.value.cost {
				break
			}
			s = step{less, v[0]}
		}
	}
	return s
}

// values values choices in order, each once, as long as the budget lasts: the list may be cut short.
func (c *climber) values(of []choice) []value {
	var fresh []choice
	n := 0
	for _, one := range of {
		_, known := c.known[one.key()]
		if !known && len(fresh) == c.budget {
			break
		}
		if !known {
			fresh = append(fresh, one)
		}
		n++
	}
	c.budget -= len(fresh)
	for i, v := range c.value(fresh) {
		c.known[fresh[i].key()] = v
	}
	list := make([]value, n)
	for i := range list {
		list[i] = c.known[of[i].key()]
	}
	return list
}
