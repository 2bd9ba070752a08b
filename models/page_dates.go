package models

import (
	"context"

	"jambwright/scheduler/takeoff"
)

// DateRow is one GC date with its outlook in a plan.
type DateRow struct {
	PlanDate
	Project      Project
	Openings     int // openings in the date's area
	OpeningsDone int // of them, those with the date's work finished
}

// PlanDates lists the GC dates of a plan by date, for projects (nil: all), with how many openings are done.
func PlanDates(ctx context.Context, r Reader, planID int64, projectIDs []int64) ([]DateRow, error) {
	q := r.in(ctx).Joins("JOIN gc_dates ON gc_dates.id = plan_dates.gc_date_id").Where("plan_dates.plan_id = ?", planID)
	if projectIDs != nil {
		q = q.Where("gc_dates.project_id IN ?", projectIDs)
	}
	var dates []PlanDate
	if err := q.Preload("GCDate.Area").Order("plan_dates.due_at, plan_dates.id").Find(&dates).Error; err != nil {
		return nil, wrap(err, "read the GC dates of plan %d", planID)
	}
	var projects []Project
	if err := r.in(ctx).Preload("Calendar.Shifts").Find(&projects).Error; err != nil {
		return nil, wrap(err, "read projects")
	}
	byID := make(map[int64]Project, len(projects))
	for _, p := range projects {
		byID[p.ID] = p
	}
	counts, err := readDone(ctx, r)
	if err != nil {
		return nil, err
	}
	rows := make([]DateRow, len(dates))
	for i, d := range dates {
		rows[i] = DateRow{PlanDate: d, Project: byID[d.GCDate.ProjectID]}
		rows[i].Openings, rows[i].OpeningsDone = counts.of(&d.GCDate)
	}
	return rows, nil
}

// doneCounts counts openings by area and those with a kind of work finished.
type doneCounts struct {
	parents  map[int64]*int64
	project  map[int64]int64 // of an area
	openings map[int64]int   // by area
	done     map[areaKind]int
}

type areaKind struct {
	area int64
	kind takeoff.Kind
}

func readDone(ctx context.Context, r Reader) (*doneCounts, error) {
	c := &doneCounts{
		parents: map[int64]*int64{}, project: map[int64]int64{}, openings: map[int64]int{}, done: map[areaKind]int{},
	}
	var areas []Area
	if err := r.in(ctx).Select("id", "parent_id", "project_id").Find(&areas).Error; err != nil {
		return nil, wrap(err, "read areas")
	}
	for _, a := range areas {
		c.parents[a.ID], c.project[a.ID] = a.ParentID, a.ProjectID
	}
	var rows []struct {
		AreaID int64
		Kind   takeoff.Kind
		N      int
	}
	err := r.in(ctx).Model(&Opening{}).Select("area_id, COUNT(*) AS n").Group("area_id").Scan(&rows).Error
	if err != nil {
		return nil, wrap(err, "count openings")
	}
	for _, row := range rows {
		c.openings[row.AreaID] = row.N
	}
	err = r.in(ctx).Model(&Opening{}).Select("openings.area_id, tasks.kind, COUNT(DISTINCT openings.id) AS n").
		Joins("JOIN tasks ON tasks.opening_id = openings.id AND tasks.finished_at IS NOT NULL AND tasks.dropped_at IS NULL").
		Group("openings.area_id, tasks.kind").Scan(&rows).Error
	for _, row := range rows {
		if row.Kind != "" {
			c.done[areaKind{row.AreaID, row.Kind}] = row.N
		}
	}
	return c, wrap(err, "count finished work")
}

// of counts the openings of a GC date's area, areas inside it included. A date for all work counts punch work, which is the
// last kind.
func (c *doneCounts) of(g *GCDate) (openings, done int) {
	kind := g.Kind
	if kind == "" {
		kind = takeoff.Punch
	}
	for area, n := range c.openings {
		if c.project[area] == g.ProjectID && (g.AreaID == nil || c.inside(area, *g.AreaID)) {
			openings += n
			done += c.done[areaKind{area, kind}]
		}
	}
	return openings, done
}

func (c *doneCounts) inside(area, around int64) bool {
	for steps := 0; steps <= len(c.parents); steps++ {
		if area == around {
			return true
		}
		parent := c.parents[area]
		if parent == nil {
			return false
		}
		area = *parent
	}
	return false
}

// UnplannedByDate says, for each GC date of a plan without a forecast, which tasks of its area were left out and why, at
// most a few of each.
func UnplannedByDate(ctx context.Context, r Reader, planID int64) (map[int64][]PlanUnplanned, error) {
	const shown = 5
	var dates []PlanDate
	err := r.in(ctx).Preload("GCDate").Where("plan_id = ? AND forecast_at IS NULL", planID).Find(&dates).Error
	if err != nil || len(dates) == 0 {
		return nil, wrap(err, "find GC dates without a forecast")
	}
	var left []PlanUnplanned
	if err := r.in(ctx).Preload("Task.Opening").Where("plan_id = ?", planID).Order("id").Find(&left).Error; err != nil {
		return nil, wrap(err, "list what plan %d left out", planID)
	}
	counts, err := readDone(ctx, r)
	if err != nil {
		return nil, err
	}
	out := make(map[int64][]PlanUnplanned, len(dates))
	for i := range dates {
		g := &dates[i].GCDate
		for _, u := range left {
			area := u.Task.AreaID
			if u.Task.Opening != nil {
				area = &u.Task.Opening.AreaID
			}
			inside := g.AreaID == nil || area != nil && counts.inside(*area, *g.AreaID)
			if u.Task.ProjectID == g.ProjectID && inside && len(out[g.ID]) < shown {
				out[g.ID] = append(out[g.ID], u)
			}
		}
	}
	return out, nil
}
