package models

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"gorm.io/gorm"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
)

func (s *snapshot) readSuppliers() error {
	var rows []*Supplier
	if err := s.db().Preload("Items").Order("code").Find(&rows).Error; err != nil {
		return wrap(err, "suppliers")
	}
	s.suppliers = map[int64]*Supplier{}
	for _, row := range rows {
		s.suppliers[row.ID] = row
	}
	return nil
}

func (s *snapshot) readProjects() error {
	var rows []*Project
	if err := s.db().Where("closed_at IS NULL").Order("code").Find(&rows).Error; err != nil {
		return wrap(err, "projects")
	}
	s.projects = map[int64]*projectRead{}
	for _, row := range rows {
		zone, err := time.LoadLocation(row.Zone)
		if err != nil {
			return fmt.Errorf("project %s: zone %q: %w", row.Code, row.Zone, err)
		}
		p := &projectRead{row: row, zone: zone, suppliers: map[int64]bool{}, out: pattern.Project{
			Code: row.Code, Name: row.Name, Site: s.sites[row.SiteID], Calendar: s.calendars[row.CalendarID].Code,
			OutOfOrder: row.OutOfOrder, Metric: row.Units == Metric,
		}}
		if row.DockID != nil {
			p.out.Dock = s.limits[*row.DockID]
		}
		if row.HoistID != nil {
			p.out.Hoist = s.limits[*row.HoistID]
		}
		s.projects[row.ID] = p
		s.order = append(s.order, p)
	}
	return nil
}

// dayStart is the instant from which work can use what a day brings.
func (s *snapshot) dayStart(p *projectRead, d *Date) *time.Time {
	if d == nil {
		return nil
	}
	at := d.At(s.calendars[p.row.CalendarID].firstShift(*d), p.zone).UTC()
	return &at
}

func (s *snapshot) readAreas() error {
	var rows []*Area
	if err := s.db().Order("project_id, walk_order, code").Find(&rows).Error; err != nil {
		return wrap(err, "areas")
	}
	s.areas = map[int64]*Area{}
	for _, a := range rows {
		s.areas[a.ID] = a
	}
	for _, a := range rows {
		p := s.projects[a.ProjectID]
		if p == nil {
			continue
		}
		area := pattern.Area{
			ID: a.Code, Name: a.Name, Kind: a.Kind, WalkOrder: a.WalkOrder, MaxCrews: a.MaxCrews,
			SetupMinutes: a.SetupMinutes, Hoisted: a.Hoisted, MaxStored: a.MaxStored,
		}
		if a.ParentID != nil {
			area.Parent = s.areas[*a.ParentID].Code
		}
		p.out.Areas = append(p.out.Areas, area)
	}
	return nil
}

func (s *snapshot) readHandovers() error {
	var rows []Handover
	if err := s.db().Order("area_id, condition").Find(&rows).Error; err != nil {
		return wrap(err, "handovers")
	}
	for _, h := range rows {
		area := s.areas[h.AreaID]
		s.noteHandover(&h)
		p := s.projects[area.ProjectID]
		if p == nil {
			continue
		}
		p.out.Handovers = append(p.out.Handovers, pattern.Handover{
			Area: area.Code, Condition: h.Condition, Trade: h.Trade,
			Promised: s.dayStart(p, h.Promised), Forecast: s.dayStart(p, h.Forecast), Actual: s.dayStart(p, h.Actual),
		})
	}
	return nil
}

func (s *snapshot) readReleases() error {
	var rows []*Release
	err := s.db().Preload("Drops", func(q *gorm.DB) *gorm.DB { return q.Order("number") }).Order("project_id, code").Find(&rows).Error
	if err != nil {
		return wrap(err, "releases")
	}
	s.releases = map[int64]*Release{}
	for _, row := range rows {
		s.releases[row.ID] = row
		s.notePromises(row)
		p := s.projects[row.ProjectID]
		if p == nil {
			continue
		}
		p.suppliers[row.SupplierID] = true
		release := pattern.Release{
			ID: row.Code, Supplier: s.suppliers[row.SupplierID].Code, Basis: row.Basis,
			Lead: leadTime(row.LeastDays, row.LikelyDays, row.MostDays), Ordered: minutePtr(row.OrderedAt),
		}
		for _, d := range row.Drops {
			release.Drops = append(release.Drops, pattern.Drop{
				Number: d.Number, Promised: s.dayStart(p, d.Promised),
				Shipped: minutePtr(d.ShippedAt), Received: minutePtr(d.ReceivedAt),
			})
		}
		p.out.Releases = append(p.out.Releases, release)
	}
	return nil
}

