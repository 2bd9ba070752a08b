package planning

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"jambwright/models"
	"jambwright/scheduler/compare"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
)

// Before is the plan that a new one is compared with, and what became known since it was read.
type Before struct {
	PlanID *int64 // nil when there is none
	Plan   *problem.Plan
	From   time.Time // up to when it had read: what became known later is news; zero without a plan
	News   []models.News
	Moved  []string // keys of the tasks that a person moves in the new plan
	// Scenario says in words what moves were put in force or withdrawn; "" for none.
	Scenario string

	problem *problem.Problem // of Plan
	revised []string         // keys of the tasks whose hours, hands or pace a person changes with the new plan
	because string           // why they change, in words

	locales map[int64]Locale // of the open projects, by id
}

// ReadBefore reads the latest plan and the news since it was made, up to readAt.
func ReadBefore(ctx context.Context, r models.Reader, readAt time.Time) (*Before, error) {
	latest, err := models.LatestPlan(ctx, r)
	if errors.Is(err, models.ErrNotFound) {
		return &Before{}, nil
	}
	if err != nil {
		return nil, err
	}
	b := &Before{PlanID: &latest.ID, From: latest.ReadUntil()}
	if b.problem, b.Plan, err = models.PlanDocuments(ctx, r, latest.ID); err != nil {
		return nil, err
	}
	if b.locales, err = localesOf(ctx, r); err != nil {
		return nil, err
	}
	b.News, err = models.NewsBetween(ctx, r, b.From, readAt)
	b.News = handoversOnce(b.News)
	return b, err
}

// handoversOnce makes one piece of news of all changes of one date of a handover: from what it was before the first to what
// it is after the last. A date that is back where it was is no news.
func handoversOnce(all []models.News) []models.News {
	type date struct {
		handover int64
		field    models.HandoverField
	}
	first := map[date]*models.Date{}
	last := map[date]int{}
	for i := range all {
		if c := all[i].Handover; c != nil {
			d := date{c.HandoverID, c.Field}
			if _, known := last[d]; !known {
				first[d] = c.OldDate
			}
			last[d] = i
		}
	}
	var once []models.News
	for i, n := range all {
		if n.Handover == nil {
			once = append(once, n)
			continue
		}
		d := date{n.Handover.HandoverID, n.Handover.Field}
		change := *n.Handover
		if change.OldDate = first[d]; last[d] != i || sameDate(change.OldDate, change.NewDate) {
			continue
		}
		n.Handover = &change
		once = append(once, n)
	}
	return once
}

func sameDate(a, b *models.Date) bool {
	return a == nil && b == nil || a != nil && b != nil && *a == *b
}

// localesOf are how the people of the open projects read, by id.
func localesOf(ctx context.Context, r models.Reader) (map[int64]Locale, error) {
	projects, err := models.Projects(ctx, r)
	if err != nil {
		return nil, err
	}
	locales := make(map[int64]Locale, len(projects))
	for i := range projects {
		zone, err := time.LoadLocation(projects[i].Zone)
		if err != nil {
			return nil, fmt.Errorf("project %s: %w", projects[i].Code, err)
		}
		locales[projects[i].ID] = Locale{zone, projects[i].Units}
	}
	return locales, nil
}

// describe says in words, with the days of its project's zone, what a piece of news was.
func (b *Before) describe(n models.News) string {
	return Describe(n, cmp.Or(b.locales[n.ProjectID], Locale{Zone: time.UTC}))
}

// tries bound how often a plan is made anew because another one was saved while it was being made.
const tries = 3

// anew does work again where another plan was saved while it went on.
func anew(work func() error) (err error) {
	var overtaken *models.ErrStale
	for range tries {
		if err = work(); !errors.As(err, &overtaken) {
			return err
		}
	}
	return err
}

// Save stores a plan with its differences from the one before and what caused them, in the caller's transaction. It is
// *models.ErrStale when another plan was saved since the firm was read.
func Save(ctx context.Context, tx *models.Tx, m *Made, before *Before, because models.MadeBecause, actor models.Actor) (*models.Plan, error) {
	row, err := models.SavePlan(ctx, tx, models.PlanToSave{Problem: m.Problem, Plan: m.Plan, Bases: m.Index.Bases(), ReadAt: m.ReadAt, Because: because, Actor: actor, After: m.after})
	if err != nil {
		return nil, err
	}
	if before.Plan == nil {
		return row, nil // the first plan moves nothing
	}
	changes := Differences(m, before)
	return row, models.SaveChanges(ctx, tx, row.ID, before.PlanID, changes)
}

// Differences compares a plan with the one before it, task by task and GC date by GC date, each with its cause in words.
func Differences(m *Made, before *Before) []models.ChangeToSave {
	result := compare.Plans(m.Problem, before.Plan, m.Plan, before.events(m.Index))
	changes := make([]models.ChangeToSave, 0, len(result.Tasks)+len(result.Dates))
	for i := range result.Tasks {
		t := &result.Tasks[i]
		if finishedInBoth(t, m.Problem.DataDate) {
			continue
		}
		c := models.ChangeToSave{
			Task: t.Task, OldCrew: t.OldCrew, NewCrew: t.NewCrew, OldStart: known(t.OldStart), NewStart: known(t.NewStart),
			OldFinish: known(t.OldFinish), NewFinish: known(t.NewFinish), MovedMinutes: t.Moved,
		}
		before.explain(&c, t.Cause, t.ByOrder)
		changes = append(changes, c)
	}
	for i := range result.Dates {
		d := &result.Dates[i]
		if d.Moved == 0 && !appears(d) {
			continue
		}
		c := models.ChangeToSave{GCDate: d.ID, MovedMinutes: d.Moved}
		if d.Old != nil {
			c.OldFinish = d.Old.Forecast
		}
		if d.New != nil {
			c.NewFinish = d.New.Forecast
		}
		before.explain(&c, d.Cause, d.ByOrder)
		changes = append(changes, c)
	}
	return changes
}

