package models

import (
	"context"
	"slices"
	"strings"

	"gorm.io/gorm"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

// OpeningQuery chooses openings of one project. A zero field chooses all.
type OpeningQuery struct {
	ProjectID int64
	AreaID    *int64 // with the areas inside it
	Type      takeoff.Type
	Text      string // part of a mark or a room, in any case
}

// OpeningStanding is an opening with what tells how far it has come.
type OpeningStanding struct {
	Opening        // with area and items
	Tasks   []Task // its own tasks that are part of the work, by kind in the order of takeoff.Kinds
}

// OpeningList are the openings of a page.
type OpeningList struct {
	Areas    []Area // all of the project, in walking order
	Openings []OpeningStanding
	Total    int // of the project, chosen or not
}

// ListOpenings lists openings in walking order of their areas. It takes a fixed number of queries.
func ListOpenings(ctx context.Context, r Reader, q OpeningQuery) (*OpeningList, error) {
	list := &OpeningList{}
	var err error
	if list.Areas, err = Areas(ctx, r, q.ProjectID); err != nil {
		return nil, err
	}
	var total int64
	if err := r.in(ctx).Model(&Opening{}).Where("project_id = ?", q.ProjectID).Count(&total).Error; err != nil {
		return nil, wrap(err, "count openings")
	}
	list.Total = int(total)
	var rows []Opening
	if err := q.openings(r.in(ctx), list.Areas).Find(&rows).Error; err != nil {
		return nil, wrap(err, "list openings")
	}
	tasks, err := ownTasks(ctx, r, q.ProjectID)
	if err != nil {
		return nil, err
	}
	for i := range rows {
		list.Openings = append(list.Openings, OpeningStanding{Opening: rows[i], Tasks: tasks[rows[i].ID]})
	}
	rank := map[int64]int{}
	for i, id := range walkOrder(list.Areas) {
		rank[id] = i
	}
	slices.SortStableFunc(list.Openings, func(a, b OpeningStanding) int { return rank[a.AreaID] - rank[b.AreaID] })
	return list, nil
}

func (q OpeningQuery) openings(g *gorm.DB, areas []Area) *gorm.DB {
	g = g.Preload("Area").Preload("Items").Where("project_id = ?", q.ProjectID)
	if q.AreaID != nil {
		g = g.Where("area_id IN ?", areasInside(areas, *q.AreaID))
	}
	if q.Type != "" {
		g = g.Where("opening_type = ?", q.Type)
	}
	if q.Text != "" {
		like := "%" + likeEscaper.Replace(strings.ToLower(q.Text)) + "%"
		g = g.Where(`LOWER(mark) LIKE ? ESCAPE '\' OR LOWER(room) LIKE ? ESCAPE '\'`, like, like)
	}
	return g.Order("area_id, walk_order, mark")
}

var likeEscaper = strings.NewReplacer(`\`, `\\`, "%", `\%`, "_", `\_`)

// areasInside lists an area and all areas inside it.
func areasInside(areas []Area, id int64) []int64 {
	inside := []int64{id}
	for i := 0; i < len(inside); i++ {
		for _, a := range areas {
			if a.ParentID != nil && *a.ParentID == inside[i] && !slices.Contains(inside, a.ID) {
				inside = append(inside, a.ID)
			}
		}
	}
	return inside
}

// walkOrder lists areas as they are walked: each before the areas inside it, siblings as areas has them.
func walkOrder(areas []Area) []int64 {
	children := map[int64][]int64{}
	for _, a := range areas {
		parent := int64(0)
		if a.ParentID != nil {
			parent = *a.ParentID
		}
		children[parent] = append(children[parent], a.ID)
	}
	var order []int64
	var walk func(int64)
	walk = func(parent int64) {
		for _, id := range children[parent] {
			order = append(order, id)
			walk(id)
		}
	}
	walk(0)
	return order
}

// ownTasks reads the tasks of a project's openings by opening, without those of remakes' orders.
func ownTasks(ctx context.Context, r Reader, projectID int64) (map[int64][]Task, error) {
	var rows []Task
	err := r.in(ctx).Where("project_id = ? AND opening_id IS NOT NULL AND dropped_at IS NULL AND kind IN ?", projectID,
		[]takeoff.Kind{takeoff.Frame, takeoff.Glaze, takeoff.Hang, takeoff.Punch}).Order("key").Find(&rows).Error
	if err != nil {
		return nil, wrap(err, "read the tasks of openings")
	}
	byOpening := map[int64][]Task{}
	for _, t := range rows {
		byOpening[*t.OpeningID] = append(byOpening[*t.OpeningID], t)
	}
	for _, tasks := range byOpening {
		slices.SortStableFunc(tasks, func(a, b Task) int { return kindRank(a.Kind) - kindRank(b.Kind) })
	}
	return byOpening, nil
}

// kindRank orders kinds of task as work goes: handovers, then the seven, lead before deliver.
func kindRank(k takeoff.Kind) int {
	return slices.Index([]takeoff.Kind{
		pattern.Handovers, takeoff.Survey, takeoff.Order, pattern.Lead, takeoff.Deliver, takeoff.Frame, takeoff.Glaze,
		takeoff.Hang, takeoff.Punch,
	}, k)
}

// Has reports whether the opening needs a kind of work of its own.
func (o *OpeningStanding) Has(kind takeoff.Kind) bool {
	return slices.ContainsFunc(o.Tasks, func(t Task) bool { return t.Kind == kind })
}

// Done reports whether the opening needs a kind of work and all of it, remade parts included, is finished.
func (o *OpeningStanding) Done(kind takeoff.Kind) bool {
	return o.Has(kind) && !slices.ContainsFunc(o.Tasks, func(t Task) bool { return t.Kind == kind && t.FinishedAt == nil })
}

// AllDone reports whether all work on the opening is finished.
func (o *OpeningStanding) AllDone() bool {
	return len(o.Tasks) > 0 && !slices.ContainsFunc(o.Tasks, func(t Task) bool { return t.FinishedAt == nil })
}

// Hold is the first hold on its work, nil when nothing is held.
func (o *OpeningStanding) Hold() *Task {
	for i := range o.Tasks {
		if o.Tasks[i].Held {
			return &o.Tasks[i]
		}
	}
	return nil
}

// MaterialOnSite reports whether the opening needs material and all of it, remakes in place of what they replace, is there.
func (o *OpeningStanding) MaterialOnSite() bool {
	for _, item := range o.Items {
		if !item.OnSite && item.State != Received && item.State != Remade {
			return false
		}
	}
	return len(o.Items) > 0
}

// OpeningDetail is everything that the page of one opening shows.
type OpeningDetail struct {
	Opening   Opening // with area and items, their releases with suppliers and drops
	Project   Project
	Areas     []Area     // from the outermost area in to the opening's own
	Work      []Work     // its path: survey, orders, leads, deliveries, then its own work
	Handovers []Handover // of its areas, innermost first
	Reports   []FieldReport
}

// OpeningPage reads one opening. planID nil asks for the plan in force. Its queries do not grow with the project.
func OpeningPage(ctx context.Context, r Reader, id int64, planID *int64) (*OpeningDetail, error) {
	d := &OpeningDetail{}
	err := r.in(ctx).Preload("Area").Preload("Items", func(q *gorm.DB) *gorm.DB { return q.Order("id") }).Preload("Items.Supplier").
		Preload("Items.Release.Supplier").Preload("Items.Release.Drops").Take(&d.Opening, id).Error
	if err != nil {
		return nil, wrap(err, "find opening %d", id)
	}
	if err := ReadSizes(ctx, r, &d.Opening); err != nil {
		return nil, err
	}
	project, err := ProjectByID(ctx, r, d.Opening.ProjectID)
	if err != nil {
		return nil, err
	}
	d.Project = *project
	areas, err := Areas(ctx, r, project.ID)
	if err != nil {
		return nil, err
	}
	d.Areas = areasAround(areas, d.Opening.AreaID)
	if err := d.readHandovers(ctx, r); err != nil {
		return nil, err
	}
	if err := d.readWork(ctx, r, planID); err != nil {
		return nil, err
	}
	ids := make([]int64, 0, len(d.Work))
	for i := range d.Work {
		if t := &d.Work[i].Task; t.OpeningID != nil && *t.OpeningID == id {
			ids = append(ids, t.ID)
		}
	}
	err = r.in(ctx).Preload("Task.Opening").Preload("Crew").Preload("Photos").Where("task_id IN ?", ids).Order("at DESC, id DESC").Find(&d.Reports).Error
	return d, wrap(err, "read the reports of opening %s", d.Opening.Mark)
}

// areasAround lists the areas from the outermost one in to id.
func areasAround(areas []Area, id int64) []Area {
	byID := map[int64]*Area{}
	for i := range areas {
		byID[areas[i].ID] = &areas[i]
	}
	var chain []Area
	for a := byID[id]; a != nil && len(chain) < len(areas); {
		chain = append(chain, *a)
		if a.ParentID == nil {
			break
		}
		a = byID[*a.ParentID]
	}
	slices.Reverse(chain)
	return chain
}

func (d *OpeningDetail) areaIDs() []int64 {
	ids := make([]int64, 0, len(d.Areas))
	for _, a := range d.Areas {
		ids = append(ids, a.ID)
	}
	return ids
}

func (d *OpeningDetail) readHandovers(ctx context.Context, r Reader) error {
	ids := d.areaIDs()
	err := r.in(ctx).Preload("Area").Where("area_id IN ?", ids).Order("condition").Find(&d.Handovers).Error
	slices.SortStableFunc(d.Handovers, func(a, b Handover) int {
		return slices.Index(ids, b.AreaID) - slices.Index(ids, a.AreaID)
	})
	return wrap(err, "read the handovers of opening %s", d.Opening.Mark)
}

func (d *OpeningDetail) readWork(ctx context.Context, r Reader, planID *int64) error {
	var releases, items []int64
	for _, item := range d.Opening.Items {
		items = append(items, item.ID)
		if item.ReleaseID != nil {
			releases = append(releases, *item.ReleaseID)
		}
	}
	var tasks []Task
	err := r.in(ctx).Where("project_id = ? AND dropped_at IS NULL", d.Opening.ProjectID).
		Where("opening_id = ? OR item_id IN ? OR release_id IN ? OR (kind = ? AND area_id IN ?)",
			d.Opening.ID, items, releases, takeoff.Survey, d.areaIDs()).Find(&tasks).Error
	if err != nil {
		return wrap(err, "read the work of opening %s", d.Opening.Mark)
	}
	tasks = d.surveyedOnce(slices.DeleteFunc(tasks, func(t Task) bool { return !d.concerns(&t) }))
	slices.SortFunc(tasks, func(a, b Task) int {
		if byKind := kindRank(a.Kind) - kindRank(b.Kind); byKind != 0 {
			return byKind
		}
		return strings.Compare(a.Key, b.Key)
	})
	ids := make([]int64, 0, len(tasks))
	for i := range tasks {
		ids = append(ids, tasks[i].ID)
	}
	which, err := choosePlan(ctx, r, planID)
	if err != nil {
		return err
	}
	planned, unplanned, err := plannedTasks(ctx, r, ids, which)
	if err != nil {
		return err
	}
	if d.Work, err = workOf(ctx, r, ids, planned, which); err != nil {
		return err
	}
	for i := range d.Work {
		d.Work[i].Unplanned = unplanned[d.Work[i].Task.ID]
	}
	return nil
}

// concerns leaves out the drops of a release that bring nothing for this opening.
func (d *OpeningDetail) concerns(t *Task) bool {
	if t.ReleaseID == nil || t.DropNumber == nil {
		return true
	}
	return slices.ContainsFunc(d.Opening.Items, func(item MaterialItem) bool {
		return item.ReleaseID != nil && *item.ReleaseID == *t.ReleaseID && item.DropNumber == *t.DropNumber
	})
}

// surveyedOnce keeps the survey of the innermost area that has one.
func (d *OpeningDetail) surveyedOnce(tasks []Task) []Task {
	ids := d.areaIDs()
	innermost := -1
	for _, t := range tasks {
		if t.Kind == takeoff.Survey && t.AreaID != nil {
			innermost = max(innermost, slices.Index(ids, *t.AreaID))
		}
	}
	return slices.DeleteFunc(tasks, func(t Task) bool {
		return t.Kind == takeoff.Survey && t.AreaID != nil && slices.Index(ids, *t.AreaID) != innermost
	})
}
