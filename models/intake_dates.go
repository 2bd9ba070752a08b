package models

import (
	"cmp"
	"context"
	"fmt"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

// HandoverInput is what a sheet says of one condition of an area. A date that the sheet leaves empty is nil and changes
// nothing: silence takes no promise back.
type HandoverInput struct {
	Area      AreaName
	Condition pattern.Condition
	Trade     string
	Promised  *Date
	Forecast  *Date
	Actual    *Date
	Note      string
}

// SaveHandovers adds new handovers and changes the dates of those there are; every date that changes leaves a line in the
// history, with the source it came by.
func SaveHandovers(ctx context.Context, tx *Tx, projectID int64, inputs []HandoverInput, source string, actor Actor) error {
	names := make([]AreaName, 0, len(inputs))
	for i := range inputs {
		names = append(names, inputs[i].Area)
	}
	areas, err := EnsureAreas(ctx, tx, projectID, names, actor)
	if err != nil {
		return err
	}
	stored, err := Handovers(ctx, tx, projectID)
	if err != nil {
		return err
	}
	byKey := make(map[string]*Handover, len(stored))
	for i := range stored {
		byKey[fmt.Sprintf("%d/%s", stored[i].AreaID, stored[i].Condition)] = &stored[i]
	}
	for i := range inputs {
		in := &inputs[i]
		area := areas[in.Area]
		h := byKey[fmt.Sprintf("%d/%s", area, in.Condition)]
		if h == nil {
			h = &Handover{
				AreaID: area, Condition: in.Condition, Trade: in.Trade, Note: in.Note,
				Promised: in.Promised, Forecast: in.Forecast, Actual: in.Actual,
			}
			if err := CreateHandover(ctx, tx, h, source, actor); err != nil {
				return err
			}
			continue
		}
		if err := changeHandover(ctx, tx, h, in, source, actor); err != nil {
			return err
		}
	}
	return nil
}

// changeHandover sets the dates and words that an input gives.
func changeHandover(ctx context.Context, tx *Tx, h *Handover, in *HandoverInput, source string, actor Actor) error {
	news := HandoverNews{
		Promised: cmp.Or(in.Promised, h.Promised), Forecast: cmp.Or(in.Forecast, h.Forecast), Actual: cmp.Or(in.Actual, h.Actual),
		Source: source,
	}
	if !equal(news.Promised, h.Promised) || !equal(news.Forecast, h.Forecast) || !equal(news.Actual, h.Actual) {
		if err := RecordHandoverChange(ctx, tx, h.ID, h.Version, news, actor); err != nil {
			return err
		}
		h.Version++
	}
	trade, note := cmp.Or(in.Trade, h.Trade), cmp.Or(in.Note, h.Note)
	if trade == h.Trade && note == h.Note {
		return nil
	}
	return edit[Handover](ctx, tx, "handover of "+string(h.Condition), h.ID, h.Version, map[string]any{"trade": trade, "note": note})
}

// RemoveHandovers takes handovers out of a project: no task waits for them any more.
func RemoveHandovers(ctx context.Context, tx *Tx, projectID int64, ids []int64, actor Actor) error {
	return inChunks(ids, func(chunk []int64) error {
		if err := tx.in(ctx).Model(&Task{}).Where("handover_id IN ?", chunk).Update("handover_id", nil).Error; err != nil {
			return wrap(err, "remove handovers")
		}
		if err := tx.in(ctx).Where("id IN ?", chunk).Delete(&Handover{}).Error; err != nil {
			return wrap(err, "remove handovers")
		}
		return record(ctx, tx, actor, "remove handovers", subject{kind: "project", id: projectID, projectID: &projectID},
			map[string]any{"ids": chunk})
	})
}

// GCDateInput is what a sheet says of a date the general contractor holds.
type GCDateInput struct {
	Name    string
	Area    *AreaName // nil: the whole project
	Kind    takeoff.Kind
	Due     Date
	Damages *int64 // cents a day
	Note    string
}

// SaveGCDates adds new GC dates and changes those there are, by name.
func SaveGCDates(ctx context.Context, tx *Tx, projectID int64, inputs []GCDateInput, actor Actor) error {
	var names []AreaName
	for i := range inputs {
		if inputs[i].Area != nil {
			names = append(names, *inputs[i].Area)
		}
	}
	areas, err := EnsureAreas(ctx, tx, projectID, names, actor)
	if err != nil {
		return err
	}
	stored, err := GCDates(ctx, tx, projectID)
	if err != nil {
		return err
	}
	byName, codes := map[string]*GCDate{}, map[string]bool{}
	for i := range stored {
		byName[foldName(stored[i].Name)], codes[stored[i].Code] = &stored[i], true
	}
	for i := range inputs {
		in := &inputs[i]
		row := GCDate{
			ProjectID: projectID, Name: in.Name, Kind: in.Kind, Due: in.Due, DamagesCentsPerDay: in.Damages, Note: in.Note,
		}
		if in.Area != nil {
			id := areas[*in.Area]
			row.AreaID = &id
		}
		if err := saveGCDate(ctx, tx, byName[foldName(in.Name)], &row, codes, actor); err != nil {
			return err
		}
	}
	return nil
}

func saveGCDate(ctx context.Context, tx *Tx, old, row *GCDate, codes map[string]bool, actor Actor) error {
	if old == nil {
		base := areaCode(row.Name)
		row.Code = base
		for n := 2; codes[row.Code]; n++ {
			row.Code = fmt.Sprintf("%s.%d", base, n)
		}
		codes[row.Code] = true
		return CreateGCDate(ctx, tx, row, actor)
	}
	row.ID, row.Version, row.Code = old.ID, old.Version, old.Code
	return UpdateGCDate(ctx, tx, row, actor)
}

// RemoveGCDates takes GC dates out of a project.
func RemoveGCDates(ctx context.Context, tx *Tx, projectID int64, ids []int64, actor Actor) error {
	return inChunks(ids, func(chunk []int64) error {
		if err := tx.in(ctx).Where("id IN ?", chunk).Delete(&GCDate{}).Error; err != nil {
			return wrap(err, "remove GC dates")
		}
		return record(ctx, tx, actor, "remove GC dates", subject{kind: "project", id: projectID, projectID: &projectID},
			map[string]any{"ids": chunk})
	})
}
