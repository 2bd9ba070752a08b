package delays

import (
	"context"
	"fmt"
	"time"

	"jambwright/models"
	"jambwright/scheduler/ledger"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
	"jambwright/server/planning"
)

// records are the two plans of a window with everything that became known between them.
type records struct {
	window  *Window
	project *models.Project
	zone    *time.Location

	earlier, later         *problem.Problem
	earlierPlan, laterPlan *problem.Plan
	directory              *models.Directory
	openings               map[string]models.Opening // of the project, by mark
	dates                  map[string]int64          // ids of GC dates by their ids in the documents

	events   []ledger.Event
	evidence map[string]models.Evidence   // by the events' refs
	work     map[string][]models.Evidence // reports of progress, by task
}

// readRecords reads a window's records in one read transaction.
func readRecords(ctx context.Context, db *models.DB, projectID int64, w *Window) (*records, error) {
	r := &records{window: w, evidence: map[string]models.Evidence{}, work: map[string][]models.Evidence{}}
	err := db.ReadTogether(ctx, func(tx *models.Tx) (err error) {
		if r.project, err = models.ProjectByID(ctx, tx, projectID); err != nil {
			return err
		}
		if r.zone, err = time.LoadLocation(r.project.Zone); err != nil {
			return fmt.Errorf("project %s: %w", r.project.Code, err)
		}
		if r.earlier, r.earlierPlan, err = models.PlanDocuments(ctx, tx, w.From.ID); err != nil {
			return err
		}
		if r.later, r.laterPlan, err = models.PlanDocuments(ctx, tx, w.To.ID); err != nil {
			return err
		}
		if r.directory, err = models.ReadDirectory(ctx, tx); err != nil {
			return err
		}
		if r.openings, err = models.OpeningIDs(ctx, tx, projectID); err != nil {
			return err
		}
		if r.dates, err = models.GCDateIDs(ctx, tx); err != nil {
			return err
		}
		return r.readNews(ctx, tx)
	})
	return r, err
}

// readNews turns what became known into events and evidence.
func (r *records) readNews(ctx context.Context, tx *models.Tx) error {
	news, err := models.NewsBetween(ctx, tx, r.window.From.ReadUntil(), r.window.To.ReadUntil())
	if err != nil {
		return err
	}
	remakes, err := models.RemakesSince(ctx, tx, r.window.From.ReadUntil(), r.window.To.ReadUntil())
	if err != nil {
		return err
	}
	for i := range news {
		r.read(&news[i], remakes)
	}
	r.readNewOpenings()
	return nil
}

// read takes in one piece of news: reports of progress are evidence of work, all else are events.
func (r *records) read(n *models.News, remakes []models.MaterialItem) {
	e := models.Evidence{Kind: models.EvidenceKind(n.Kind), At: &n.At, Text: planning.Describe(*n, planning.Locale{Zone: r.zone, Units: r.project.Units})}
	switch {
	case n.Report != nil:
		e.ID, e.OpeningID, e.At = n.Report.ID, n.Report.Task.OpeningID, &n.Report.At
	case n.Handover != nil:
		e.ID, e.HandoverID = n.Handover.ID, &n.Handover.HandoverID
	case n.Material != nil:
		e.ID, e.ReleaseID, e.RemakeID = n.Material.ID, n.Material.ReleaseID, n.Material.ItemID
	}
	ref := fmt.Sprintf("%s:%d", e.Kind, e.ID)
	if n.Report != nil {
		switch n.Report.Kind {
		case models.ReportStart, models.ReportDone, models.ReportPartDone, models.ReportHours:
			r.work[n.Report.Task.Key] = append(r.work[n.Report.Task.Key], e)
			return
		case models.ReportPunch:
			return
		case models.ReportHold, models.ReportReleaseHold, models.ReportDamaged, models.ReportMeasured:
		}
	}
	r.evidence[ref] = e
	event := ledger.Event{At: *e.At, Ref: ref, Cause: causeOfReport(n.Report)}
	for _, key := range n.Tasks {
		event.Task = key
		r.event(event)
	}
	if n.Report != nil && n.Report.Kind == models.ReportDamaged {
		r.damage(n.Report, remakes, event)
	}
}

