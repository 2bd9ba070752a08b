package models

import (
	"context"
	"maps"
	"slices"
	"strings"

	"gorm.io/gorm"
)

// planChoice says which plan's rows to read: one plan's, or of each project those of the plan in force. It is resolved
// before the rows are read: joined with the issues of plans, PostgreSQL plans badly right after a plan was saved.
type planChoice struct {
	id      *int64
	inForce map[int64][]int64 // projects by the plan they follow
}

// choosePlan resolves a choice; planID nil asks for the plans in force.
func choosePlan(ctx context.Context, r Reader, planID *int64) (planChoice, error) {
	if planID != nil {
		return planChoice{id: planID}, nil
	}
	issues, err := PlansInForce(ctx, r)
	c := planChoice{inForce: map[int64][]int64{}}
	for project, issue := range issues {
		c.inForce[issue.PlanID] = append(c.inForce[issue.PlanID], project)
	}
	return c, err
}

// of keeps the chosen plan's rows of a table that has a plan_id and a task_id, and joins their tasks.
func (c planChoice) of(g *gorm.DB, table string) *gorm.DB {
	g = g.Select(table + ".*").Joins("JOIN tasks ON tasks.id = " + table + ".task_id")
	if c.id != nil {
		return g.Where(table+".plan_id = ?", *c.id)
	}
	if len(c.inForce) == 0 {
		return g.Where("1 = 0")
	}
	var either []string
	var values []any
	for _, plan := range slices.Sorted(maps.Keys(c.inForce)) {
		either = append(either, "("+table+".plan_id = ? AND tasks.project_id IN ?)")
		values = append(values, plan, c.inForce[plan])
	}
	return g.Where("("+strings.Join(either, " OR ")+")", values...)
}

// plannedTasks reads what the chosen plan says of tasks: dates, or why they are left out.
func plannedTasks(ctx context.Context, r Reader, ids []int64, which planChoice) (map[int64]*PlanTask, map[int64]string, error) {
	planned, left := map[int64]*PlanTask{}, map[int64]string{}
	err := inChunks(ids, func(chunk []int64) error {
		var rows []PlanTask
		err := which.of(r.in(ctx).Preload("Crew"), "plan_tasks").Where("plan_tasks.task_id IN ?", chunk).Find(&rows).Error
		if err != nil {
			return wrap(err, "read planned tasks")
		}
		for i := range rows {
			planned[rows[i].TaskID] = &rows[i]
		}
		var out []PlanUnplanned
		err = which.of(r.in(ctx), "plan_unplanned").Where("plan_unplanned.task_id IN ?", chunk).Find(&out).Error
		for _, row := range out {
			left[row.TaskID] = row.Why
		}
		return wrap(err, "read unplanned tasks")
	})
	return planned, left, err
}
