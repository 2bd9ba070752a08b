package models

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"gorm.io/gorm"

	"jambwright/scheduler/pattern"
)

// ReleaseByID reads a release with supplier and drops.
func ReleaseByID(ctx context.Context, r Reader, id int64) (*Release, error) {
	var rel Release
	err := r.in(ctx).Preload("Supplier.Items").Preload("Drops", func(q *gorm.DB) *gorm.DB { return q.Order("number") }).Take(&rel, id).Error
	if err != nil {
		return nil, wrap(err, "find release %d", id)
	}
	return &rel, nil
}

// ReleaseItems lists the items that come with a release, by drop, area, place in it and mark, with their openings.
func ReleaseItems(ctx context.Context, r Reader, releaseID int64) ([]MaterialItem, error) {
	var rows []MaterialItem
	err := r.in(ctx).Select("material_items.*").Preload("Opening.Area").Joins("JOIN openings ON openings.id = material_items.opening_id").
		Where("material_items.release_id = ?", releaseID).
		Order("material_items.drop_number, openings.area_id, openings.walk_order, openings.mark, material_items.id").Find(&rows).Error
	return rows, wrap(err, "list what release %d holds", releaseID)
}

// RemakeByID reads a remake with its opening and supplier.
func RemakeByID(ctx context.Context, r Reader, id int64) (*MaterialItem, error) {
	var item MaterialItem
	err := r.in(ctx).Preload("Opening.Area").Preload("Supplier").Where("parent_id IS NOT NULL").Take(&item, id).Error
	if err != nil {
		return nil, wrap(err, "find remake %d", id)
	}
	return &item, nil
}

// Remakes lists the remakes of a project with their openings, newest first.
func Remakes(ctx context.Context, r Reader, projectID int64) ([]MaterialItem, error) {
	var rows []MaterialItem
	err := r.in(ctx).Select("material_items.*").Preload("Opening.Area").Preload("Supplier").
		Joins("JOIN openings ON openings.id = material_items.opening_id").
		Where("openings.project_id = ? AND material_items.parent_id IS NOT NULL", projectID).
		Order("material_items.reported_at DESC, material_items.id DESC").Find(&rows).Error
	return rows, wrap(err, "list remakes")
}

// UpdateRelease stores name, supplier, basis, lead time and note of a release, if rel still has the stored version, with a line
// of history for supplier, basis and lead where they changed. Its dates change by RecordMaterial.
func UpdateRelease(ctx context.Context, tx *Tx, rel *Release, cause string, actor Actor) error {
	old, err := byID[Release](ctx, tx, "release", rel.ID)
	if err != nil {
		return err
	}
	err = edit[Release](ctx, tx, "release "+rel.Code, rel.ID, rel.Version, map[string]any{
		"name": rel.Name, "supplier_id": rel.SupplierID, "basis": rel.Basis, "note": rel.Note,
		"least_days": rel.LeastDays, "likely_days": rel.LikelyDays, "most_days": rel.MostDays,
	})
	if err != nil {
		return err
	}
	lines, err := termLines(ctx, tx, old, rel)
	if err != nil {
		return err
	}
	for i := range lines {
		lines[i].ReleaseID, lines[i].At, lines[i].UserID, lines[i].Cause = &rel.ID, tx.Now(), actor.UserID, cause
	}
	if err := createAll(ctx, tx, "changes of material", lines); err != nil {
		return err
	}
	return record(ctx, tx, actor, "change", rel.subject(), map[string]any{"code": rel.Code, "name": rel.Name, "basis": rel.Basis})
}