// event adds an event. What happens to the work of other projects is our own use of crews, as far as this one is concerned.
func (r *records) event(e ledger.Event) {
	if !r.isOurs(e.Task) {
		e.Cause = ledger.CrewShortage
	}
	r.events = append(r.events, e)
}

// damage makes a report of damage the event behind the work of its remake.
func (r *records) damage(report *models.FieldReport, remakes []models.MaterialItem, event ledger.Event) {
	for i := range remakes {
		item := &remakes[i]
		if item.Kind != report.ItemKind || report.Task.OpeningID == nil || item.OpeningID != *report.Task.OpeningID {
			continue
		}
		for k := range r.later.Tasks {
			key, err := pattern.TaskKey(r.later.Tasks[k].ID).Parse()
			if err == nil && key.Subject == item.Code && r.isOurs(r.later.Tasks[k].ID) {
				event.Task = r.later.Tasks[k].ID
				r.event(event)
			}
		}
	}
}

// readNewOpenings makes the entry of an opening the event behind its work.
func (r *records) readNewOpenings() {
	known := map[string]bool{}
	for i := range r.earlier.Tasks {
		known[r.earlier.Tasks[i].ID] = true
	}
	for i := range r.later.Tasks {
		id := r.later.Tasks[i].ID
		key, err := pattern.TaskKey(id).Parse()
		if known[id] || err != nil || !r.isOurs(id) {
			continue
		}
		opening, there := r.openings[key.Subject]
		if !there {
			continue
		}
		ref := fmt.Sprintf("opening:%d", opening.ID)
		at := opening.CreatedAt
		r.evidence[ref] = models.Evidence{
			Kind: models.EvidenceTask, ID: opening.ID, OpeningID: &opening.ID, At: &at,
			Text: "opening " + opening.Mark + " entered on " + at.In(r.zone).Format(dayLayout),
		}
		r.events = append(r.events, ledger.Event{Task: id, At: at, Ref: ref})
	}
}

// causeOfReport is whose affair a report says it is: the party that owes the answer; damage without a party is our own.
func causeOfReport(report *models.FieldReport) ledger.Cause {
	if report == nil {
		return ""
	}
	switch report.Party {
	case "general contractor", "architect":
		return ledger.GCChange
	case "other trade":
		return ledger.OtherTrade
	case "supplier":
		return ledger.Supplier
	case "our office":
		return ledger.OwnWork
	}
	switch report.Kind {
	case models.ReportDamaged:
		return ledger.OwnWork
	case models.ReportHold:
		return ledger.Unknown
	case models.ReportStart, models.ReportDone, models.ReportPartDone, models.ReportHours, models.ReportReleaseHold,
		models.ReportMeasured, models.ReportPunch:
	}
	return ""
}

// isOurs reports whether a task is of the window's project.
func (r *records) isOurs(task string) bool {
	key, err := pattern.TaskKey(task).Parse()
	return err == nil && key.Project == r.project.Code
}

// input is the window as the core wants it.
func (r *records) input() ledger.Input {
	in := ledger.Input{
		Earlier: r.earlier, Later: r.later, EarlierPlan: r.earlierPlan, LaterPlan: r.laterPlan, Events: r.events,
		Owner: map[string]ledger.Cause{}, Subject: map[string]string{},
	}
	for _, p := range []*problem.Problem{r.earlier, r.later} {
		for i := range p.Tasks {
			id := p.Tasks[i].ID
			in.Owner[id] = r.owner(id)
			if key, err := pattern.TaskKey(id).Parse(); err == nil {
				in.Subject[id] = key.Project + "/" + key.Subject
			}
		}
	}
	return in
}

// owner is who answers for the dates of a task: other trades for handovers, suppliers for what is on its way, else we.
func (r *records) owner(task string) ledger.Cause {
	key, err := pattern.TaskKey(task).Parse()
	switch {
	case err != nil:
		return ledger.Unknown
	case key.Project != r.project.Code:
		return ledger.CrewShortage
	case key.Kind == pattern.Handovers:
		return ledger.OtherTrade
	case key.Kind == pattern.Lead || key.Kind == takeoff.Deliver:
		return ledger.Supplier
	}
	return ledger.OwnWork
}
