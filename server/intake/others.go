package intake

import (
	"cmp"
	"context"
	"slices"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
	"jambwright/server/importing"
)

func handoverInput(r importing.HandoverRow) models.HandoverInput {
	return models.HandoverInput{
		Area: models.AreaName{Level: r.Level, Zone: r.Area}, Condition: pattern.Condition(r.Condition),
		Trade: r.Trade, Promised: dateOf(r.Promised), Forecast: dateOf(r.Forecast), Actual: dateOf(r.Actual), Note: r.Notes,
	}
}

func handoverRow(h *models.Handover, around map[int64]models.AreaName) importing.HandoverRow {
	name := around[h.AreaID]
	return importing.HandoverRow{
		Level: name.Level, Area: name.Zone, Condition: string(h.Condition), Trade: h.Trade,
		Promised: plainDate(h.Promised), Forecast: plainDate(h.Forecast), Actual: plainDate(h.Actual), Notes: h.Note,
	}
}

func dateOf(d *problem.Date) *models.Date {
	if d == nil {
		return nil
	}
	return &models.Date{Date: *d}
}

func plainDate(d *models.Date) *problem.Date {
	if d == nil {
		return nil
	}
	plain := d.Date
	return &plain
}

func gcDateInput(r importing.GCDateRow) models.GCDateInput {
	in := models.GCDateInput{
		Name: r.Name, Kind: r.Work, Due: models.Date{Date: r.Date}, Damages: cents(r.DamagesPerDay), Note: r.Notes,
	}
	if r.Level != "" || r.Area != "" {
		in.Area = &models.AreaName{Level: r.Level, Zone: r.Area}
	}
	return in
}

func gcDateRow(g *models.GCDate, around map[int64]models.AreaName) importing.GCDateRow {
	r := importing.GCDateRow{Name: g.Name, Work: g.Kind, Date: g.Due.Date, Notes: g.Note}
	if g.AreaID != nil {
		r.Level, r.Area = around[*g.AreaID].Level, around[*g.AreaID].Zone
	}
	if g.DamagesCentsPerDay != nil {
		r.DamagesPerDay = money(*g.DamagesCentsPerDay)
	}
	return r
}

// saveSuppliers adds suppliers and sets the lead times that the rows give; a supplier may stand in several rows, one for
// each of its items. Then every project's material that had no supplier yet is put into releases.
func saveSuppliers(ctx context.Context, tx *models.Tx, project *models.Project, changes importing.RowChanges[importing.SupplierRow], actor models.Actor) error {
	stored, err := models.Suppliers(ctx, tx)
	if err != nil {
		return err
	}
	for _, group := range bySupplier(append(slices.Clone(upserts(changes)), changes.Remove...)) {
		old := find(stored, func(s *models.Supplier) bool { return sameName(s.Name, group[0].Name) })
		supplier := models.Supplier{Code: group[0].Name, Name: group[0].Name, CalendarID: &project.CalendarID}
		if old != nil {
			supplier = *old
		}
		for _, r := range changes.Remove {
			if sameName(r.Name, supplier.Name) {
				supplier.Items = without(supplier.Items, supplierItems(r))
			}
		}
		for _, r := range upserts(changes) {
			if !sameName(r.Name, supplier.Name) {
				continue
			}
			supplier.Contact, supplier.Note = cmp.Or(r.Contact, supplier.Contact), cmp.Or(r.Notes, supplier.Note)
			switch {
			case r.Lead.CalendarDays:
				supplier.CalendarID = nil
			case supplier.CalendarID == nil:
				supplier.CalendarID = &project.CalendarID // the revised sheet counts working days
			}
			items := supplierItems(r)
			supplier.Items = append(without(supplier.Items, items), items...)
		}
		if old != nil {
			err = models.UpdateSupplier(ctx, tx, &supplier, actor)
		} else {
			err = models.CreateSupplier(ctx, tx, &supplier, actor)
		}
		if err != nil {
			return err
		}
	}
	projects, err := models.Projects(ctx, tx)
	if err != nil {
		return err
	}
	for _, p := range projects {
		if err := models.AssignReleases(ctx, tx, p.ID); err != nil {
			return err
		}
	}
	return nil
}

// without leaves out the items of the same kinds.
func without(items, of []models.SupplierItem) []models.SupplierItem {
	return slices.DeleteFunc(slices.Clone(items), func(item models.SupplierItem) bool {
		return slices.ContainsFunc(of, func(o models.SupplierItem) bool { return o.ItemKind == item.ItemKind })
	})
}

