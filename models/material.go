package models

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"time"

	"gorm.io/gorm"

	"jambwright/scheduler/pattern"
)

// CreateRelease adds a release with its drops; without any it has the first.
func CreateRelease(ctx context.Context, tx *Tx, rel *Release, actor Actor) error {
	drops := rel.Drops
	if len(drops) == 0 {
		drops = []ReleaseDrop{{Number: 1}}
	}
	if err := create(ctx, tx, "release "+rel.Code, rel); err != nil {
		return err
	}
	for i := range drops {
		drops[i].ReleaseID = rel.ID
	}
	if err := createAll(ctx, tx, "drops of release "+rel.Code, drops); err != nil {
		return err
	}
	rel.Drops = drops
	return record(ctx, tx, actor, "create", rel.subject(), map[string]any{"code": rel.Code, "basis": rel.Basis})
}

func (r *Release) subject() subject {
	return subject{kind: "release", id: r.ID, projectID: &r.ProjectID}
}

// Releases lists a project's releases by code, with suppliers and drops.
func Releases(ctx context.Context, r Reader, projectID int64) ([]Release, error) {
	var rows []Release
	err := r.in(ctx).Preload("Supplier").Preload("Drops", func(q *gorm.DB) *gorm.DB { return q.Order("number") }).
		Where("project_id = ?", projectID).Order("code").Find(&rows).Error
	return rows, wrap(err, "list releases")
}

// MaterialNews is what became known of a release, of one of its drops or of a remake: exactly one of ReleaseID and ItemID
// is set. A nil field stays as it is. Shipped, Received and Promised belong to the drop (0 reads as 1).
type MaterialNews struct {
	ReleaseID *int64
	Drop      int
	ItemID    *int64

	Ordered  *time.Time
	Promised *Date
	Shipped  *time.Time
	Received *time.Time
	Clear    []MaterialField // dates that were entered by mistake

	Cause  string
	Source string
}

// materialDates are the dates of a drop with its release, or of a remake.
type materialDates struct {
	ordered  *time.Time
	promised *Date
	shipped  *time.Time
	received *time.Time
}

// apply sets what the news say and returns a line of history for each date that changed.
func (d *materialDates) apply(n MaterialNews, line MaterialChange) []MaterialChange {
	var lines []MaterialChange
	note := func(field MaterialField, old, next string) {
		if old != next {
			l := line
			l.Field, l.OldValue, l.NewValue = field, old, next
			lines = append(lines, l)
		}
	}
	set := func(field MaterialField, at **time.Time, news *time.Time) {
		if news != nil {
			next := Instant(*news)
			note(field, instantText(*at), instantText(&next))
			*at = &next
		}
	}
	set(MaterialOrdered, &d.ordered, n.Ordered)
	if n.Promised != nil {
		note(MaterialPromised, dateText(d.promised), dateText(n.Promised))
		d.promised = n.Promised
	}
	set(MaterialShipped, &d.shipped, n.Shipped)
	set(MaterialReceived, &d.received, n.Received)
	unset := func(field MaterialField, at **time.Time) {
		if slices.Contains(n.Clear, field) {
			note(field, instantText(*at), "")
			*at = nil
		}
	}
	unset(MaterialOrdered, &d.ordered)
	unset(MaterialShipped, &d.shipped)
	unset(MaterialReceived, &d.received)
	if slices.Contains(n.Clear, MaterialPromised) {
		note(MaterialPromised, dateText(d.promised), "")
		d.promised = nil
	}
	return lines
}

func instantText(t *time.Time) string {
	if t == nil {
		return ""
	}
	return t.UTC().Format(time.RFC3339)
}

// state is how far material with these dates has come.
func (d *materialDates) state() MaterialState {
	switch {
	case d.received != nil:
		return Received
	case d.shipped != nil:
		return Shipped
	case d.promised != nil:
		return Acknowledged
	case d.ordered != nil:
		return Ordered
	}
	return ToOrder
}

// RecordMaterial sets dates of material, moves the states of the items that come with it, and appends a line of history for each
// date that changed. News that change nothing leave nothing behind.
func RecordMaterial(ctx context.Context, tx *Tx, n MaterialNews, actor Actor) error {
	line := MaterialChange{At: tx.Now(), UserID: actor.UserID, Cause: n.Cause, Source: n.Source}
	switch {
	case n.ReleaseID != nil && n.ItemID == nil:
		return recordDrop(ctx, tx, n, line, actor)
	case n.ItemID != nil && n.ReleaseID == nil:
		return recordRemake(ctx, tx, n, line, actor)
	}
	return errors.New("material news must name either a release or a remake")
}

