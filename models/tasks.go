package models

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"time"

	"gorm.io/gorm"
	"gorm.io/gorm/clause"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// TaskByKey finds a task by the planner's key, with project, opening, area and crew.
func TaskByKey(ctx context.Context, r Reader, key string) (*Task, error) {
	var t Task
	err := r.in(ctx).Preload("Project").Preload("Opening").Preload("Area").Preload("Crew").Where("key = ?", key).Take(&t).Error
	if err != nil {
		return nil, wrap(err, "find task %s", key)
	}
	return &t, nil
}

// SyncTasks makes the stored tasks those of a problem: it adds new ones, updates what planning decides (hours, hands),
// and marks those of open projects that the problem no longer has as dropped. Reported state is left alone. It returns the
// row id of each task of the problem by its key. bases are what the hours of shared tasks hang on, by key.
func SyncTasks(ctx context.Context, tx *Tx, p *problem.Problem, bases map[string]takeoff.Basis) (map[string]int64, error) {
	refs, err := readTaskRefs(ctx, tx)
	if err != nil {
		return nil, err
	}
	stored, err := storedTasks(ctx, tx)
	if err != nil {
		return nil, err
	}
	ids := make(map[string]int64, len(p.Tasks))
	var added, changed []Task
	for i := range p.Tasks {
		wanted, err := refs.task(&p.Tasks[i])
		if err != nil {
			return nil, err
		}
		wanted.Basis.V = bases[wanted.Key]
		old := stored[wanted.Key]
		switch {
		case old == nil:
			added = append(added, wanted)
		case old.adopt(&wanted):
			changed = append(changed, *old)
			fallthrough
		default:
			ids[wanted.Key] = old.ID
		}
		delete(stored, wanted.Key)
	}
	if err := createAll(ctx, tx, "tasks", added); err != nil {
		return nil, err
	}
	for i := range added {
		ids[added[i].Key] = added[i].ID
	}
	return ids, errors.Join(
		updateTasks(ctx, tx, changed), dropTasks(ctx, tx, stored), syncLinks(ctx, tx, p.Links, ids),
	)
}

// storedTasks reads the tasks of open projects by key.
func storedTasks(ctx context.Context, tx *Tx) (map[string]*Task, error) {
	var rows []*Task
	err := tx.in(ctx).Select("tasks.*").Joins("JOIN projects ON projects.id = tasks.project_id AND projects.closed_at IS NULL").
		Find(&rows).Error
	if err != nil {
		return nil, wrap(err, "read the stored tasks")
	}
	byKey := make(map[string]*Task, len(rows))
	for _, row := range rows {
		byKey[row.Key] = row
	}
	return byKey, nil
}

// adopt takes over what planning decides and reports whether anything changed. Work that has begun keeps the hours that
// it was planned with: they are what the hours spent are measured against.
func (t *Task) adopt(wanted *Task) bool {
	next := *t
	next.Kind, next.OpeningID, next.ReleaseID, next.ItemID = wanted.Kind, wanted.OpeningID, wanted.ReleaseID, wanted.ItemID
	next.HandoverID, next.AreaID, next.MinHeads, next.DroppedAt = wanted.HandoverID, wanted.AreaID, wanted.MinHeads, nil
	next.DropNumber = wanted.DropNumber
	if t.StartedAt == nil {
		next.LabourMinutes, next.Basis = wanted.LabourMinutes, wanted.Basis
	}
	same := next.Kind == t.Kind && equal(next.OpeningID, t.OpeningID) && equal(next.ReleaseID, t.ReleaseID) &&
		equal(next.ItemID, t.ItemID) && equal(next.HandoverID, t.HandoverID) && equal(next.AreaID, t.AreaID) &&
		equal(next.DropNumber, t.DropNumber) && next.MinHeads == t.MinHeads && equal(next.LabourMinutes, t.LabourMinutes) &&
		maps.Equal(next.Basis.V.Quantities, t.Basis.V.Quantities) && t.DroppedAt == nil
	*t = next
	return !same
}

func equal[T comparable](a, b *T) bool {
	if a == nil || b == nil {
		return a == b
	}
	return *a == *b
}

// planned are the columns of a task that planning decides.
var planned = []string{
	"kind", "opening_id", "release_id", "item_id", "handover_id", "area_id", "drop_number", "labour_minutes", "min_heads", "basis", "dropped_at", "updated_at",
}

