package network

import (
	"slices"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// links are all links of the document, in its order.
func (b *compiler) links() []Link {
	links := make([]Link, 0, len(b.p.Links))
	for i := range b.p.Links {
		l := &b.p.Links[i]

		from, to := b.c.TaskOf(l.From), b.c.TaskOf(l.To)
		lagCalendar, ok := b.book.byID[l.Calendar()]
		if from == None || to == None || !ok {
			who := l.From + " -> " + l.To
			b.task(l.From, "link "+who)
			b.task(l.To, "link "+who)
			b.calendar(l.Calendar(), "link", who)
			continue
		}
		links = append(links, Link{
			From: from, To: to, Lag: calendar.WorkMinutes(l.LagMinutes), Calendar: lagCalendar, Relation: relationOf(l),
		})
	}
	return links
}

func relationOf(l *problem.Link) Relation {
	switch l.Relation() {
	case problem.StartToStart:
		return StartToStart
	case problem.FinishToFinish:
		return FinishToFinish
	case problem.StartToFinish:
		return StartToFinish
	}
	return FinishToStart
}

// splitLinks groups the links that bind by their successor and puts the others aside.
func (c *Compiled) splitLinks(links []Link) {
	n := c.Tasks()
	c.incoming = make([]int32, n+1)
	bound := 0
	for i := range links {
		if c.bindsInto(links[i].To) {
			c.incoming[links[i].To+1]++
			bound++
		}
	}
	for t := range n {
		c.incoming[t+1] += c.incoming[t]
	}
	c.Links = make([]Link, bound)
	place := slices.Clone(c.incoming[:n])
	for i := range links {
		to := links[i].To
		if !c.bindsInto(to) {
			c.Loose = append(c.Loose, links[i])
			continue
		}
		c.Links[place[to]] = links[i]
		place[to]++
	}
	c.outgoing = successorRows(n, c.Links)
}

// bindsInto reports whether links into a task still bind it. What has happened cannot be bound; work under way is bound
// only where the document says that it keeps the order.
func (c *Compiled) bindsInto(t TaskIndex) bool {
	return c.State[t] == Open || c.State[t] == Started && c.KeepOrder
}

// holdFollowers marks what waits without a date and everything that a binding link makes follow it.
func (c *Compiled) holdFollowers() {
	c.HeldBy = make([]TaskIndex, c.Tasks())
	for _, t := range c.Order {
		c.HeldBy[t] = None
		if c.State[t] == Done {
			continue
		}
		if c.Problem.Tasks[t].Waits {
			c.HeldBy[t] = t
			continue
		}
		for _, l := range c.Incoming(t) {
			if holder := c.HeldBy[l.From]; holder != None {
				c.HeldBy[t] = holder
				break
			}
		}
	}
}
