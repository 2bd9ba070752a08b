package models

import (
	"cmp"
	"context"
	"errors"

	"jambwright/scheduler/problem"
)

// linkEnds tells one link from another; two lags between the same ends are one link here.
type linkEnds struct {
	before, after int64
	kind          problem.LinkType
}

// syncLinks makes the stored links of open projects those of a problem. ids are its tasks.
func syncLinks(ctx context.Context, tx *Tx, links []problem.Link, ids map[string]int64) error {
	var rows []TaskLink
	err := tx.in(ctx).Select("task_links.*").Joins("JOIN tasks ON tasks.id = task_links.after_id").
		Joins("JOIN projects ON projects.id = tasks.project_id AND projects.closed_at IS NULL").Find(&rows).Error
	if err != nil {
		return wrap(err, "read the stored links")
	}
	stored := make(map[linkEnds]int64, len(rows))
	for _, row := range rows {
		stored[linkEnds{row.BeforeID, row.AfterID, row.LinkType}] = row.ID
	}
	var added []TaskLink
	wanted := make(map[linkEnds]bool, len(links))
	for _, l := range links {
		ends := linkEnds{ids[l.From], ids[l.To], cmp.Or(l.Type, problem.FinishToStart)}
		if _, there := stored[ends]; !there && !wanted[ends] {
			added = append(added, TaskLink{BeforeID: ends.before, AfterID: ends.after, LinkType: ends.kind})
		}
		wanted[ends] = true
	}
	var gone []int64
	for ends, id := range stored {
		if !wanted[ends] {
			gone = append(gone, id)
		}
	}
	return errors.Join(
		inChunks(gone, func(chunk []int64) error {
			return wrap(tx.in(ctx).Where("id IN ?", chunk).Delete(&TaskLink{}).Error, "remove %d links", len(chunk))
		}),
		createAll(ctx, tx, "links between tasks", added),
	)
}