func updateTasks(ctx context.Context, tx *Tx, rows []Task) error {
	if len(rows) == 0 {
		return nil
	}
	now := tx.Now()
	for i := range rows {
		rows[i].UpdatedAt = now
	}
	err := tx.in(ctx).Omit(clause.Associations).Clauses(clause.OnConflict{
		Columns: []clause.Column{{Name: "id"}}, DoUpdates: clause.AssignmentColumns(planned),
	}).CreateInBatches(rows, insertBatch).Error
	return wrap(err, "update %d tasks", len(rows))
}

func dropTasks(ctx context.Context, tx *Tx, rest map[string]*Task) error {
	var ids []int64
	for _, t := range rest {
		if t.DroppedAt == nil {
			ids = append(ids, t.ID)
		}
	}
	return inChunks(ids, func(chunk []int64) error {
		err := tx.in(ctx).Model(&Task{}).Where("id IN ?", chunk).Updates(map[string]any{"dropped_at": tx.Now()}).Error
		return wrap(err, "drop %d tasks", len(chunk))
	})
}

// inChunks calls work with parts of ids that one statement can take.
func inChunks(ids []int64, work func(chunk []int64) error) error {
	for len(ids) > 0 {
		n := min(len(ids), 1000)
		if err := work(ids[:n]); err != nil {
			return err
		}
		ids = ids[n:]
	}
	return nil
}

// named is what a part of a task key names within a project.
type named struct {
	project int64
	name    string
}

// taskRefs finds the rows that a task key names.
type taskRefs struct {
	projects  map[string]int64
	areas     map[named]int64
	openings  map[named]openingRef
	releases  map[named]int64
	remakes   map[named]remakeRef
	handovers map[handoverRef]int64
}

type (
	openingRef  struct{ ID, AreaID int64 }
	remakeRef   struct{ ID, OpeningID, AreaID int64 }
	handoverRef struct {
		area      int64
		condition pattern.Condition
	}
)

func readTaskRefs(ctx context.Context, r Reader) (*taskRefs, error) {
	refs := &taskRefs{
		projects: map[string]int64{}, areas: map[named]int64{}, openings: map[named]openingRef{},
		releases: map[named]int64{}, remakes: map[named]remakeRef{}, handovers: map[handoverRef]int64{},
	}
	var rows []struct {
		What            string
		ID, ProjectID   int64
		Name            string
		AreaID, OtherID int64
	}
	err := r.in(ctx).Raw(`
		SELECT 'project' AS what, id, id AS project_id, code AS name, 0 AS area_id, 0 AS other_id FROM projects WHERE closed_at IS NULL
		UNION ALL SELECT 'area', id, project_id, code, id, 0 FROM areas
		UNION ALL SELECT 'opening', id, project_id, mark, area_id, 0 FROM openings
		UNION ALL SELECT 'release', id, project_id, code, 0, 0 FROM releases
		UNION ALL SELECT 'remake', m.id, o.project_id, m.code, o.area_id, o.id FROM material_items m
			JOIN openings o ON o.id = m.opening_id WHERE m.parent_id IS NOT NULL
		UNION ALL SELECT 'handover', h.id, 0, h.condition, h.area_id, 0 FROM handovers h`).Scan(&rows).Error
	if err != nil {
		return nil, wrap(err, "read what tasks are about")
	}
	for _, row := range rows {
		at := named{row.ProjectID, row.Name}
		switch row.What {
		case "project":
			refs.projects[row.Name] = row.ID
		case "area":
			refs.areas[at] = row.ID
		case "opening":
			refs.openings[at] = openingRef{row.ID, row.AreaID}
		case "release":
			refs.releases[at] = row.ID
		case "remake":
			refs.remakes[at] = remakeRef{row.ID, row.OtherID, row.AreaID}
		case "handover":
			refs.handovers[handoverRef{row.AreaID, pattern.Condition(row.Name)}] = row.ID
		}
	}
	return refs, nil
}

