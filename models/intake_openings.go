package models

import (
	"context"
	"slices"

	"gorm.io/gorm"

	"jambwright/scheduler/pattern"
)

// OpeningInput is an opening as a schedule gives it. Row needs no ids; its walking order is the order of the inputs.
type OpeningInput struct {
	Row  Opening
	Area AreaName
}

// OpeningsOf lists a project's openings in walking order with their areas and material.
func OpeningsOf(ctx context.Context, r Reader, projectID int64) ([]Opening, error) {
	var rows []Opening
	err := r.in(ctx).Preload("Area").Preload("Items").Where("project_id = ?", projectID).
		Order("walk_order, mark").Find(&rows).Error
	return rows, wrap(err, "list the openings of project %d", projectID)
}

// SaveOpenings adds openings that are new by their mark and changes those there are to what the schedule says. What was
// measured or reported of an opening stays.
func SaveOpenings(ctx context.Context, tx *Tx, projectID int64, inputs []OpeningInput, actor Actor) error {
	names := make([]AreaName, 0, len(inputs))
	for i := range inputs {
		names = append(names, inputs[i].Area)
	}
	areas, err := EnsureAreas(ctx, tx, projectID, names, actor)
	if err != nil {
		return err
	}
	var stored []Opening
	if err := tx.in(ctx).Where("project_id = ?", projectID).Find(&stored).Error; err != nil {
		return wrap(err, "read the openings of project %d", projectID)
	}
	byMark, lastWalk := make(map[string]*Opening, len(stored)), 0
	for i := range stored {
		byMark[stored[i].Mark] = &stored[i]
		lastWalk = max(lastWalk, stored[i].WalkOrder)
	}
	var added []Opening
	for i := range inputs {
		row := inputs[i].Row
		row.ProjectID, row.AreaID = projectID, areas[inputs[i].Area]
		if old := byMark[row.Mark]; old != nil {
			if err := changeOpening(ctx, tx, old, &row, actor); err != nil {
				return err
			}
			continue
		}
		lastWalk++
		row.WalkOrder = lastWalk
		added = append(added, row)
	}
	return createAll(ctx, tx, "openings", added)
}

// changeOpening sets what a schedule says of an opening.
func changeOpening(ctx context.Context, tx *Tx, old, row *Opening, actor Actor) error {
	err := edit[Opening](ctx, tx, "opening "+old.Mark, old.ID, old.Version, map[string]any{
		"area_id": row.AreaID, "room": row.Room, "opening_type": row.OpeningType, "type_mark": row.TypeMark,
		"width": row.Width, "height": row.Height, "leaves": row.Leaves, "leaf_width": row.LeafWidth,
		"leaf_height": row.LeafHeight, "leaf_thickness": row.LeafThickness, "sidelights": row.Sidelights, "lights": row.Lights,
		"glass_text": row.GlassText, "glass_kind": row.GlassKind, "glass_thickness": row.GlassThickness,
		"glass_lites": row.GlassLites, "glass_interlayer": row.GlassInterlayer, "glass_air_space": row.GlassAirSpace,
		"glass_safety": row.GlassSafety, "glass_leaf": row.GlassLeaf, "finish": row.Finish, "fire_minutes": row.FireMinutes, "fire_rating": row.FireRating,
		"hardware_set": row.HardwareSet, "handing": row.Handing, "powered": row.Powered,
		"release_name": row.ReleaseName, "supplier_name": row.SupplierName, "note": row.Note,
	})
	if err != nil {
		return err
	}
	return record(ctx, tx, actor, "change", subject{kind: "opening", id: old.ID, projectID: &old.ProjectID},
		map[string]any{"mark": old.Mark, "width": row.Width, "height": row.Height, "type": row.OpeningType})
}

// RemoveOpenings takes openings out of a project. Their tasks stay, since reports may refer to them, and are no longer
// part of the work.
func RemoveOpenings(ctx context.Context, tx *Tx, projectID int64, marks []string, actor Actor) error {
	for chunk := range slices.Chunk(marks, insertBatch) {
		var ids []int64
		err := tx.in(ctx).Model(&Opening{}).Where("project_id = ? AND mark IN ?", projectID, chunk).Pluck("id", &ids).Error
		if err != nil || len(ids) == 0 {
			return wrap(err, "find openings to remove")
		}
		err = tx.in(ctx).Model(&Task{}).Where("opening_id IN ?", ids).
			Updates(map[string]any{"dropped_at": tx.Now(), "updated_at": tx.Now()}).Error
		if err != nil {
			return wrap(err, "drop the tasks of removed openings")
		}
		if err := tx.in(ctx).Where("id IN ?", ids).Delete(&Opening{}).Error; err != nil {
			return wrap(err, "remove openings")
		}
	}
	return record(ctx, tx, actor, "remove openings", subject{kind: "project", id: projectID, projectID: &projectID},
		map[string]any{"marks": marks})
}

// MarksWithWork are the marks of openings of a project on which something was reported.
func MarksWithWork(ctx context.Context, r Reader, projectID int64) (map[string]bool, error) {
	var marks []string
	err := r.in(ctx).Model(&Opening{}).Distinct("openings.mark").
		Joins("JOIN tasks ON tasks.opening_id = openings.id").Joins("JOIN field_reports ON field_reports.task_id = tasks.id").
		Where("openings.project_id = ?", projectID).Pluck("openings.mark", &marks).Error
	if err != nil {
		return nil, wrap(err, "find openings with work of project %d", projectID)
	}
	out := make(map[string]bool, len(marks))
	for _, mark := range marks {
		out[mark] = true
	}
	return out, nil
}

