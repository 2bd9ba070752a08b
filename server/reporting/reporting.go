// Package reporting is the use case of a field report: what a foreman says of a task, checked, appended once and folded
// onto the task in one transaction.
//
// Reports are append-only. The device that writes a report makes its id, so that one sent twice, such as after a lost
// answer, counts once. A report changes what is known; dates change with the next re-plan.
package reporting

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"jambwright/models"
	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
)

// Report is what was said of a task.
type Report struct {
	ClientID  string // made where the report was written
	TaskKey   string
	Kind      models.ReportKind
	At        time.Time // when it happened
	CrewID    *int64
	Labour    *int       // labour minutes spent
	Remaining *int       // crew minutes left
	Until     *time.Time // when the answer to a hold is expected; nil when nobody knows
	Cause     string
	Party     string
	Item      pattern.Item // what is damaged
	Width     *length.Length
	Height    *length.Length
	Plumb     *length.Length // how far off over the opening's own height; nil was not measured
	Level     *length.Length // over its width
	Square    *length.Length // difference of the diagonals
	Note      string
	Pictures  []models.Picture

	UserID   *int64
	Reporter string
}

// Fault is what is wrong with one field of a report; Field is the name of the form's field.
type Fault struct {
	Field   string
	Message string
}

// Faults are all faults of a report.
type Faults []Fault

// Error lists the faults on one line, each with its field.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, fault := range f {
		lines[i] = fault.Field + ": " + fault.Message
	}
	return "the report cannot be taken: " + strings.Join(lines, "; ")
}

// Bounds of what a person can mean.
const (
	maxTaskMinutes = 100 * 60 // more than two weeks of one crew on one task is a slip of the pen
	maxText        = 1000     // characters of a note or a cause
	clockSkew      = 10 * time.Minute
	oldest         = 366 * 24 * time.Hour
)

// Submit checks a report and appends it. already tells that it had been sent before; then nothing changes. The errors to
// show a person are Faults and models.ErrNotFound (no such task).
func Submit(ctx context.Context, db *models.DB, r Report) (already bool, err error) {
	taken, err := Take(ctx, db, r)
	return taken.Already, err
}

// Taken is what became of a report.
type Taken struct {
	Already bool   // it had been sent before; nothing changed
	Beyond  string // what was measured beyond what is allowed, in words; empty when all is within it
	Party   string // who is to put that right
}

// Take does what Submit does and tells what became of the report.
func Take(ctx context.Context, db *models.DB, r Report) (taken Taken, err error) {
	err = db.Write(ctx, func(tx *models.Tx) error {
		taken, err = Record(ctx, tx, r)
		return err
	})
	return taken, err
}

// Record does what Take does, in the caller's transaction.
func Record(ctx context.Context, tx *models.Tx, r Report) (taken Taken, err error) {
	if faults := r.check(tx.Now()); len(faults) > 0 {
		return taken, faults
	}
	task, err := models.TaskByKey(ctx, tx, r.TaskKey)
	if err != nil {
		return taken, fmt.Errorf("find task %s: %w", r.TaskKey, err)
	}
	// A report that is here already is not held against what came after it.
	stored, err := models.IsReported(ctx, tx, r.ClientID)
	if err != nil {
		return taken, err
	}
	if faults := againstTask(r, task); len(faults) > 0 && !stored {
		return taken, faults
	}
	if r.Kind == models.ReportMeasured {
		if task, err = models.MeasuredTask(ctx, tx, task); err != nil {
			return taken, err
		}
		if err := r.judge(ctx, tx, task, &taken); err != nil {
			return taken, err
		}
	}
	row := r.Row(task)
	if taken.Already, err = models.AppendReport(ctx, tx, row); err != nil || taken.Already {
		return taken, err
	}
	about := models.Photo{ProjectID: task.ProjectID, ReportID: &row.ID}
	return taken, models.AddPhotos(ctx, tx, about, r.Pictures, models.Actor{UserID: r.UserID, Name: r.Reporter})
}

// Row is the report as it is stored, without an id.
func (r Report) Row(task *models.Task) *models.FieldReport {
	crew := r.CrewID
	if crew == nil {
		crew = task.CrewID
	}
	return &models.FieldReport{
		ClientID: r.ClientID, TaskID: task.ID, Kind: r.Kind, CrewID: crew, UserID: r.UserID, Reporter: r.Reporter,
		At: models.Instant(r.At.Truncate(time.Minute)), RemainingMinutes: r.Remaining, LabourMinutes: r.Labour, Until: r.Until,
		Cause: strings.TrimSpace(r.Cause), Party: strings.TrimSpace(r.Party), ItemKind: r.Item,
		Width: r.Width, Height: r.Height, OutOfPlumb: r.Plumb, OutOfLevel: r.Level, OutOfSquare: r.Square, Note: strings.TrimSpace(r.Note),
	}
}