func recordDrop(ctx context.Context, tx *Tx, n MaterialNews, line MaterialChange, actor Actor) error {
	rel, err := byID[Release](ctx, tx, "release", *n.ReleaseID)
	if err != nil {
		return err
	}
	number := max(1, n.Drop)
	var drop ReleaseDrop
	err = tx.in(ctx).Where("release_id = ? AND number = ?", rel.ID, number).Take(&drop).Error
	if err != nil {
		return wrap(err, "find drop %d of release %s", number, rel.Code)
	}
	dates := materialDates{rel.OrderedAt, drop.Promised, drop.ShippedAt, drop.ReceivedAt}
	line.ReleaseID, line.DropNumber = &rel.ID, &number
	lines := dates.apply(n, line)
	if len(lines) == 0 {
		return nil
	}
	err = errors.Join(
		tx.in(ctx).Model(&ReleaseDrop{}).Where("id = ?", drop.ID).Updates(map[string]any{
			"promised": dates.promised, "shipped_at": dates.shipped, "received_at": dates.received,
		}).Error,
		edit[Release](ctx, tx, "release "+rel.Code, rel.ID, rel.Version, map[string]any{"ordered_at": dates.ordered}),
		createAll(ctx, tx, "changes of material", lines),
		setReleaseStates(ctx, tx, rel.ID, dates.ordered),
	)
	if err != nil {
		return wrap(err, "record drop %d of release %s", number, rel.Code)
	}
	return record(ctx, tx, actor, "record material", rel.subject(), materialDetail(lines))
}

// setReleaseStates moves the items of every drop of a release to the state of their drop. A damaged or remade item stays
// what it is.
func setReleaseStates(ctx context.Context, tx *Tx, releaseID int64, ordered *time.Time) error {
	var drops []ReleaseDrop
	if err := tx.in(ctx).Where("release_id = ?", releaseID).Find(&drops).Error; err != nil {
		return wrap(err, "read the drops of release %d", releaseID)
	}
	for _, d := range drops {
		dates := materialDates{ordered, d.Promised, d.ShippedAt, d.ReceivedAt}
		err := tx.in(ctx).Model(&MaterialItem{}).
			Where("release_id = ? AND drop_number = ? AND state NOT IN ?", releaseID, d.Number, []MaterialState{Damaged, Remade}).
			Updates(map[string]any{"state": dates.state(), "updated_at": tx.Now()}).Error
		if err != nil {
			return wrap(err, "move the material of release %d", releaseID)
		}
	}
	return nil
}

func recordRemake(ctx context.Context, tx *Tx, n MaterialNews, line MaterialChange, actor Actor) error {
	item, err := byID[MaterialItem](ctx, tx, "material item", *n.ItemID)
	if err != nil {
		return err
	}
	if item.ParentID == nil {
		return fmt.Errorf("material item %d comes with a release; record the release", item.ID)
	}
	dates := materialDates{item.OrderedAt, item.Promised, item.ShippedAt, item.ReceivedAt}
	line.ItemID = &item.ID
	lines := dates.apply(n, line)
	if len(lines) == 0 {
		return nil
	}
	err = errors.Join(
		edit[MaterialItem](ctx, tx, "remake "+item.Code, item.ID, item.Version, map[string]any{
			"ordered_at": dates.ordered, "promised": dates.promised, "shipped_at": dates.shipped, "received_at": dates.received,
			"state": dates.state(),
		}),
		createAll(ctx, tx, "changes of material", lines),
	)
	if err != nil {
		return err
	}
	if dates.received != nil {
		err := tx.in(ctx).Model(&MaterialItem{}).Where("id = ?", *item.ParentID).
			Updates(map[string]any{"state": Remade, "updated_at": tx.Now()}).Error
		if err != nil {
			return wrap(err, "mark what remake %s replaces", item.Code)
		}
	}
	opening, err := byID[Opening](ctx, tx, "opening", item.OpeningID)
	if err != nil {
		return err
	}
	about := subject{kind: "material_item", id: item.ID, projectID: &opening.ProjectID}
	return record(ctx, tx, actor, "record material", about, materialDetail(lines))
}