// AssignReleases gives every item of a project that is not yet in a release the one that pattern.ProposeReleases puts it
// in, adds items that openings newly need and removes those they need no more, unless they are ordered. It returns what
// nobody supplies, in words.
func AssignReleases(ctx context.Context, tx *Tx, projectID int64) (faults []string, err error) {
	a := assignment{projectID: projectID, suppliers: map[string]int64{}, releases: map[string]int64{}}
	if err := a.read(ctx, tx); err != nil {
		return nil, err
	}
	openings := make([]pattern.Opening, 0, len(a.rows))
	named := map[string]string{}
	for i := range a.rows {
		row := &a.rows[i]
		openings = append(openings, pattern.Opening{Mark: row.Mark, Area: row.Area.Code, Takeoff: row.Takeoff()})
		if row.ReleaseName != "" {
			named[row.Mark] = row.ReleaseName
		}
	}
	proposal := pattern.ProposeReleases(a.areas, openings, a.supplies, named)
	if err := a.makeReleases(ctx, tx, proposal.Releases); err != nil {
		return nil, err
	}
	return proposal.Faults, a.assign(ctx, tx, openings, proposal.Material)
}

// assignment is what AssignReleases reads and knows.
type assignment struct {
	projectID int64
	rows      []Opening
	areas     []pattern.Area
	supplies  []pattern.Supply
	suppliers map[string]int64 // by code
	releases  map[string]int64 // by code
}

func (a *assignment) read(ctx context.Context, tx *Tx) (err error) {
	if a.rows, err = OpeningsOf(ctx, tx, a.projectID); err != nil {
		return err
	}
	var areas []Area
	if err := tx.in(ctx).Where("project_id = ?", a.projectID).Find(&areas).Error; err != nil {
		return wrap(err, "read the areas of project %d", a.projectID)
	}
	codes := make(map[int64]string, len(areas))
	for _, area := range areas {
		codes[area.ID] = area.Code
	}
	for _, area := range areas {
		p := pattern.Area{ID: area.Code, Kind: area.Kind}
		if area.ParentID != nil {
			p.Parent = codes[*area.ParentID]
		}
		a.areas = append(a.areas, p)
	}
	suppliers, err := Suppliers(ctx, tx)
	if err != nil {
		return err
	}
	for i := range suppliers {
		a.suppliers[suppliers[i].Code] = suppliers[i].ID
		a.supplies = append(a.supplies, suppliers[i].supplies()...)
	}
	var releases []Release
	err = tx.in(ctx).Where("project_id = ?", a.projectID).Find(&releases).Error
	for _, release := range releases {
		a.releases[release.Code] = release.ID
	}
	return wrap(err, "read the releases of project %d", a.projectID)
}

// supplies groups a supplier's items by what must be known before they are ordered.
func (s *Supplier) supplies() []pattern.Supply {
	var list []pattern.Supply
	for _, item := range s.Items {
		kinds := []pattern.Item{item.ItemKind}
		if item.ItemKind == "" {
			kinds = nil
		}
		same := slices.IndexFunc(list, func(other pattern.Supply) bool { return other.Basis == item.Basis && other.Items != nil })
		if kinds != nil && same >= 0 {
			list[same].Items = append(list[same].Items, item.ItemKind)
			continue
		}
		list = append(list, pattern.Supply{Supplier: s.Code, Items: kinds, Basis: item.Basis})
	}
	return list
}

func (a *assignment) makeReleases(ctx context.Context, tx *Tx, proposed []pattern.Release) error {
	for _, p := range proposed {
		if a.releases[p.ID] != 0 {
			continue
		}
		row := Release{ProjectID: a.projectID, Code: p.ID, SupplierID: a.suppliers[p.Supplier], Basis: p.Basis}
		if err := create(ctx, tx, "release "+p.ID, &row); err != nil {
			return err
		}
		drop := ReleaseDrop{ReleaseID: row.ID, Number: 1}
		if err := create(ctx, tx, "drop of release "+p.ID, &drop); err != nil {
			return err
		}
		a.releases[p.ID] = row.ID
	}
	return nil
}

func (a *assignment) assign(ctx context.Context, tx *Tx, openings []pattern.Opening, material map[string][]pattern.Material) error {
	var added []MaterialItem
	var unneeded []int64
	for i := range a.rows {
		row := &a.rows[i]
		needed := pattern.NeededItems(&openings[i])
		release := map[pattern.Item]*int64{}
		for _, m := range material[row.Mark] {
			id := a.releases[m.Release]
			release[m.Item] = &id
		}
		have := map[pattern.Item]bool{}
		for j := range row.Items {
			item := &row.Items[j]
			if item.ParentID != nil {
				continue
			}
			have[item.Kind] = true
			if !slices.Contains(needed, item.Kind) && item.State == ToOrder {
				unneeded = append(unneeded, item.ID)
			} else if item.ReleaseID == nil && !item.OnSite && release[item.Kind] != nil {
				if err := tx.in(ctx).Model(&MaterialItem{}).Where("id = ?", item.ID).
					Updates(map[string]any{"release_id": release[item.Kind], "version": gorm.Expr("version + 1"), "updated_at": tx.Now()}).Error; err != nil {
					return wrap(err, "put %s of %s into a release", item.Kind, row.Mark)
				}
			}
		}
		for _, kind := range needed {
			if !have[kind] {
				added = append(added, MaterialItem{OpeningID: row.ID, Kind: kind, State: ToOrder, ReleaseID: release[kind], DropNumber: 1})
			}
		}
	}
	if len(unneeded) > 0 {
		if err := tx.in(ctx).Where("id IN ?", unneeded).Delete(&MaterialItem{}).Error; err != nil {
			return wrap(err, "remove material that is needed no more")
		}
	}
	return createAll(ctx, tx, "items of material", added)
}
