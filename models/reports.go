package models

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"time"

	"gorm.io/gorm"

	"jambwright/scheduler/takeoff"
)

// AppendReport stores a field report and folds it onto its task, in the caller's transaction; a report of damage adds the
// remake, a measured size goes to the opening, a finished order or delivery to the material. alreadyThere tells that the
// same report had been stored before: then nothing changes. A client id that was used for another report is
// ErrDuplicate.
func AppendReport(ctx context.Context, tx *Tx, report *FieldReport) (alreadyThere bool, err error) {
	// Two reports of one task are taken one after the other, also when they arrive at once or are the same one twice.
	var task Task
	if err := lockForUpdate(tx.in(ctx)).Take(&task, report.TaskID).Error; err != nil {
		return false, wrap(err, "find task %d", report.TaskID)
	}
	var stored FieldReport
	err = tx.in(ctx).Where("client_id = ?", report.ClientID).Take(&stored).Error
	if err == nil {
		if stored.TaskID != report.TaskID || stored.Kind != report.Kind {
			return false, fmt.Errorf("report %s says %s of task %d, stored is %s of task %d: %w",
				report.ClientID, report.Kind, report.TaskID, stored.Kind, stored.TaskID, ErrDuplicate)
		}
		*report = stored
		return true, nil
	}
	if !errors.Is(err, gorm.ErrRecordNotFound) {
		return false, wrap(err, "find report %s", report.ClientID)
	}
	report.At, report.ReceivedAt = Instant(report.At), tx.Now()
	if report.Until != nil {
		report.Until = timePtr(*report.Until)
	}
	if err := create(ctx, tx, "report "+report.ClientID, report); err != nil {
		return false, err
	}
	if err := foldTask(ctx, tx, &task); err != nil {
		return false, err
	}
	if err := sideEffects(ctx, tx, &task, report); err != nil {
		return false, err
	}
	actor := Actor{UserID: report.UserID, Name: report.Reporter}
	return false, record(ctx, tx, actor, "report "+string(report.Kind), task.subject(), map[string]any{
		"task": task.Key, "report": report.ClientID, "at": instantText(&report.At),
	})
}

// IsReported tells whether a report with a client's id is stored.
func IsReported(ctx context.Context, r Reader, clientID string) (bool, error) {
	var n int64
	err := r.in(ctx).Model(&FieldReport{}).Where("client_id = ?", clientID).Count(&n).Error
	return n > 0, wrap(err, "find report %s", clientID)
}

// foldTask makes a task's state what its reports say, all of them in the order in which things happened: a report
// written without signal may arrive after later ones. task learns when it was finished.
func foldTask(ctx context.Context, tx *Tx, task *Task) error {
	var reports []FieldReport
	if err := tx.in(ctx).Where("task_id = ?", task.ID).Order("at, id").Find(&reports).Error; err != nil {
		return wrap(err, "read the reports of task %s", task.Key)
	}
	s := fold(reports)
	err := tx.in(ctx).Model(&Task{}).Where("id = ?", task.ID).Updates(map[string]any{
		"started_at": s.started, "finished_at": s.finished, "crew_id": s.crew, "remaining_minutes": s.remaining,
		"labour_reported": s.labour, "held": s.held, "held_until": s.heldUntil, "hold_cause": s.cause, "hold_party": s.party,
		"updated_at": tx.Now(),
	}).Error
	task.FinishedAt = s.finished
	return wrap(err, "set the state of task %s", task.Key)
}

// taskState is what reports say of a task.
type taskState struct {
	started, finished *time.Time
	crew              *int64
	remaining         *int
	labour            int
	said, found       *stop // what stops the task: said by a person, found by measuring
	held              bool
	heldUntil         *time.Time
	cause, party      string
}

// stop is one thing that stops a task.
type stop struct {
	until        *time.Time
	cause, party string
}

// settle makes one hold of what stops the task. It has a date only when all of it has, the last one.
func (s *taskState) settle() {
	s.held, s.heldUntil, s.cause, s.party = false, nil, "", ""
	open := false
	for _, stop := range []*stop{s.said, s.found} {
		if stop == nil {
			continue
		}
		if s.held {
			s.cause += "; "
		}
		s.held, s.cause, s.party = true, s.cause+stop.cause, cmp.Or(s.party, stop.party)
		open = open || stop.until == nil
		if s.heldUntil == nil || stop.until != nil && stop.until.After(*s.heldUntil) {
			s.heldUntil = stop.until
		}
	}
	if open {
		s.heldUntil = nil
	}
}

