package models

import (
	"context"
	"errors"
	"slices"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/slippage"
	"jambwright/scheduler/takeoff"
)

// HandoverStanding is one handover with its history and what waits for it.
type HandoverStanding struct {
	Handover
	History []HandoverChange // oldest first
	TaskKey string           // of the handover itself, "" until it has been planned
	Planned *PlanTask        // of the handover itself in the plan that was asked for; nil when that plan does not place it
	Needs   []NeedingTask    // by planned start, those without one last
}

// NeedingTask is a task that may not start before a handover.
type NeedingTask struct {
	Task    Task      // with its opening
	Planned *PlanTask // nil when the plan does not place it
}

// Story is the handover as its trade's record reads it.
func (h *HandoverStanding) Story() slippage.Story { return storyOf(&h.Handover, h.History) }

// storyOf takes the promises out of a history. A handover that has no line of a promise, such as one whose promise was
// never changed since it was copied, is told by the promise it has.
func storyOf(h *Handover, history []HandoverChange) slippage.Story {
	s := slippage.Story{Trade: h.Trade, Condition: string(h.Condition)}
	for _, c := range history {
		if c.Field != FieldPromised || c.NewDate == nil {
			continue
		}
		if n := len(s.Promises); n == 0 || s.Promises[n-1] != c.NewDate.Date {
			s.Promises = append(s.Promises, c.NewDate.Date)
		}
	}
	if len(s.Promises) == 0 && h.Promised != nil {
		s.Promises = []problem.Date{h.Promised.Date}
	}
	if h.Actual != nil {
		d := h.Actual.Date
		s.Actual = &d
	}
	return s
}

// HandoverBoard is what the page of handovers shows of one project.
type HandoverBoard struct {
	Areas     []Area // as they are walked: each before the areas inside it
	Handovers []HandoverStanding
	Openings  map[int64]int // openings by innermost area
}

// ReadHandoverBoard reads the handovers of a project with what waits for them in a plan; planID nil asks for the plan in
// force. It takes a fixed number of queries.
func ReadHandoverBoard(ctx context.Context, r Reader, projectID int64, planID *int64) (*HandoverBoard, error) {
	areas, err := Areas(ctx, r, projectID)
	if err != nil {
		return nil, err
	}
	b := &HandoverBoard{Areas: inWalkOrder(areas), Openings: map[int64]int{}}
	handovers, err := Handovers(ctx, r, projectID)
	if err != nil {
		return nil, err
	}
	if b.Handovers, err = standings(ctx, r, projectID, handovers, planID); err != nil {
		return nil, err
	}
	var rows []struct {
		AreaID int64
		N      int
	}
	err = r.in(ctx).Model(&Opening{}).Select("area_id, COUNT(*) AS n").Where("project_id = ?", projectID).Group("area_id").Scan(&rows).Error
	for _, row := range rows {
		b.Openings[row.AreaID] = row.N
	}
	return b, wrap(err, "count the openings of areas")
}

// inWalkOrder sorts areas as they are walked.
func inWalkOrder(areas []Area) []Area {
	rank := map[int64]int{}
	for i, id := range walkOrder(areas) {
		rank[id] = i
	}
	sorted := slices.Clone(areas)
	slices.SortStableFunc(sorted, func(a, b Area) int { return rank[a.ID] - rank[b.ID] })
	return sorted
}

// standings adds histories and needs to handovers of one project.
func standings(ctx context.Context, r Reader, projectID int64, handovers []Handover, planID *int64) ([]HandoverStanding, error) {
	list, byID, ids := make([]HandoverStanding, len(handovers)), map[int64]*HandoverStanding{}, make([]int64, len(handovers))
	for i := range handovers {
		list[i].Handover = handovers[i]
		byID[handovers[i].ID], ids[i] = &list[i], handovers[i].ID
	}
	err := inChunks(ids, func(chunk []int64) error {
		var changes []HandoverChange
		err := r.in(ctx).Preload("User").Preload("Photos").Where("handover_id IN ?", chunk).Order("at, id").Find(&changes).Error
		for _, c := range changes {
			h := byID[c.HandoverID]
			h.History = append(h.History, c)
		}
		return wrap(err, "read the history of handovers")
	})
	if err != nil {
		return nil, err
	}
	return list, readNeeds(ctx, r, projectID, byID, planID)
}

