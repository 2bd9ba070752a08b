package models

import (
	"context"

	"jambwright/scheduler/pattern"
)

// Directory says how the things that the planner's ids refer to are called. It is read anew for each page.
type Directory struct {
	Projects  map[string]Project      // by code
	Areas     map[string]string       // name with its parents, by project code + "/" + area code
	Crews     map[string]Crew         // by code
	Limits    map[string]string       // by code
	Calendars map[string]string       // by code
	Releases  map[string]ReleaseEntry // by project code + "/" + release code; remakes too
	ByID      map[int64]string        // names of areas with their parents, by id
	Sites     map[int64]string        // names by id
	codes     map[int64]string        // project codes by id
	handovers map[string]*Handover    // by project code / area code / condition
}

// ReleaseEntry is what a release or a remake is called.
type ReleaseEntry struct {
	Supplier string
	Promised map[int]Date // the arrivals that have been promised, by the number of the drop; a remake is drop 1
	Remake   bool
	Item     pattern.Item // of a remake
	Mark     string       // of a remake
}

// ReadDirectory reads the directory of all open projects in a fixed number of queries.
func ReadDirectory(ctx context.Context, r Reader) (*Directory, error) {
	d := &Directory{
		Projects: map[string]Project{}, Areas: map[string]string{}, Crews: map[string]Crew{}, Limits: map[string]string{},
		Calendars: map[string]string{}, Releases: map[string]ReleaseEntry{}, ByID: map[int64]string{}, Sites: map[int64]string{},
		codes: map[int64]string{}, handovers: map[string]*Handover{},
	}
	for _, read := range []func(context.Context, Reader) error{d.readFirm, d.readAreas, d.readReleases, d.readRemakes} {
		if err := read(ctx, r); err != nil {
			return nil, err
		}
	}
	return d, nil
}

// Handover finds a handover by the planner's key, taken apart; nil when it is not stored.
func (d *Directory) Handover(k pattern.Key) *Handover {
	return d.handovers[k.Project+"/"+k.Subject+"/"+string(k.Condition)]
}

func (d *Directory) readFirm(ctx context.Context, r Reader) error {
	var projects []Project
	if err := r.in(ctx).Preload("Site").Where("closed_at IS NULL").Order("id").Find(&projects).Error; err != nil {
		return wrap(err, "read projects")
	}
	for _, p := range projects {
		d.Projects[p.Code], d.codes[p.ID], d.Sites[p.SiteID] = p, p.Code, p.Site.Name
	}
	var crews []Crew
	if err := r.in(ctx).Find(&crews).Error; err != nil {
		return wrap(err, "read crews")
	}
	for _, c := range crews {
		d.Crews[c.Code] = c
	}
	var limits []Limit
	if err := r.in(ctx).Find(&limits).Error; err != nil {
		return wrap(err, "read limits")
	}
	for _, l := range limits {
		d.Limits[l.Code] = l.Name
	}
	var calendars []Calendar
	err := r.in(ctx).Find(&calendars).Error
	for _, c := range calendars {
		d.Calendars[c.Code] = c.Name
	}
	return wrap(err, "read calendars")
}

func (d *Directory) readAreas(ctx context.Context, r Reader) error {
	var areas []Area
	if err := r.in(ctx).Find(&areas).Error; err != nil {
		return wrap(err, "read areas")
	}
	d.ByID = namesOf(areas)
	for i := range areas {
		d.Areas[d.codes[areas[i].ProjectID]+"/"+areas[i].Code] = d.ByID[areas[i].ID]
	}
	var handovers []Handover
	err := r.in(ctx).Preload("Area").Find(&handovers).Error
	for i := range handovers {
		h := &handovers[i]
		d.handovers[d.codes[h.Area.ProjectID]+"/"+h.Area.Code+"/"+string(h.Condition)] = h
	}
	return wrap(err, "read handovers")
}

// namesOf names areas by id, each after those around it: many a level has an East. The areas around must be among them.
func namesOf(areas []Area) map[int64]string {
	byID := make(map[int64]*Area, len(areas))
	for i := range areas {
		byID[areas[i].ID] = &areas[i]
	}
	names := make(map[int64]string, len(areas))
	for i := range areas {
		name := areas[i].Name
		for a, n := &areas[i], 0; a.ParentID != nil && n < len(areas); n++ {
			a = byID[*a.ParentID]
			name = a.Name + " / " + name
		}
		names[areas[i].ID] = name
	}
	return names
}

func (d *Directory) readReleases(ctx context.Context, r Reader) error {
	var releases []Release
	err := r.in(ctx).Preload("Supplier").Preload("Drops").Find(&releases).Error
	for _, release := range releases {
		entry := ReleaseEntry{Supplier: release.Supplier.Name, Promised: map[int]Date{}}
		for _, drop := range release.Drops {
			if drop.Promised != nil {
				entry.Promised[drop.Number] = *drop.Promised
			}
		}
		d.Releases[d.codes[release.ProjectID]+"/"+release.Code] = entry
	}
	return wrap(err, "read releases")
}

func (d *Directory) readRemakes(ctx context.Context, r Reader) error {
	var items []struct {
		MaterialItem
		Mark         string
		ProjectID    int64
		SupplierName string
	}
	err := r.in(ctx).Model(&MaterialItem{}).
		Select("material_items.*, openings.mark, openings.project_id, suppliers.name AS supplier_name").
		Joins("JOIN openings ON openings.id = material_items.opening_id").
		Joins("LEFT JOIN suppliers ON suppliers.id = material_items.supplier_id").
		Where("material_items.parent_id IS NOT NULL").Find(&items).Error
	for _, item := range items {
		entry := ReleaseEntry{Supplier: item.SupplierName, Remake: true, Item: item.Kind, Mark: item.Mark}
		if item.Promised != nil {
			entry.Promised = map[int]Date{1: *item.Promised}
		}
		d.Releases[d.codes[item.ProjectID]+"/"+item.Code] = entry
	}
	return wrap(err, "read remakes")
}