// task is the row of a problem's task, without an id.
func (refs *taskRefs) task(p *problem.Task) (Task, error) {
	key, err := pattern.TaskKey(p.ID).Parse()
	if err != nil {
		return Task{}, fmt.Errorf("store the tasks of a problem: %w", err)
	}
	project, known := refs.projects[key.Project]
	if !known {
		return Task{}, fmt.Errorf("store task %s: no open project %q: %w", p.ID, key.Project, ErrNotFound)
	}
	t := Task{
		ProjectID: project, Key: p.ID, Kind: key.Kind, LabourMinutes: p.LabourMinutes, MinHeads: max(1, p.MinHeads),
	}
	if key.Drop > 0 {
		t.DropNumber = &key.Drop
	}
	at := named{project, key.Subject}
	switch key.Kind {
	case takeoff.Survey:
		t.AreaID = ref(refs.areas[at])
	case pattern.Handovers:
		area := refs.areas[at]
		t.AreaID, t.HandoverID = ref(area), ref(refs.handovers[handoverRef{area, key.Condition}])
	default:
		remake := refs.remakes[at]
		opening := refs.openings[at]
		t.ReleaseID, t.ItemID = ref(refs.releases[at]), ref(remake.ID)
		t.OpeningID, t.AreaID = ref(max(opening.ID, remake.OpeningID)), ref(max(opening.AreaID, remake.AreaID))
		if onOpening := key.Kind != takeoff.Order && key.Kind != pattern.Lead && key.Kind != takeoff.Deliver; onOpening {
			t.ReleaseID = nil // a mark may be spelled like a release
		} else if opening.ID != 0 && remake.ID == 0 {
			t.OpeningID, t.AreaID = nil, nil // and the other way round
		}
	}
	return t, nil
}

func ref(id int64) *int64 {
	if id == 0 {
		return nil
	}
	return &id
}

// PinOf reads the pin of a task; ErrNotFound when it has none.
func PinOf(ctx context.Context, r Reader, taskID int64) (*Pin, error) {
	var pin Pin
	if err := r.in(ctx).Preload("Crew").Where("task_id = ?", taskID).Take(&pin).Error; err != nil {
		return nil, wrap(err, "find the pin of task %d", taskID)
	}
	return &pin, nil
}

// SetPin pins a task to a crew, a start or both, in place of the pin that it has. pin.Version is that of the pin that was
// shown, 0 for none; another pin set meanwhile is *ErrStale.
func SetPin(ctx context.Context, tx *Tx, pin *Pin, actor Actor) error {
	task, err := byID[Task](ctx, tx, "task", pin.TaskID)
	if err != nil {
		return err
	}
	pin.UserID = actor.UserID
	if pin.StartAt != nil {
		at := minute(*pin.StartAt)
		pin.StartAt = &at
	}
	var stored Pin
	err = tx.in(ctx).Where("task_id = ?", pin.TaskID).Take(&stored).Error
	switch {
	case errors.Is(err, gorm.ErrRecordNotFound):
		pin.Version = 0
		err = create(ctx, tx, "pin of task "+task.Key, pin)
	case err != nil:
		return wrap(err, "pin task %s", task.Key)
	default:
		pin.ID = stored.ID
		err = edit[Pin](ctx, tx, "pin of task "+task.Key, stored.ID, pin.Version, map[string]any{
			"crew_id": pin.CrewID, "start_at": pin.StartAt, "user_id": pin.UserID, "note": pin.Note,
		})
	}
	if err != nil {
		return err
	}
	return record(ctx, tx, actor, "pin", task.subject(), map[string]any{
		"task": task.Key, "crew_id": pin.CrewID, "start": pin.StartAt, "note": pin.Note,
	})
}

// ClearPin takes the pin of a task away; a task without one stays as it is.
func ClearPin(ctx context.Context, tx *Tx, taskID int64, actor Actor) error {
	task, err := byID[Task](ctx, tx, "task", taskID)
	if err != nil {
		return err
	}
	result := tx.in(ctx).Where("task_id = ?", taskID).Delete(&Pin{})
	if result.Error != nil || result.RowsAffected == 0 {
		return wrap(result.Error, "clear the pin of task %s", task.Key)
	}
	return record(ctx, tx, actor, "clear pin", task.subject(), map[string]any{"task": task.Key})
}

func (t *Task) subject() subject { return subject{kind: "task", id: t.ID, projectID: &t.ProjectID} }

// timePtr is a pointer to a copy of t, nil for the zero time.
func timePtr(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	u := Instant(t)
	return &u
}