func materialDetail(lines []MaterialChange) map[string]any {
	detail := map[string]any{}
	for _, l := range lines {
		detail[string(l.Field)] = map[string]string{"old": l.OldValue, "new": l.NewValue}
	}
	return detail
}

// addRemake orders an item of an opening again: the one in use becomes damaged, and a new one with it as parent is to be
// ordered from the same supplier. An item that was never listed was on site and is listed now.
func addRemake(ctx context.Context, tx *Tx, opening *Opening, kind pattern.Item, reportedAt time.Time, cause string) (*MaterialItem, error) {
	var items []MaterialItem
	err := tx.in(ctx).Preload("Release").Where("opening_id = ? AND kind = ?", opening.ID, kind).Order("id").Find(&items).Error
	if err != nil {
		return nil, wrap(err, "find the %s of opening %s", kind, opening.Mark)
	}
	if len(items) == 0 {
		first := MaterialItem{OpeningID: opening.ID, Kind: kind, State: Received, OnSite: true}
		if err := create(ctx, tx, string(kind)+" of opening "+opening.Mark, &first); err != nil {
			return nil, err
		}
		items = append(items, first)
	}
	damaged := items[len(items)-1]
	supplier, err := remakeSupplier(ctx, tx, &damaged)
	if err != nil {
		return nil, err
	}
	err = tx.in(ctx).Model(&MaterialItem{}).Where("id = ?", damaged.ID).
		Updates(map[string]any{"state": Damaged, "updated_at": tx.Now(), "version": gorm.Expr("version + 1")}).Error
	if err != nil {
		return nil, wrap(err, "mark the %s of opening %s as damaged", kind, opening.Mark)
	}
	at := minute(reportedAt)
	remake := &MaterialItem{
		OpeningID: opening.ID, Kind: kind, State: ToOrder, ParentID: &damaged.ID, SupplierID: supplier, Cause: cause,
		ReportedAt: &at, Code: opening.Mark + "-" + string(kind) + "-" + strconv.Itoa(len(items)),
	}
	return remake, create(ctx, tx, "remake "+remake.Code, remake)
}

// remakeSupplier is who made the item; for one of unknown origin, the first supplier that makes its kind.
func remakeSupplier(ctx context.Context, tx *Tx, item *MaterialItem) (*int64, error) {
	if item.SupplierID != nil {
		return item.SupplierID, nil
	}
	if item.Release != nil {
		return &item.Release.SupplierID, nil
	}
	var line SupplierItem
	err := tx.in(ctx).Joins("JOIN suppliers ON suppliers.id = supplier_items.supplier_id").
		Where("item_kind IN ?", []pattern.Item{item.Kind, ""}).Order("item_kind DESC, suppliers.code").First(&line).Error
	if errors.Is(err, gorm.ErrRecordNotFound) {
		return nil, nil // nobody is known to make it: a person must say who does
	}
	return &line.SupplierID, wrap(err, "find a supplier of %s", item.Kind)
}

// SetRemakeSupplier says who makes a remake, and within which lead time where it differs from the supplier's.
func SetRemakeSupplier(ctx context.Context, tx *Tx, itemID, version, supplierID int64, least, likely, most *int, actor Actor) error {
	item, err := byID[MaterialItem](ctx, tx, "material item", itemID)
	if err != nil {
		return err
	}
	err = edit[MaterialItem](ctx, tx, "remake "+item.Code, itemID, version, map[string]any{
		"supplier_id": supplierID, "least_days": least, "likely_days": likely, "most_days": most,
	})
	if err != nil {
		return err
	}
	return record(ctx, tx, actor, "change", subject{kind: "material_item", id: itemID}, map[string]any{"supplier_id": supplierID})
}

// CreateItems adds items of openings.
func CreateItems(ctx context.Context, tx *Tx, items []MaterialItem) error {
	return createAll(ctx, tx, "items of material", items)
}

// MaterialHistory lists the changes of a release and its drops, oldest first.
func MaterialHistory(ctx context.Context, r Reader, releaseID int64) ([]MaterialChange, error) {
	var rows []MaterialChange
	err := r.in(ctx).Where("release_id = ?", releaseID).Order("at, id").Find(&rows).Error
	return rows, wrap(err, "read the history of release %d", releaseID)
}