func leadTime(least, likely, most *int) *pattern.LeadTime {
	if least == nil || likely == nil || most == nil {
		return nil
	}
	return &pattern.LeadTime{Least: *least, Likely: *likely, Most: *most}
}

func (s *snapshot) readGCDates() error {
	var rows []GCDate
	if err := s.db().Order("project_id, due, code").Find(&rows).Error; err != nil {
		return wrap(err, "GC dates")
	}
	for _, g := range rows {
		p := s.projects[g.ProjectID]
		if p == nil {
			continue
		}
		date := pattern.GCDate{ID: g.Code, Name: g.Name, Kind: g.Kind, Date: g.DueAt(p.zone)}
		if g.AreaID != nil {
			date.Area = s.areas[*g.AreaID].Code
		}
		if g.DamagesCentsPerDay != nil {
			perDay := float64(*g.DamagesCentsPerDay) / 100
			date.DamagesPerDay = &perDay
		}
		p.out.GCDates = append(p.out.GCDates, date)
	}
	return nil
}

// DueAt is the instant by which the work of a GC date must be finished: the midnight after it.
func (g *GCDate) DueAt(zone *time.Location) time.Time { return g.Due.AddDays(1).At(0, zone).UTC() }

// finish fills in what depends on all projects together.
func (s *snapshot) finish() {
	for _, p := range s.order {
		p.out.Suppliers = s.projectSuppliers(p)
		s.firm.Projects = append(s.firm.Projects, p.out)
	}
	if s.firm.BuyerCalendar == "" && len(s.order) > 0 {
		s.firm.BuyerCalendar = s.order[0].out.Calendar // the office keeps the hours of the first site until it says others
	}
	s.firm.FrozenUntil = s.frozenUntil()
}

func (s *snapshot) projectSuppliers(p *projectRead) []pattern.Supplier {
	var out []pattern.Supplier
	for id := range p.suppliers {
		row := s.suppliers[id]
		supplier := pattern.Supplier{ID: row.Code, Name: row.Name, Lead: row.lead(pattern.Items())}
		if row.CalendarID != nil {
			supplier.Calendar = s.calendars[*row.CalendarID].Code
		}
		out = append(out, supplier)
	}
	slices.SortFunc(out, func(a, b pattern.Supplier) int { return cmp.Compare(a.ID, b.ID) })
	return out
}

// lead is a supplier's lead time for kinds of item that come together: that of the slowest, by likely days.
func (s *Supplier) lead(kinds []pattern.Item) pattern.LeadTime {
	var slowest pattern.LeadTime
	for _, kind := range kinds {
		if item := s.item(kind); item != nil && item.LikelyDays >= slowest.Likely {
			slowest = pattern.LeadTime{Least: item.LeastDays, Likely: item.LikelyDays, Most: item.MostDays}
		}
	}
	return slowest
}

// item is the supplier's line for a kind of item: its own, or the one for every kind.
func (s *Supplier) item(kind pattern.Item) *SupplierItem {
	var every *SupplierItem
	for i := range s.Items {
		switch s.Items[i].ItemKind {
		case kind:
			return &s.Items[i]
		case "":
			every = &s.Items[i]
		}
	}
	return every
}

// frozenUntil is the end of the frozen window: the midnight after the next working days, as many as the settings say, on
// the first project's calendar. Nil when nothing is frozen.
func (s *snapshot) frozenUntil() *time.Time {
	const searched = 60 // days; a calendar without work in two months freezes nothing
	if s.settings.FrozenDays == 0 || len(s.order) == 0 {
		return nil
	}
	first := s.order[0]
	var spec *problem.Calendar
	for i := range s.firm.Calendars {
		if s.firm.Calendars[i].ID == first.out.Calendar {
			spec = &s.firm.Calendars[i]
		}
	}
	left := s.settings.FrozenDays
	for day, n := DateIn(s.firm.DataDate, first.zone).AddDays(1), 0; n < searched; day, n = day.AddDays(1), n+1 {
		if len(spec.ShiftsOn(day.Date)) == 0 {
			continue
		}
		if left--; left == 0 {
			until := day.AddDays(1).At(0, first.zone).UTC()
			return &until
		}
	}
	return nil
}