// check finds what is wrong with the report by itself, all at once.
func (r Report) check(now time.Time) (faults Faults) {
	add := func(field, format string, args ...any) {
		faults = append(faults, Fault{Field: field, Message: fmt.Sprintf(format, args...)})
	}
	if r.ClientID == "" || len(r.ClientID) > 100 {
		add("report_id", "the form lacks its id; open it again")
	}
	if r.TaskKey == "" {
		add("task", "say which task the report is about")
	}
	switch {
	case r.At.IsZero():
		add("date", "say when it happened")
	case r.At.After(now.Add(clockSkew)):
		add("date", "%s lies in the future; a report says what has happened", r.At.Format("Mon 2 Jan 15:04"))
	case r.At.Before(now.Add(-oldest)):
		add("date", "%s lies more than a year back", r.At.Format("Mon 2 Jan 2006"))
	}
	checkMinutes(add, "hours", r.Labour)
	checkMinutes(add, "remaining", r.Remaining)
	checkText(add, "cause", r.Cause)
	checkText(add, "party", r.Party)
	checkText(add, "note", r.Note)
	r.checkKind(add)
	return faults
}

// adder notes one fault of a field.
type adder func(field, format string, args ...any)

func checkMinutes(add adder, field string, minutes *int) {
	if minutes != nil && (*minutes < 0 || *minutes > maxTaskMinutes) {
		add(field, "%d hours is out of range; take 0 to %d", *minutes/60, maxTaskMinutes/60)
	}
}

func checkText(add adder, field, text string) {
	if utf8.RuneCountInString(text) > maxText {
		add(field, "this is longer than %d characters", maxText)
	}
}

func checkSize(add adder, field string, l *length.Length) {
	if l == nil || *l <= 0 {
		add(field, "give the measured size")
	}
}

// mostOff is far more than any wall leans; a figure beyond it is the opening's size in the wrong field.
const mostOff = 12 * length.Inch

func checkOff(add adder, field string, l *length.Length) {
	if l != nil && (*l < 0 || *l > mostOff) {
		add(field, "this says how far it is off, from 0 to %s", mostOff.FeetInches())
	}
}

// checkKind finds what the kind of report needs and lacks.
func (r Report) checkKind(add adder) {
	switch r.Kind {
	case models.ReportStart, models.ReportDone, models.ReportReleaseHold, models.ReportPunch:
	case models.ReportPartDone:
		if r.Remaining == nil {
			add("remaining", "say how many crew hours are left")
		}
	case models.ReportHours:
		if r.Labour == nil {
			add("hours", "say how many hours were spent")
		}
	case models.ReportHold:
		if strings.TrimSpace(r.Cause) == "" {
			add("cause", "say what stops the work")
		}
		if r.Until != nil && r.Until.Before(r.At) {
			add("expected", "the answer cannot be expected before the hold began")
		}
	case models.ReportDamaged:
		switch {
		case r.Item == "":
			add("item", "say what is damaged")
		case !slices.Contains(pattern.Items(), r.Item):
			add("item", "there is no item %q", string(r.Item))
		}
	case models.ReportMeasured:
		checkSize(add, "width", r.Width)
		checkSize(add, "height", r.Height)
		checkOff(add, "plumb", r.Plumb)
		checkOff(add, "level", r.Level)
		checkOff(add, "square", r.Square)
		if r.Until != nil && r.Until.Before(r.At) {
			add("expected", "it cannot be put right before it was found")
		}
	default:
		add("kind", "there is no report %q", string(r.Kind))
	}
}

// againstTask finds what contradicts what is known of the task.
func againstTask(r Report, task *models.Task) (faults Faults) {
	add := func(field, format string, args ...any) {
		faults = append(faults, Fault{Field: field, Message: fmt.Sprintf(format, args...)})
	}
	zone := r.At.Location() // the writer's own
	if (r.Kind == models.ReportStart || r.Kind == models.ReportPartDone) && task.FinishedAt != nil {
		add("kind", "%s was reported done on %s", task.Key, task.FinishedAt.In(zone).Format("Mon 2 Jan"))
	}
	if r.Kind == models.ReportDone && task.StartedAt != nil && r.At.Before(*task.StartedAt) {
		add("date", "it was started on %s; it cannot be done before that", task.StartedAt.In(zone).Format("Mon 2 Jan 15:04 MST"))
	}
	if task.OpeningID == nil {
		switch r.Kind {
		case models.ReportMeasured:
			add("kind", "a measured size belongs to one opening; report it on the opening's own page")
		case models.ReportDamaged:
			add("kind", "damage belongs to one opening; report it on the opening's own page")
		}
	}
	return faults
}
