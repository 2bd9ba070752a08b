package check

import (
	"slices"
	"time"

	"jambwright/scheduler/problem"
)

// checkListing finds each task's place in the plan: planned or left out, once.
func (c *checker) checkListing() {
	if c.plan.Version != problem.Version {
		c.report(RuleDocument, "", "version %d, want %d", c.plan.Version, problem.Version)
	}
	for i := range c.plan.Tasks {
		planned := &c.plan.Tasks[i]
		task, ok := c.tasks[planned.ID]
		switch {
		case !ok:
			c.report(RuleListed, planned.ID, "is planned but not in the problem")
		case c.work[task].planned != nil:
			c.report(RuleListed, planned.ID, "is planned twice")
		case c.onWholeMinutes(planned):
			c.work[task] = work{planned: planned, crew: -1}
		default:
			c.unusable[task] = true
		}
	}
	for _, u := range c.plan.Unplanned {
		task, ok := c.tasks[u.Task]
		switch {
		case !ok:
			c.report(RuleListed, u.Task, "is listed as unplanned but not in the problem")
		case c.work[task].planned != nil:
			c.report(RuleListed, u.Task, "is both planned and listed as unplanned")
		case c.unplanned[task]:
			c.report(RuleListed, u.Task, "is listed as unplanned twice")
		}
		if ok {
			c.unplanned[task] = true
		}
		if u.Why == "" {
			c.report(RuleUnplanned, u.Task, "is left out without a word why")
		}
	}
	for i := range c.p.Tasks {
		if c.work[i].planned == nil && !c.unplanned[i] && !c.unusable[i] {
			c.report(RuleListed, c.p.Tasks[i].ID, "is neither planned nor listed as unplanned")
		}
	}
}

func (c *checker) onWholeMinutes(planned *problem.PlannedTask) bool {
	instants := []time.Time{
		planned.Start, planned.Finish, planned.EarlyStart, planned.EarlyFinish, planned.LateStart,
		planned.LateFinish, planned.Reason.Until,
	}
	if planned.Resume != nil {
		instants = append(instants, *planned.Resume)
	}
	for _, s := range planned.Segments {
		instants = append(instants, s[0], s[1])
	}
	for _, t := range instants {
		if t.Unix()%60 != 0 || t.Nanosecond() != 0 {
			c.report(RuleDocument, planned.ID, "%s is not on a whole minute", t.Format(time.RFC3339Nano))
			return false
		}
	}
	return true
}

func (c *checker) checkTasks() {
	for i := range c.p.Tasks {
		w := &c.work[i]
		if w.planned == nil {
			continue
		}
		w.start, w.finish = minuteOf(w.planned.Start), minuteOf(w.planned.Finish)
		w.begin = w.start
		if w.planned.Resume != nil {
			w.begin = minuteOf(*w.planned.Resume)
		}
		c.checkCrewOf(i)
		if c.p.Tasks[i].IsFinished() {
			c.checkFinished(i)
			continue
		}
		if w.finish < w.begin {
			c.report(RuleDuration, w.planned.ID, "finishes at %s, before it begins at %s", c.text(w.finish), c.text(w.begin))
		}
		c.checkBegin(i)
		c.checkWorkingTime(i)
	}
}

// checkCrewOf checks who does the task, and finds its axis and length.
func (c *checker) checkCrewOf(task int) {
	t, w := &c.p.Tasks[task], &c.work[task]
	id := t.ID
	if !t.IsCrewWork() {
		if w.planned.Crew != nil {
			c.report(RuleCrew, id, "is fixed work, but crew %q is planned on it", *w.planned.Crew)
		}
		if !t.IsFinished() {
			w.axis, w.length = c.axisOf(task, -1), c.lengthOf(task, -1)
		}
		return
	}
	if w.planned.Crew == nil {
		if !t.IsFinished() || t.Status.Crew != "" {
			c.report(RuleCrew, id, "is crew work, but no crew is planned on it")
		}
		return
	}
	crew, ok := c.crews[*w.planned.Crew]
	if !ok {
		c.report(RuleCrew, id, "unknown crew %q", *w.planned.Crew)
		return
	}
	w.crew = crew
	if !t.IsFinished() {
		w.axis, w.length = c.axisOf(task, crew), c.lengthOf(task, crew)
	}
	if t.Status != nil && t.Status.Crew != "" {
		if t.Status.Crew != *w.planned.Crew {
			c.report(RuleStatus, id, "crew %q is at it, but crew %q is planned", t.Status.Crew, *w.planned.Crew)
		}
		return
	}
	if refusal := c.refusal(task, crew); refusal != "" && !t.IsFinished() {
		c.report(RuleCrew, id, "crew %q %s", *w.planned.Crew, refusal)
	}
}

