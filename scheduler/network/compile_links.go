package network

import (
	"slices"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// links fills Links with all links of the document, grouped by successor.
func (b *compiler) links() {
	c, n := b.c, b.c.Tasks()
	ends := make([][2]TaskIndex, len(b.p.Links))
	c.incoming = make([]int32, n+1)
	for i := range b.p.Links {
		ends[i] = b.linkEnds(&b.p.Links[i])
		c.incoming[ends[i][1]+1]++
	}
	for t := range n {
		c.incoming[t+1] += c.incoming[t]
	}
	c.Links = make([]Link, len(ends))
	place := slices.Clone(c.incoming[:n])
	for i := range ends {
		to := ends[i][1]
		l := &b.p.Links[i]
		c.Links[place[to]] = Link{
			From: ends[i][0], To: to, Lag: calendar.WorkMinutes(l.LagMinutes), Calendar: b.book.byID[l.Calendar()],
			Relation: relationOf(l),
		}
		place[to]++
	}
	c.outgoing = successorRows(n, c.Links)
}

// linkEnds are the tasks that a link joins. When a name of the link is missing it notes the fault and answers with any
// task, since nothing comes of the compiled form then.
func (b *compiler) linkEnds(l *problem.Link) [2]TaskIndex {
	from, to := b.c.TaskOf(l.From), b.c.TaskOf(l.To)
	_, ok := b.book.byID[l.Calendar()]
	if from != None && to != None && ok {
		return [2]TaskIndex{from, to}
	}
	who := l.From + " -> " + l.To
	b.task(l.From, "link "+who)
	b.task(l.To, "link "+who)
	b.calendar(l.Calendar(), "link", who)
	return [2]TaskIndex{}
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

// loosenLinks moves the links that no longer bind from Links to Loose.
func (c *Compiled) loosenLinks() {
	if !slices.ContainsFunc(c.Links, func(l Link) bool { return !c.bindsInto(l.To) }) {
		return
	}
	n := TaskIndex(c.Tasks())
	bound := make([]Link, 0, len(c.Links))
	offsets := make([]int32, 1, n+1)
	for t := range n {
		if c.bindsInto(t) {
			bound = append(bound, c.Incoming(t)...)
		} else {
			c.Loose = append(c.Loose, c.Incoming(t)...)
		}
		offsets = append(offsets, int32(len(bound)))
	}
	c.Links, c.incoming = bound, offsets
	c.outgoing = successorRows(int(n), c.Links)
}

// bindsInto reports whether links into a task still bind it. What has happened cannot be bound; work under way is bound
// only where the document says that it keeps the order.
func (c *Compiled) bindsInto(t TaskIndex) bool {
	return c.State[t] == Open || c.State[t] == Started && c.KeepOrder
}

// holdFollowers marks what waits without a date and everything that a binding link makes follow it.
func (c *Compiled) holdFollowers() {
	if !slices.ContainsFunc(c.Problem.Tasks, func(task problem.Task) bool { return task.Waits }) {
		return
	}
	c.heldBy = make([]TaskIndex, c.Tasks())
	for _, t := range c.Order {
		c.heldBy[t] = None
		if c.State[t] == Done {
			continue
		}
		if c.Problem.Tasks[t].Waits {
			c.heldBy[t] = t
			continue
		}
		for _, l := range c.Incoming(t) {
			if holder := c.heldBy[l.From]; holder != None {
				c.heldBy[t] = holder
				break
			}
		}
	}
}