// appears reports whether a forecast was lost or found.
func appears(d *compare.DateChange) bool {
	had := d.Old != nil && d.Old.Forecast != nil
	has := d.New != nil && d.New.Forecast != nil
	return had != has
}

// finishedInBoth reports whether a task lies in the past in both plans: what was reported of it is no move.
func finishedInBoth(c *compare.Change, dataDate time.Time) bool {
	past := func(t time.Time) bool { return !t.IsZero() && !t.After(dataDate) }
	return past(c.OldFinish) && past(c.NewFinish) && c.OldFinish.Equal(c.NewFinish)
}

func known(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	return &t
}

// events are the news and the moves as compare wants them. A move counts before older news of the same task.
func (b *Before) events(index *pattern.Index) []compare.Event {
	var events []compare.Event
	for _, key := range b.Moved {
		events = append(events, compare.Event{Task: key, Ref: causeMoved})
	}
	for _, key := range b.revised {
		events = append(events, compare.Event{Task: key, Ref: causeRevised})
	}
	return append(events, eventsOf(b.News, index)...)
}

// explain fills in the cause of a difference. What moved by the order of its crew's work alone says so, and after what.
func (b *Before) explain(c *models.ChangeToSave, cause *compare.Event, byOrder bool) {
	if byOrder && b.Scenario != "" {
		cause = nil // the moves of the scenario are what changed the order
	}
	b.explainHeld(c, cause)
	if cause != nil && byOrder {
		c.CauseKind, c.ReportID = CauseReordered, nil
		c.CauseText = "crews take their work at other times after this: " + strings.TrimPrefix(c.CauseText, followsOther)
	}
}

// followsOther begins the cause of work that waits for work that a person changed.
const followsOther = "follows other work: "

// explainHeld fills in a cause that binds.
func (b *Before) explainHeld(c *models.ChangeToSave, cause *compare.Event) {
	switch {
	case cause == nil && b.Scenario != "":
		c.CauseKind, c.CauseText = causeScenario, b.Scenario
	case cause == nil:
		c.CauseKind, c.CauseText = CauseReordered, "planned in another order around the other changes"
	case cause.Ref == causeMoved:
		c.CauseKind, c.CauseRef, c.CauseText = causeMoved, cause.Task, "moved by hand"
		if cause.Task != c.Task {
			c.CauseText = "follows work that was moved by hand"
		}
	case cause.Ref == causeRevised:
		c.CauseKind, c.CauseRef, c.CauseText = causeRevised, cause.Task, b.because
		if cause.Task != c.Task {
			c.CauseText = followsOther + b.because
		}
	case cause.Ref == compare.NotStarted:
		c.CauseKind, c.CauseRef, c.CauseText = causeNotStarted, cause.Task, "nobody reported it started by the data date"
		if cause.Task != c.Task {
			c.CauseText = "work before it was not reported started by the data date"
		}
	case cause.Ref == compare.GoingOn:
		c.CauseKind, c.CauseRef, c.CauseText = causeGoingOn, cause.Task, "under way: what is left counts from the time of planning"
		if cause.Task != c.Task {
			c.CauseText = "work before it is under way: what is left counts from the time of planning"
		}
	case cause.Ref == compare.NotFinished:
		c.CauseKind, c.CauseRef, c.CauseText = causeNotFinished, cause.Task, "nobody reported it finished by the data date"
		if cause.Task != c.Task {
			c.CauseText = "work before it was not reported finished by the data date"
		}
	default:
		i, err := strconv.Atoi(cause.Ref)
		if err != nil || i >= len(b.News) {
			panic(fmt.Sprintf("planning: cause %q names none of %d news", cause.Ref, len(b.News)))
		}
		news := b.News[i]
		c.CauseKind, c.CauseRef, c.CauseText = string(news.Kind), cause.Task, b.describe(news)
		if news.Report != nil {
			c.ReportID = &news.Report.ID
		}
	}
}

// PlanNow makes a plan and saves it as a draft: the use case of "plan now" on pages, of commands and of the demo.
func PlanNow(ctx context.Context, db *models.DB, o Options, because models.MadeBecause, actor models.Actor) (made *Made, row *models.Plan, err error) {
	err = anew(func() error {
		if made, err = Make(ctx, db, o); err != nil {
			return err
		}
		before, err := ReadBefore(ctx, db, made.ReadAt)
		if err != nil {
			return fmt.Errorf("read the plan before: %w", err)
		}
		return db.Write(ctx, func(tx *models.Tx) error {
			row, err = Save(ctx, tx, made, before, because, actor)
			return err
		})
	})
	if err != nil {
		return nil, nil, err
	}
	return made, row, nil
}

// Issue makes a plan the one that the crews of the projects follow.
func Issue(ctx context.Context, db *models.DB, planID int64, projectIDs []int64, actor models.Actor) error {
	return db.Write(ctx, func(tx *models.Tx) error {
		latest, err := models.LatestPlan(ctx, tx)
		if err != nil {
			return err
		}
		if latest.ID != planID {
			return &models.ErrStale{What: "the plan to issue", Read: planID, Version: latest.ID, Current: latest}
		}
		for _, id := range projectIDs {
			if _, err := models.IssuePlan(ctx, tx, planID, id, false, actor); err != nil {
				return err
			}
		}
		return nil
	})
}