// termLines are the lines of history for how a release is ordered.
func termLines(ctx context.Context, tx *Tx, old, rel *Release) (lines []MaterialChange, err error) {
	if old.Basis != rel.Basis {
		lines = append(lines, MaterialChange{Field: MaterialBasis, OldValue: basisWords(old.Basis), NewValue: basisWords(rel.Basis)})
	}
	if a, b := leadText(old), leadText(rel); a != b {
		lines = append(lines, MaterialChange{Field: MaterialLead, OldValue: a, NewValue: b})
	}
	if old.SupplierID != rel.SupplierID {
		before, err := byID[Supplier](ctx, tx, "supplier", old.SupplierID)
		if err != nil {
			return nil, err
		}
		after, err := byID[Supplier](ctx, tx, "supplier", rel.SupplierID)
		if err != nil {
			return nil, err
		}
		lines = append(lines, MaterialChange{Field: MaterialSupplier, OldValue: before.Name, NewValue: after.Name})
	}
	return lines, nil
}

func basisWords(b pattern.OrderBasis) string { return strings.ReplaceAll(string(b), "_", " ") }

// leadText is a release's own lead time in words.
func leadText(r *Release) string {
	if r.LikelyDays == nil {
		return "the supplier's"
	}
	return fmt.Sprintf("%d to %d working days, likely %d", *r.LeastDays, *r.MostDays, *r.LikelyDays)
}

// AddDrop adds a further drop to a release and returns its number. restOf is the drop whose rest it brings, 0 for none.
func AddDrop(ctx context.Context, tx *Tx, releaseID int64, restOf int, promised *Date) (int, error) {
	var last int
	err := tx.in(ctx).Model(&ReleaseDrop{}).Select("COALESCE(MAX(number), 0)").Where("release_id = ?", releaseID).Scan(&last).Error
	if err != nil {
		return 0, wrap(err, "count the drops of release %d", releaseID)
	}
	drop := ReleaseDrop{ReleaseID: releaseID, Number: last + 1, Promised: promised}
	if restOf > 0 {
		drop.RestOf = &restOf
	}
	return drop.Number, create(ctx, tx, fmt.Sprintf("drop %d of release %d", drop.Number, releaseID), &drop)
}

// MoveItems puts items of the first order into a drop of a release, with lines of history for what each drop concerned holds
// then.
func MoveItems(ctx context.Context, tx *Tx, releaseID int64, drop int, itemIDs []int64, cause string, actor Actor) error {
	rel, err := byID[Release](ctx, tx, "release", releaseID)
	if err != nil {
		return err
	}
	concerned, err := dropsOfItems(ctx, tx, itemIDs)
	if err != nil {
		return err
	}
	target := dropRef{releaseID, drop}
	if !slices.Contains(concerned, target) {
		concerned = append(concerned, target)
	}
	before, err := countItems(ctx, tx, concerned)
	if err != nil {
		return err
	}
	err = inChunks(itemIDs, func(chunk []int64) error {
		err := tx.in(ctx).Model(&MaterialItem{}).Where("id IN ? AND parent_id IS NULL", chunk).Updates(map[string]any{
			"release_id": releaseID, "drop_number": drop, "on_site": false, "version": gorm.Expr("version + 1"), "updated_at": tx.Now(),
		}).Error
		return wrap(err, "move material into release %s", rel.Code)
	})
	if err != nil {
		return err
	}
	after, err := countItems(ctx, tx, concerned)
	if err != nil {
		return err
	}
	var lines []MaterialChange
	for _, d := range concerned {
		if before[d] != after[d] {
			lines = append(lines, MaterialChange{
				ReleaseID: &d.release, DropNumber: &d.drop, At: tx.Now(), UserID: actor.UserID, Field: MaterialContents,
				OldValue: itemCount(before[d]), NewValue: itemCount(after[d]), Cause: cause,
			})
		}
	}
	if err := createAll(ctx, tx, "changes of material", lines); err != nil {
		return err
	}
	if err := setReleaseStates(ctx, tx, releaseID, rel.OrderedAt); err != nil {
		return err
	}
	return record(ctx, tx, actor, "move material", rel.subject(), map[string]any{"drop": drop, "items": len(itemIDs)})
}