// bySupplier gathers the rows of each supplier in the order of first appearance.
func bySupplier(rows []importing.SupplierRow) [][]importing.SupplierRow {
	var groups [][]importing.SupplierRow
	for _, r := range rows {
		group := find(groups, func(g *[]importing.SupplierRow) bool { return sameName((*g)[0].Name, r.Name) })
		if group == nil {
			groups = append(groups, []importing.SupplierRow{r})
			continue
		}
		*group = append(*group, r)
	}
	return groups
}

// supplierItems are the lead times of one row; a row without items holds for every item.
func supplierItems(r importing.SupplierRow) []models.SupplierItem {
	items := r.Items
	if len(items) == 0 {
		items = []string{""}
	}
	var out []models.SupplierItem
	for _, item := range items {
		basis := pattern.OrderBasis(r.OrderBasis)
		if basis == "" {
			basis = pattern.DefaultBasis(pattern.Item(item))
		}
		out = append(out, models.SupplierItem{
			ItemKind: pattern.Item(item), Basis: basis,
			LeastDays: r.Lead.Least, LikelyDays: r.Lead.Likely, MostDays: r.Lead.Most,
		})
	}
	return out
}

// supplierRows are a stored supplier's rows, items with the same lead time and basis together, in the order of
// pattern.Items.
func supplierRows(s *models.Supplier) []importing.SupplierRow {
	order := pattern.Items()
	slices.SortFunc(s.Items, func(a, b models.SupplierItem) int {
		return slices.Index(order, a.ItemKind) - slices.Index(order, b.ItemKind)
	})
	var rows []importing.SupplierRow
	for _, item := range s.Items {
		lead := importing.LeadTime{
			Least: item.LeastDays, Likely: item.LikelyDays, Most: item.MostDays, CalendarDays: s.CalendarID == nil,
		}
		same := find(rows, func(r *importing.SupplierRow) bool { return r.Lead == lead && r.OrderBasis == string(item.Basis) })
		if same == nil {
			rows = append(rows, importing.SupplierRow{
				Name: s.Name, Lead: lead, OrderBasis: string(item.Basis), Contact: s.Contact, Notes: s.Note,
			})
			same = &rows[len(rows)-1]
		}
		if item.ItemKind != "" {
			same.Items = append(same.Items, string(item.ItemKind))
		}
	}
	return rows
}

// crewRow is a stored crew as a sheet would give it.
func crewRow(c *models.Crew, project *models.Project, sites map[int64]string, calendars []models.Calendar) importing.CrewRow {
	r := importing.CrewRow{Name: c.Name, Foreman: c.Foreman, Heads: c.Heads, Notes: c.Note}
	if c.CostCentsPerHour != 0 {
		r.CostPerHour = money(c.CostCentsPerHour)
	}
	if c.HomeSiteID != nil {
		r.HomeSite = sites[*c.HomeSiteID]
	}
	for _, skill := range c.Skills {
		r.Skills = append(r.Skills, skill.Kind)
		if productivity := skill.Productivity; productivity != 1 {
			r.Productivity = &productivity
		}
	}
	slices.SortFunc(r.Skills, func(a, b takeoff.Kind) int {
		return slices.Index(takeoff.Kinds(), a) - slices.Index(takeoff.Kinds(), b)
	})
	for _, s := range c.Sites {
		r.Sites = append(r.Sites, sites[s.SiteID])
	}
	zone := zoneOf(calendars, c.CalendarID)
	if own := find(calendars, func(k *models.Calendar) bool { return k.ID == c.CalendarID }); own != nil {
		if project == nil || own.ID != project.CalendarID {
			r.Shift, r.Calendar = hoursOf(own)
		}
	}
	for _, a := range c.Absences {
		r.Away = append(r.Away, importing.Away{
			From: problem.DateOf(a.StartsAt.In(zone)), To: problem.DateOf(a.FinishesAt.In(zone).AddDate(0, 0, -1)),
		})
	}
	return r
}

// hoursOf is how a sheet gives the hours of a calendar: as a shift where every day has the same single one, else by the
// calendar's name.
func hoursOf(c *models.Calendar) (shift importing.Shift, name string) {
	for _, s := range c.Shifts {
		day := importing.Shift{Start: s.FromMinute, Finish: s.ToMinute}
		if shift != (importing.Shift{}) && shift != day {
			return importing.Shift{}, c.Name
		}
		shift = day
	}
	return shift, ""
}
