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
		"transom": row.Transom, "butt_joints": row.ButtJoints,
		"glass_text": row.GlassText, "glass_kind": row.GlassKind, "glass_thickness": row.GlassThickness,
		"glass_lites": row.GlassLites, "glass_interlayer": row.GlassInterlayer, "glass_air_space": row.GlassAirSpace,
		"glass_safety": row.GlassSafety, "glass_leaf": row.GlassLeaf, "solid_leaf": row.SolidLeaf, "finish": row.Finish, "fire_minutes": row.FireMinutes, "fire_rating": row.FireRating,
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

// UnnamedSupplier is the code of the supplier that stands for material nobody is known to furnish yet. Its lead times are
// guesses to plan with until a sheet of suppliers says better.
const UnnamedSupplier = "unnamed"

// The guessed lead time, in working days: least, likely, most. Ours to replace by a sheet of suppliers.
const guessedLeast, guessedLikely, guessedMost = 10, 15, 20

// AssignReleases gives every item of a project that is not yet in a release the one that pattern.ProposeReleases puts it
// in, adds items that openings newly need and removes those they need no more, unless they are ordered. What nobody is
// known to furnish goes to the unnamed supplier, and back from it once somebody is.
func AssignReleases(ctx context.Context, tx *Tx, projectID int64) error {
	if err := leaveUnnamed(ctx, tx, projectID); err != nil {
		return err
	}
	a := assignment{projectID: projectID, releases: map[string]int64{}}
	if err := a.read(ctx, tx); err != nil {
		return err
	}
	openings, proposal := a.propose()
	if len(proposal.Faults) > 0 {
		if err := ensureUnnamed(ctx, tx); err != nil {
			return err
		}
		if err := a.readSupplies(ctx, tx); err != nil {
			return err
		}
		openings, proposal = a.propose()
	}
	if err := a.makeReleases(ctx, tx, proposal.Releases); err != nil {
		return err
	}
	return a.assign(ctx, tx, openings, proposal.Material)
}

// propose groups the project's material into releases.
func (a *assignment) propose() ([]pattern.Opening, pattern.Proposal) {
	openings := make([]pattern.Opening, 0, len(a.rows))
	named := map[string]string{}
	for i := range a.rows {
		row := &a.rows[i]
		openings = append(openings, pattern.Opening{Mark: row.Mark, Area: row.Area.Code, Takeoff: row.Takeoff()})
		if row.ReleaseName != "" {
			named[row.Mark] = row.ReleaseName
		}
	}
	return openings, pattern.ProposeReleases(a.areas, openings, a.supplies, named)
}

// ensureUnnamed makes the unnamed supplier when it is not there.
func ensureUnnamed(ctx context.Context, tx *Tx) error {
	var n int64
	err := tx.in(ctx).Model(&Supplier{}).Where("code = ?", UnnamedSupplier).Count(&n).Error
	if err != nil || n > 0 {
		return wrap(err, "find the unnamed supplier")
	}
	row := &Supplier{Code: UnnamedSupplier, Name: "Supplier not named"}
	for _, kind := range pattern.Items() {
		row.Items = append(row.Items, SupplierItem{
			ItemKind: kind, Basis: pattern.DefaultBasis(kind), LeastDays: guessedLeast, LikelyDays: guessedLikely, MostDays: guessedMost,
		})
	}
	project, err := FirstProject(ctx, tx)
	if err != nil {
		return err
	}
	row.CalendarID = &project.CalendarID
	return CreateSupplier(ctx, tx, row, Actor{Name: "import"})
}

// leaveUnnamed takes material that is not ordered yet out of the releases of the unnamed supplier, and removes those that
// are empty then and that no report refers to.
func leaveUnnamed(ctx context.Context, tx *Tx, projectID int64) error {
	var ids []int64
	err := tx.in(ctx).Model(&Release{}).Joins("JOIN suppliers ON suppliers.id = releases.supplier_id").
		Where("releases.project_id = ? AND suppliers.code = ? AND releases.ordered_at IS NULL", projectID, UnnamedSupplier).
		Pluck("releases.id", &ids).Error
	if err != nil {
		return wrap(err, "find releases of the unnamed supplier")
	}
	return inChunks(ids, func(chunk []int64) error {
		err := tx.in(ctx).Model(&MaterialItem{}).Where("release_id IN ? AND state = ?", chunk, ToOrder).
			Updates(map[string]any{"release_id": nil, "version": gorm.Expr("version + 1"), "updated_at": tx.Now()}).Error
		if err != nil {
			return wrap(err, "take material from the unnamed supplier")
		}
		empty := tx.in(ctx).Model(&Release{}).Select("id").Where("id IN ?", chunk).
			Where("NOT EXISTS (SELECT 1 FROM material_items m WHERE m.release_id = releases.id)").
			Where("NOT EXISTS (SELECT 1 FROM field_reports r JOIN tasks t ON t.id = r.task_id WHERE t.release_id = releases.id)")
		var gone []int64
		if err := empty.Pluck("id", &gone).Error; err != nil || len(gone) == 0 {
			return wrap(err, "find empty releases of the unnamed supplier")
		}
		if err := tx.in(ctx).Model(&Task{}).Where("release_id IN ?", gone).
			Updates(map[string]any{"dropped_at": tx.Now(), "updated_at": tx.Now()}).Error; err != nil {
			return wrap(err, "drop the tasks of empty releases")
		}
		if err := tx.in(ctx).Where("release_id IN ?", gone).Delete(&MaterialChange{}).Error; err != nil {
			return wrap(err, "remove the history of empty releases")
		}
		return wrap(tx.in(ctx).Where("id IN ?", gone).Delete(&Release{}).Error, "remove empty releases")
	})
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
	if err := a.readSupplies(ctx, tx); err != nil {
		return err
	}
	var releases []Release
	err = tx.in(ctx).Where("project_id = ?", a.projectID).Find(&releases).Error
	for _, release := range releases {
		a.releases[release.Code] = release.ID
	}
	return wrap(err, "read the releases of project %d", a.projectID)
}

// readSupplies reads who furnishes what, the unnamed supplier last.
func (a *assignment) readSupplies(ctx context.Context, tx *Tx) error {
	a.suppliers, a.supplies = map[string]int64{}, nil
	suppliers, err := Suppliers(ctx, tx)
	if err != nil {
		return err
	}
	var last []pattern.Supply
	for i := range suppliers {
		a.suppliers[suppliers[i].Code] = suppliers[i].ID
		if suppliers[i].Code == UnnamedSupplier {
			last = suppliers[i].supplies()
			continue
		}
		a.supplies = append(a.supplies, suppliers[i].supplies()...)
	}
	a.supplies = append(a.supplies, last...)
	return nil
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