// checkFinished checks that work done keeps its dates.
func (c *checker) checkFinished(task int) {
	t, w := &c.p.Tasks[task], &c.work[task]
	if started := minuteOf(t.Status.Started); w.start != started {
		c.report(RuleStatus, t.ID, "started at %s, but is planned from %s", c.text(started), c.text(w.start))
	}
	if finished := minuteOf(*t.Status.Finished); w.finish != finished {
		c.report(RuleStatus, t.ID, "finished at %s, but is planned to %s", c.text(finished), c.text(w.finish))
	}
	if w.planned.Resume != nil {
		c.report(RuleStatus, t.ID, "is finished, but resumes at %s", c.text(w.begin))
	}
	if len(w.planned.Segments) > 0 {
		c.report(RuleSegments, t.ID, "is finished, but has %d segments still to come", len(w.planned.Segments))
	}
}

// checkBegin checks the start or resume against the status, the data date and not_before.
func (c *checker) checkBegin(task int) {
	t, w := &c.p.Tasks[task], &c.work[task]
	if t.IsStarted() {
		if started := minuteOf(t.Status.Started); w.start != started {
			c.report(RuleStatus, t.ID, "started at %s, but is planned from %s", c.text(started), c.text(w.start))
		}
		if w.planned.Resume == nil {
			c.report(RuleStatus, t.ID, "is under way, but the plan does not say when it resumes")
			w.begin = max(w.start, c.dataDate)
		}
		if w.begin < c.dataDate {
			c.report(RuleDataDate, t.ID, "resumes at %s, before the data date %s", c.text(w.begin), c.text(c.dataDate))
		}
		if t.NotBefore != nil && w.begin < minuteOf(*t.NotBefore) {
			c.report(RuleNotBefore, t.ID, "resumes at %s, not_before is %s", c.text(w.begin), c.text(minuteOf(*t.NotBefore)))
		}
		return
	}
	if w.planned.Resume != nil {
		c.report(RuleStatus, t.ID, "has not started, but resumes at %s", c.text(w.begin))
		w.begin = w.start
	}
	if w.start < c.dataDate {
		c.report(RuleDataDate, t.ID, "starts at %s, before the data date %s", c.text(w.start), c.text(c.dataDate))
	}
	if t.NotBefore != nil && w.start < minuteOf(*t.NotBefore) {
		c.report(RuleNotBefore, t.ID, "starts at %s, not_before is %s", c.text(w.start), c.text(minuteOf(*t.NotBefore)))
	}
}

// checkWorkingTime checks length, ends and segments against the task's axis.
func (c *checker) checkWorkingTime(task int) {
	w := &c.work[task]
	if w.axis == nil || w.finish < w.begin {
		return
	}
	if tooLong := w.finish-w.begin > 4*minutesPer20y; tooLong {
		c.report(RuleDuration, w.planned.ID, "runs from %s to %s", c.text(w.begin), c.text(w.finish))
		return
	}
	if w.length == 0 {
		if w.finish != w.begin {
			c.report(RuleDuration, w.planned.ID, "takes no time, but runs from %s to %s", c.text(w.begin), c.text(w.finish))
		}
		if len(w.planned.Segments) > 0 && w.finish == w.begin {
			c.report(RuleSegments, w.planned.ID, "takes no time, but has %d segments", len(w.planned.Segments))
		}
		return
	}
	pieces := w.axis.pieces(w.begin, w.finish)
	if worked := w.axis.minutes(w.begin, w.finish); worked != w.length {
		c.report(RuleDuration, w.planned.ID, "needs %d minutes, there are %d working ones from %s to %s",
			w.length, worked, c.text(w.begin), c.text(w.finish))
	} else if pieces[0].from != w.begin {
		c.report(RuleCalendar, w.planned.ID, "begins at %s, outside working time, which comes at %s", c.text(w.begin), c.text(pieces[0].from))
	} else if last := pieces[len(pieces)-1].to; last != w.finish {
		c.report(RuleCalendar, w.planned.ID, "finishes at %s, but its work ends at %s", c.text(w.finish), c.text(last))
	}
	c.checkSegments(task, pieces)
}

func (c *checker) checkSegments(task int, want []span) {
	w := &c.work[task]
	var got []span
	for _, s := range w.planned.Segments {
		piece := span{minuteOf(s[0]), minuteOf(s[1])}
		switch n := len(got); {
		case piece.from >= piece.to || n > 0 && piece.from < got[n-1].to:
			c.report(RuleSegments, w.planned.ID, "segment %s to %s is empty or out of order", c.text(piece.from), c.text(piece.to))
			return
		case n > 0 && piece.from == got[n-1].to: // two that touch say the same as one
			got[n-1].to = piece.to
		default:
			got = append(got, piece)
		}
	}
	if slices.Equal(got, want) {
		return
	}
	for i, piece := range want {
		if i >= len(got) || got[i] != piece {
			c.report(RuleSegments, w.planned.ID, "works from %s to %s, which is not its segment %d of %d",
				c.text(piece.from), c.text(piece.to), i+1, len(got))
			return
		}
	}
	extra := got[len(want)]
	c.report(RuleSegments, w.planned.ID, "segment %s to %s is not working time of it", c.text(extra.from), c.text(extra.to))
}