// readNeeds finds the tasks of handovers and those that wait for them, with their dates in the chosen plan.
func readNeeds(ctx context.Context, r Reader, projectID int64, byID map[int64]*HandoverStanding, planID *int64) error {
	var own []Task
	err := r.in(ctx).Where("project_id = ? AND kind = ? AND handover_id IS NOT NULL AND dropped_at IS NULL", projectID, pattern.Handovers).
		Order("id").Find(&own).Error
	if err != nil {
		return wrap(err, "read the tasks of handovers")
	}
	of := map[int64]*HandoverStanding{} // by the id of the handover's own task
	var ids []int64
	for _, t := range own {
		if h := byID[*t.HandoverID]; h != nil {
			h.TaskKey, of[t.ID], ids = t.Key, h, append(ids, t.ID)
		}
	}
	var links []TaskLink
	err = inChunks(ids, func(chunk []int64) error {
		var rows []TaskLink
		err := r.in(ctx).Where("before_id IN ?", chunk).Order("id").Find(&rows).Error
		links = append(links, rows...)
		return wrap(err, "read what waits for handovers")
	})
	if err != nil {
		return err
	}
	after := make([]int64, 0, len(links))
	for _, l := range links {
		after = append(after, l.AfterID)
	}
	slices.Sort(after)
	after = slices.Compact(after)
	tasks := map[int64]Task{}
	err = inChunks(after, func(chunk []int64) error {
		var rows []Task
		err := r.in(ctx).Preload("Opening").Where("id IN ? AND dropped_at IS NULL", chunk).Find(&rows).Error
		for _, t := range rows {
			tasks[t.ID] = t
		}
		return wrap(err, "read the tasks that wait for handovers")
	})
	which, choiceErr := choosePlan(ctx, r, planID)
	if err = errors.Join(err, choiceErr); err != nil {
		return err
	}
	planned, _, err := plannedTasks(ctx, r, append(after, ids...), which)
	if err != nil {
		return err
	}
	for id, h := range of {
		h.Planned = planned[id]
	}
	for _, l := range links {
		if task, known := tasks[l.AfterID]; known {
			h := of[l.BeforeID]
			h.Needs = append(h.Needs, NeedingTask{Task: task, Planned: planned[task.ID]})
		}
	}
	for _, h := range byID {
		slices.SortStableFunc(h.Needs, byPlannedStart)
	}
	return nil
}

func byPlannedStart(a, b NeedingTask) int {
	switch {
	case a.Planned != nil && b.Planned != nil:
		return a.Planned.StartAt.Compare(b.Planned.StartAt)
	case a.Planned != nil:
		return -1
	case b.Planned != nil:
		return 1
	}
	return 0
}

// Open lists the needing tasks that are not finished, in order of planned start.
func (h *HandoverStanding) Open() []NeedingTask {
	return slices.DeleteFunc(slices.Clone(h.Needs), func(n NeedingTask) bool { return n.Task.FinishedAt != nil })
}

// Kinds lists the kinds of task that need the handover, finished ones included, in the order of work.
func (h *HandoverStanding) Kinds() []takeoff.Kind {
	var kinds []takeoff.Kind
	for i := range h.Needs {
		if k := h.Needs[i].Task.Kind; !slices.Contains(kinds, k) {
			kinds = append(kinds, k)
		}
	}
	slices.SortFunc(kinds, func(a, b takeoff.Kind) int { return kindRank(a) - kindRank(b) })
	return kinds
}

// HandoverFor finds the handover of a condition that holds for an area: its own, else the nearest one around it. It is the
// rule that planning goes by.
func (b *HandoverBoard) HandoverFor(areaID int64, c pattern.Condition) *HandoverStanding {
	chain := areasAround(b.Areas, areaID)
	for _, a := range slices.Backward(chain) {
		for i := range b.Handovers {
			if h := &b.Handovers[i]; h.AreaID == a.ID && h.Condition == c {
				return h
			}
		}
	}
	return nil
}

// OpeningsInside counts the openings of an area and of the areas inside it.
func (b *HandoverBoard) OpeningsInside(areaID int64) int {
	n := 0
	for _, id := range areasInside(b.Areas, areaID) {
		n += b.Openings[id]
	}
	return n
}

// Inside lists an area and those inside it.
func (b *HandoverBoard) Inside(areaID int64) []int64 { return areasInside(b.Areas, areaID) }

// HandoverStories tells what was promised and what came of it: of one project, or of all open ones for nil. Forecasts draw
// from their records (slippage.ByTrade, slippage.ByCondition). It takes two queries and one for every thousand handovers.
func HandoverStories(ctx context.Context, r Reader, projectID *int64) ([]slippage.Story, error) {
	projects := r.in(ctx).Model(&Project{}).Select("id").Where("closed_at IS NULL")
	if projectID != nil {
		projects = r.in(ctx).Model(&Project{}).Select("id").Where("id = ?", *projectID)
	}
	areas := r.in(ctx).Model(&Area{}).Select("id").Where("project_id IN (?)", projects)
	var handovers []Handover
	if err := r.in(ctx).Where("area_id IN (?)", areas).Order("id").Find(&handovers).Error; err != nil {
		return nil, wrap(err, "list handovers")
	}
	var changes []HandoverChange
	err := r.in(ctx).Where("field = ? AND handover_id IN (?)", FieldPromised,
		r.in(ctx).Model(&Handover{}).Select("id").Where("area_id IN (?)", areas)).Order("at, id").Find(&changes).Error
	if err != nil {
		return nil, wrap(err, "read what was promised")
	}
	history := map[int64][]HandoverChange{}
	for _, c := range changes {
		history[c.HandoverID] = append(history[c.HandoverID], c)
	}
	stories := make([]slippage.Story, len(handovers))
	for i := range handovers {
		stories[i] = storyOf(&handovers[i], history[handovers[i].ID])
	}
	return stories, nil
}