func itemCount(n int) string {
	if n == 1 {
		return "1 item"
	}
	return fmt.Sprintf("%d items", n)
}

// dropRef names a drop.
type dropRef struct {
	release int64
	drop    int
}

// dropsOfItems are the drops that items come with, in order.
func dropsOfItems(ctx context.Context, r Reader, ids []int64) (drops []dropRef, err error) {
	err = inChunks(ids, func(chunk []int64) error {
		var rows []struct {
			ReleaseID  int64
			DropNumber int
		}
		err := r.in(ctx).Model(&MaterialItem{}).Distinct("release_id", "drop_number").
			Where("id IN ? AND release_id IS NOT NULL", chunk).Order("release_id, drop_number").Find(&rows).Error
		for _, row := range rows {
			if d := (dropRef{row.ReleaseID, row.DropNumber}); !slices.Contains(drops, d) {
				drops = append(drops, d)
			}
		}
		return wrap(err, "find the drops of material")
	})
	return drops, err
}

func countItems(ctx context.Context, r Reader, drops []dropRef) (map[dropRef]int, error) {
	counts := map[dropRef]int{}
	ids := make([]int64, len(drops))
	for i, d := range drops {
		ids[i] = d.release
	}
	var rows []struct {
		ReleaseID  int64
		DropNumber int
		N          int
	}
	err := r.in(ctx).Model(&MaterialItem{}).Select("release_id, drop_number, COUNT(*) AS n").
		Where("release_id IN ?", ids).Group("release_id, drop_number").Find(&rows).Error
	for _, row := range rows {
		counts[dropRef{row.ReleaseID, row.DropNumber}] = row.N
	}
	return counts, wrap(err, "count the items of drops")
}

// PartReceived says that some items of a drop came and the rest is still to come.
type PartReceived struct {
	ReleaseID    int64
	Drop         int
	Came         []int64 // items
	At           time.Time
	RestPromised *Date // when the rest is promised; nil when nobody said
	Cause        string
	Source       string
}

// ReceivePart records that a part of a drop came. The rest becomes a drop of its own, so that openings whose material is there can
// go on while the others wait. It returns the number of that drop.
func ReceivePart(ctx context.Context, tx *Tx, p PartReceived, actor Actor) (rest int, err error) {
	var held []int64
	err = tx.in(ctx).Model(&MaterialItem{}).Where("release_id = ? AND drop_number = ?", p.ReleaseID, p.Drop).Order("id").Pluck("id", &held).Error
	if err != nil {
		return 0, wrap(err, "list what drop %d holds", p.Drop)
	}
	missing := slices.DeleteFunc(slices.Clone(held), func(id int64) bool { return slices.Contains(p.Came, id) })
	if came := len(held) - len(missing); came == 0 || came != len(p.Came) || len(missing) == 0 {
		return 0, fmt.Errorf("%d of the %d items that came are in drop %d, which holds %d: a part is some of them and not all", came, len(p.Came), p.Drop, len(held))
	}
	if rest, err = AddDrop(ctx, tx, p.ReleaseID, p.Drop, p.RestPromised); err != nil {
		return 0, err
	}
	if err := MoveItems(ctx, tx, p.ReleaseID, rest, missing, p.Cause, actor); err != nil {
		return 0, err
	}
	if p.RestPromised != nil {
		line := MaterialChange{
			ReleaseID: &p.ReleaseID, DropNumber: &rest, At: tx.Now(), UserID: actor.UserID, Field: MaterialPromised,
			NewValue: dateText(p.RestPromised), Cause: p.Cause, Source: p.Source,
		}
		if err := createAll(ctx, tx, "changes of material", []MaterialChange{line}); err != nil {
			return 0, err
		}
	}
	return rest, RecordMaterial(ctx, tx, MaterialNews{
		ReleaseID: &p.ReleaseID, Drop: p.Drop, Received: &p.At, Cause: p.Cause, Source: p.Source,
	}, actor)
}