// fold reads reports in the order of their time. What is finished stays finished; the first report of any progress is the
// start where nobody reported one.
//
// A size that was taken back stops nothing, whenever it was taken back.
func fold(reports []FieldReport) (s taskState) {
	back := map[int64]bool{}
	for i := range reports {
		if w := reports[i].Withdraws; w != nil {
			back[*w] = true
		}
	}
	for i := range reports {
		r := &reports[i]
		if r.Withdraws != nil || back[r.ID] {
			continue
		}
		if r.LabourMinutes != nil {
			s.labour += *r.LabourMinutes
		}
		switch r.Kind {
		case ReportStart, ReportPartDone, ReportDone:
			s.progress(r)
		case ReportHold:
			if s.finished == nil {
				s.said = &stop{r.Until, r.Cause, r.Party}
				s.settle()
			}
		case ReportMeasured:
			s.measured(r)
		case ReportReleaseHold:
			s.release()
		case ReportHours, ReportDamaged, ReportPunch:
		}
	}
	return s
}

func (s *taskState) progress(r *FieldReport) {
	if s.finished != nil {
		return
	}
	at := r.At
	if s.started == nil {
		s.started = &at
	}
	if r.CrewID != nil {
		s.crew = r.CrewID
	}
	switch r.Kind {
	case ReportPartDone:
		s.remaining = r.RemainingMinutes
	case ReportDone:
		s.finished, s.remaining = &at, nil
		s.release()
	}
}

func (s *taskState) release() {
	s.said, s.found = nil, nil
	s.settle()
}

// measured stops the task when its opening was found beyond what is allowed, which is the cause of the report, and lets it
// go on when it was measured again within it.
func (s *taskState) measured(r *FieldReport) {
	switch {
	case s.finished != nil:
		return
	case r.Cause == "":
		s.found = nil
	default:
		s.found = &stop{r.Until, r.Cause, r.Party}
	}
	s.settle()
}

// sideEffects carries what a new report says of other rows than its task. It runs once a report.
func sideEffects(ctx context.Context, tx *Tx, task *Task, r *FieldReport) error {
	switch r.Kind {
	case ReportDamaged:
		return reportDamage(ctx, tx, task, r)
	case ReportMeasured:
		return reportSize(ctx, tx, task)
	case ReportDone, ReportPartDone, ReportHours:
		return errors.Join(reportMaterial(ctx, tx, task, r), observeRate(ctx, tx, task.ID))
	case ReportStart, ReportHold, ReportReleaseHold, ReportPunch:
	}
	return nil
}

// reportMaterial orders or receives the material that a finished order or delivery is about, when the task was finished by
// all its reports: work that two people report done is done once.
func reportMaterial(ctx context.Context, tx *Tx, task *Task, r *FieldReport) error {
	if r.Kind != ReportDone || task.ReleaseID == nil && task.ItemID == nil {
		return nil
	}
	news := MaterialNews{ReleaseID: task.ReleaseID, ItemID: task.ItemID, Source: "field report " + r.ClientID}
	switch task.Kind {
	case takeoff.Order:
		news.Ordered = task.FinishedAt
	case takeoff.Deliver:
		news.Received = task.FinishedAt
		if task.DropNumber != nil {
			news.Drop = *task.DropNumber
		}
	default:
		return nil // repairs name their remake too
	}
	return RecordMaterial(ctx, tx, news, Actor{UserID: r.UserID, Name: r.Reporter})
}

func reportDamage(ctx context.Context, tx *Tx, task *Task, r *FieldReport) error {
	if task.OpeningID == nil {
		return fmt.Errorf("report damage on task %s: it is not the work of one opening: %w", task.Key, ErrRefused)
	}
	opening, err := byID[Opening](ctx, tx, "opening", *task.OpeningID)
	if err != nil {
		return err
	}
	cause := r.Cause
	if cause == "" {
		cause = r.Note
	}
	_, err = addRemake(ctx, tx, opening, r.ItemKind, r.At, cause)
	return err
}

// TaskOfReport finds the task that a report is about.
func TaskOfReport(ctx context.Context, r Reader, reportID int64) (*Task, error) {
	report, err := byID[FieldReport](ctx, r, "report", reportID)
	if err != nil {
		return nil, err
	}
	return byID[Task](ctx, r, "task", report.TaskID)
}

// ReportsOf lists the reports of a task, oldest first.
func ReportsOf(ctx context.Context, r Reader, taskID int64) ([]FieldReport, error) {
	var rows []FieldReport
	err := r.in(ctx).Preload("Crew").Where("task_id = ?", taskID).Order("at, id").Find(&rows).Error
	return rows, wrap(err, "list the reports of task %d", taskID)
}
