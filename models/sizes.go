package models

import (
	"context"
	"fmt"

	"gorm.io/gorm"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

// standing keeps the measured sizes that nobody took back.
func standing(q *gorm.DB) *gorm.DB {
	return q.Where("field_reports.kind = ? AND field_reports.withdraws IS NULL", ReportMeasured).
		Where("NOT EXISTS (SELECT 1 FROM field_reports taken_back WHERE taken_back.withdraws = field_reports.id)")
}

// fieldSizes reads the sizes measured on the openings that a query selects by id, oldest first, by opening.
func fieldSizes(ctx context.Context, r Reader, openings any) (map[int64][]pattern.FieldSize, error) {
	var rows []struct {
		OpeningID int64
		FieldReport
	}
	err := standing(r.in(ctx).Model(&FieldReport{})).Select("tasks.opening_id, field_reports.*").
		Joins("JOIN tasks ON tasks.id = field_reports.task_id").Where("tasks.opening_id IN (?)", openings).
		Order("field_reports.at, field_reports.id").Find(&rows).Error
	sizes := map[int64][]pattern.FieldSize{}
	for i := range rows {
		row := &rows[i]
		size := pattern.FieldSize{At: row.At, Width: *row.Width, Height: *row.Height}
		sizes[row.OpeningID] = append(sizes[row.OpeningID], size)
	}
	return sizes, wrap(err, "read the measured sizes of openings")
}

// ReadSizes reads into openings what was measured of them and how their material is ordered, which MadeTo and ItemSize go by.
// It takes two queries for each thousand openings.
func ReadSizes(ctx context.Context, r Reader, openings ...*Opening) error {
	byID := map[int64][]*Opening{}
	var ids []int64
	for _, o := range openings {
		if byID[o.ID] == nil {
			ids = append(ids, o.ID)
		}
		byID[o.ID] = append(byID[o.ID], o)
	}
	return inChunks(ids, func(chunk []int64) error {
		sizes, err := fieldSizes(ctx, r, chunk)
		if err != nil {
			return err
		}
		var items []MaterialItem
		err = r.in(ctx).Preload("Release").Where("opening_id IN ?", chunk).Order("opening_id, id").Find(&items).Error
		if err != nil {
			return wrap(err, "read the material of openings")
		}
		orders := map[int64][]pattern.ItemOrder{}
		for i := range items {
			orders[items[i].OpeningID] = append(orders[items[i].OpeningID], itemOrder(&items[i], items[i].Release))
		}
		for _, id := range chunk {
			for _, o := range byID[id] {
				o.Sizes, o.orders = sizes[id], newestOrders(orders[id])
			}
		}
		return nil
	})
}

// itemOrder says how an item is ordered; a remake is ordered by itself, on the usual basis of its kind.
func itemOrder(item *MaterialItem, release *Release) pattern.ItemOrder {
	order := pattern.ItemOrder{Item: item.Kind}
	switch {
	case item.ParentID != nil:
		order.Ordered = item.OrderedAt
	case release != nil:
		order.Basis, order.Ordered = release.Basis, release.OrderedAt
	}
	return order
}

// newestOrders keeps one order of each kind of item: that of the last remake where there is one. A remake is made on the
// basis of what it replaces.
func newestOrders(orders []pattern.ItemOrder) []pattern.ItemOrder {
	var kept []pattern.ItemOrder
next:
	for _, order := range orders {
		for i := range kept {
			if kept[i].Item == order.Item {
				kept[i].Ordered = order.Ordered
				continue next
			}
		}
		kept = append(kept, order)
	}
	return kept
}

// ItemSize says which size an item of the opening is made to. ReadSizes must have read the opening.
func (o *Opening) ItemSize(item pattern.Item) pattern.ItemSize {
	for _, order := range o.orders {
		if order.Item == item {
			return pattern.SizeOf(order, o.Sizes)
		}
	}
	return pattern.SizeOf(pattern.ItemOrder{Item: item}, o.Sizes)
}

// WorkSize is the size that the opening's quantities, weights, hands and hours go by: that of the item that LeadingItem
// names, else of a frame kit that nobody ordered yet.
func (o *Opening) WorkSize() pattern.ItemSize {
	order, ok := pattern.LeadingItem(o.orders)
	if !ok {
		order = pattern.ItemOrder{Item: pattern.FrameKit}
	}
	return pattern.SizeOf(order, o.Sizes)
}

// MadeTo is the opening's geometry at its WorkSize: as the work on it finds it. A field size that cannot be built leaves it
// as drawn. ReadSizes must have read the opening, else it is as drawn.
func (o *Opening) MadeTo(rules takeoff.Rules) takeoff.Opening {
	made, _ := o.WorkSize().MadeTo(o.Takeoff(), rules)
	return made
}

// reportSize makes the opening's size the newest of those that stand. A measurement and one that is taken back change it alike,
// in whatever order they arrive.
func reportSize(ctx context.Context, tx *Tx, task *Task) error {
	if task.OpeningID == nil {
		return fmt.Errorf("report a measured size on task %s: it is not the work of one opening: %w", task.Key, ErrRefused)
	}
	sizes, err := fieldSizes(ctx, tx, []int64{*task.OpeningID})
	if err != nil {
		return err
	}
	values := map[string]any{
		"measured_at": nil, "measured_width": 0, "measured_height": 0, "version": gorm.Expr("version + 1"), "updated_at": tx.Now(),
	}
	if stand := sizes[*task.OpeningID]; len(stand) > 0 {
		newest := stand[len(stand)-1]
		values["measured_at"], values["measured_width"], values["measured_height"] = newest.At, newest.Width, newest.Height
	}
	err = tx.in(ctx).Model(&Opening{}).Where("id = ?", *task.OpeningID).Updates(values).Error
	return wrap(err, "store the measured size of task %s", task.Key)
}

// TakeBackSize appends a report that takes a measured size back: the opening's size is then the one measured before it, else
// the drawings', and what the size held goes on. The report must be of kind ReportMeasured; ErrRefused says that it is taken
// back already or is no size.
func TakeBackSize(ctx context.Context, tx *Tx, reportID int64, back FieldReport) error {
	size, err := byID[FieldReport](ctx, tx, "report", reportID)
	if err != nil {
		return err
	}
	var n int64
	err = standing(tx.in(ctx).Model(&FieldReport{})).Where("field_reports.id = ?", reportID).Count(&n).Error
	if err != nil {
		return wrap(err, "read report %d", reportID)
	}
	if done, err := IsReported(ctx, tx, back.ClientID); err != nil || done {
		return err
	}
	if n == 0 {
		return fmt.Errorf("take back report %d, %s: it is no measured size that stands: %w", reportID, size.Kind, ErrRefused)
	}
	back.TaskID, back.Kind, back.Withdraws = size.TaskID, ReportMeasured, &size.ID
	back.Width, back.Height = size.Width, size.Height
	_, err = AppendReport(ctx, tx, &back)
	return err
}
