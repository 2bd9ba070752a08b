package network

import (
	"cmp"
	"slices"

	"jambwright/scheduler/calendar"
)

// OutOfOrder lists the links that reported work did not wait for: the successor started, or finished, before the link
// allowed it by what is reported of the predecessor. It makes no difference here whether the document lets such work
// run or keeps the order. Sorted by successor, then predecessor. O(tasks + links).
func (c *Compiled) OutOfOrder() []Link {
	var list []Link
	for _, links := range [][]Link{c.Links, c.Loose} {
		for i := range links {
			if c.isOutOfOrder(&links[i]) {
				list = append(list, links[i])
			}
		}
	}
	slices.SortStableFunc(list, func(a, b Link) int { return cmp.Or(cmp.Compare(a.To, b.To), cmp.Compare(a.From, b.From)) })
	return list
}

func (c *Compiled) isOutOfOrder(l *Link) bool {
	happened := c.reported(l.To, !l.Relation.BoundsFinish())
	if happened == calendar.Never {
		return false
	}
	return c.AddLag(l, c.reported(l.From, l.Relation.FromStart())) > happened
}

// reported is the actual start or finish of a task, Never if it has not happened.
func (c *Compiled) reported(t TaskIndex, start bool) calendar.Instant {
	switch {
	case start && c.State[t] != Open:
		return c.StartedAt(t)
	case !start && c.State[t] == Done:
		return c.FinishedAt(t)
	}
	return calendar.Never
}
