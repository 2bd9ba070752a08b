package models

import (
	"slices"
	"time"

	"gorm.io/gorm"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

func (s *snapshot) readOpenings() error {
	open := s.db().Model(&Project{}).Select("id").Where("closed_at IS NULL")
	var items []MaterialItem
	err := s.db().Where("opening_id IN (?)", s.db().Model(&Opening{}).Select("id").Where("project_id IN (?)", open)).
		Order("opening_id, id").Find(&items).Error
	if err != nil {
		return wrap(err, "material")
	}
	byOpening := map[int64][]MaterialItem{}
	for _, item := range items {
		byOpening[item.OpeningID] = append(byOpening[item.OpeningID], item)
	}
	var rows []Opening
	if err := s.db().Where("project_id IN (?)", open).Order("project_id, mark").Find(&rows).Error; err != nil {
		return wrap(err, "openings")
	}
	sizes, err := fieldSizes(s.ctx, s.r, s.db().Model(&Opening{}).Select("id").Where("project_id IN (?)", open))
	if err != nil {
		return err
	}
	kinds := map[string]map[pattern.Item]bool{} // by project and release
	for i := range rows {
		p := s.projects[rows[i].ProjectID]
		s.readMadeTo(&rows[i], byOpening[rows[i].ID], sizes)
		opening := pattern.Opening{
			Mark: rows[i].Mark, Area: s.areas[rows[i].AreaID].Code, WalkOrder: rows[i].WalkOrder,
			Takeoff: rows[i].MadeTo(s.firm.Rules), DrawnWidth: rows[i].Width, DrawnHeight: rows[i].Height, Hardware: rows[i].HardwareSet, Handing: rows[i].Handing,
			Powered: rows[i].Powered, Measured: minutePtr(rows[i].MeasuredAt),
		}
		for j := range byOpening[rows[i].ID] {
			s.addItem(p, &opening, &byOpening[rows[i].ID][j], kinds)
		}
		p.out.Openings = append(p.out.Openings, opening)
	}
	s.setReleaseLeads(kinds)
	return nil
}

// readMadeTo fills in what ReadSizes would read of an opening, from rows that are here already.
func (s *snapshot) readMadeTo(o *Opening, items []MaterialItem, sizes map[int64][]pattern.FieldSize) {
	var orders []pattern.ItemOrder
	for i := range items {
		var release *Release
		if items[i].ReleaseID != nil {
			release = s.releases[*items[i].ReleaseID]
		}
		orders = append(orders, itemOrder(&items[i], release))
	}
	o.Sizes, o.orders = sizes[o.ID], newestOrders(orders)
}

// addItem adds an item to its opening's material, or to the project's remakes.
func (s *snapshot) addItem(p *projectRead, o *pattern.Opening, item *MaterialItem, kinds map[string]map[pattern.Item]bool) {
	if item.ParentID != nil {
		p.out.Remakes = append(p.out.Remakes, s.remake(p, o.Mark, item))
		return
	}
	m := pattern.Material{Item: item.Kind, OnSite: item.OnSite}
	if item.ReleaseID != nil {
		release := s.releases[*item.ReleaseID]
		m.Release, m.Drop = release.Code, item.DropNumber
		key := p.out.Code + "/" + release.Code
		if kinds[key] == nil {
			kinds[key] = map[pattern.Item]bool{}
		}
		kinds[key][item.Kind] = true
	} else if !item.OnSite {
		return // nothing is known of it yet: the task that needs it waits and says so
	}
	o.Material = append(o.Material, m)
}

func (s *snapshot) remake(p *projectRead, mark string, item *MaterialItem) pattern.Remake {
	r := pattern.Remake{
		ID: item.Code, Opening: mark, Item: item.Kind, Cause: item.Cause, Reported: minute(*item.ReportedAt),
		Lead: leadTime(item.LeastDays, item.LikelyDays, item.MostDays), Ordered: minutePtr(item.OrderedAt),
		Promised: s.dayStart(p, item.Promised), Shipped: minutePtr(item.ShippedAt), Received: minutePtr(item.ReceivedAt),
	}
	if item.SupplierID != nil {
		supplier := s.suppliers[*item.SupplierID]
		r.Supplier = supplier.Code
		p.suppliers[*item.SupplierID] = true
		if r.Lead == nil {
			lead := supplier.lead([]pattern.Item{item.Kind})
			r.Lead = &lead
		}
	}
	return r
}

// setReleaseLeads gives a release without a lead time of its own that of the kinds of item in it, where the supplier
// makes some faster than others.
func (s *snapshot) setReleaseLeads(kinds map[string]map[pattern.Item]bool) {
	byCode := map[string]*Supplier{}
	for _, supplier := range s.suppliers {
		byCode[supplier.Code] = supplier
	}
	for _, p := range s.order {
		for i := range p.out.Releases {
			r := &p.out.Releases[i]
			in := kinds[p.out.Code+"/"+r.ID]
			if r.Lead != nil || len(in) == 0 {
				continue
			}
			held := slices.DeleteFunc(pattern.Items(), func(k pattern.Item) bool { return !in[k] })
			supplier := byCode[r.Supplier]
			if lead := supplier.lead(held); lead != supplier.lead(pattern.Items()) {
				r.Lead = &lead
			}
		}
	}
}

// Takeoff is the opening's geometry as the planner's takeoff reads it.
func (o *Opening) Takeoff() takeoff.Opening {
	t := takeoff.Opening{
		Type: o.OpeningType, Width: o.Width, Height: o.Height,
		Leaves: o.Leaves, LeafWidth: o.LeafWidth, Lights: o.Lights, LightWidths: o.LightWidths, DoorLight: o.DoorLight,
		Transom: o.Transom, ButtJoints: o.ButtJoints, GlassLeaf: o.GlassLeaf, SolidLeaf: o.SolidLeaf,
		Glass: takeoff.Glass{
			Kind: o.GlassKind, Thickness: o.GlassThickness, Lites: o.GlassLites, Interlayer: o.GlassInterlayer,
			AirSpace: o.GlassAirSpace, Safety: o.GlassSafety,
		},
		HardwarePoints: o.HardwarePoints, Head: o.Head, Jambs: o.Jambs, Floor: o.Floor, SillHeight: o.SillHeight,
		Conditions: o.Conditions,
	}
	for _, side := range o.Sidelights {
		t.Sidelights = append(t.Sidelights, takeoff.Sidelight{Side: side.Side, Width: side.Width})
	}
	return t
}

// SetTakeoff sets the opening's geometry from the planner's form.
func (o *Opening) SetTakeoff(t takeoff.Opening) {
	o.OpeningType, o.Width, o.Height = t.Type, t.Width, t.Height
	o.Leaves, o.LeafWidth, o.Lights, o.LightWidths, o.DoorLight = t.Leaves, t.LeafWidth, t.Lights, t.LightWidths, t.DoorLight
	o.Transom, o.ButtJoints, o.GlassLeaf, o.SolidLeaf = t.Transom, t.ButtJoints, t.GlassLeaf, t.SolidLeaf
	o.GlassKind, o.GlassThickness, o.GlassLites = t.Glass.Kind, t.Glass.Thickness, t.Glass.Lites
	o.GlassInterlayer, o.GlassAirSpace, o.GlassSafety = t.Glass.Interlayer, t.Glass.AirSpace, t.Glass.Safety
	o.HardwarePoints, o.Head, o.Jambs, o.Floor = t.HardwarePoints, t.Head, t.Jambs, t.Floor
	o.SillHeight, o.Conditions = t.SillHeight, t.Conditions
	o.Sidelights = nil
	for _, side := range t.Sidelights {
		o.Sidelights = append(o.Sidelights, Sidelight{Side: side.Side, Width: side.Width})
	}
}

// inOpenProjects keeps the rows of tasks in open projects that are still part of the work.
func inOpenProjects(q *gorm.DB) *gorm.DB {
	return q.Joins("JOIN projects ON projects.id = tasks.project_id AND projects.closed_at IS NULL").
		Where("tasks.dropped_at IS NULL")
}

func (s *snapshot) readTasks() error {
	var rows []Task
	err := inOpenProjects(s.db().Select("tasks.*")).Where("tasks.started_at IS NOT NULL OR tasks.held").
		Order("tasks.key").Find(&rows).Error
	if err != nil {
		return wrap(err, "task states")
	}
	for i := range rows {
		s.firm.States[pattern.TaskKey(rows[i].Key)] = s.state(&rows[i])
	}
	return nil
}

func (s *snapshot) state(t *Task) pattern.State {
	state := pattern.State{
		Started: minutePtr(t.StartedAt), Finished: minutePtr(t.FinishedAt), RemainingMinutes: t.RemainingMinutes,
		Held: t.Held, HeldUntil: minutePtr(t.HeldUntil), HoldCause: t.HoldCause, HoldParty: t.HoldParty,
	}
	if t.CrewID != nil {
		state.Crew = s.crews[*t.CrewID]
	}
	return state
}

func (s *snapshot) readPins() error {
	var rows []struct {
		Key string
		Pin
	}
	err := inOpenProjects(s.db().Model(&Pin{}).Select("tasks.key, pins.*").Joins("JOIN tasks ON tasks.id = pins.task_id")).
		Order("tasks.key").Find(&rows).Error
	if err != nil {
		return wrap(err, "pins")
	}
	for _, row := range rows {
		pin := problem.Pin{Start: minutePtr(row.StartAt)}
		if row.CrewID != nil {
			pin.Crew = s.crews[*row.CrewID]
		}
		s.firm.Pins[pattern.TaskKey(row.Key)] = pin
	}
	return nil
}

// readIssued reads, for each project, the crew work of the plan issued last.
func (s *snapshot) readIssued() error {
	var rows []struct {
		Key      string
		CrewID   int64
		StartAt  time.Time
		ResumeAt *time.Time
	}
	which, err := choosePlan(s.ctx, s.r, nil)
	if err != nil {
		return err
	}
	err = inOpenProjects(which.of(s.db().Table("plan_tasks"), "plan_tasks")).Select("tasks.key, plan_tasks.crew_id, plan_tasks.start_at, plan_tasks.resume_at").
		Where("plan_tasks.crew_id IS NOT NULL").Order("tasks.key").Find(&rows).Error
	if err != nil {
		return wrap(err, "issued plans")
	}
	for _, row := range rows {
		s.firm.Issued = append(s.firm.Issued, problem.Issued{
			Task: row.Key, Crew: s.crews[row.CrewID], Start: minute(row.StartAt), Resume: minutePtr(row.ResumeAt),
		})
	}
	return nil
}
