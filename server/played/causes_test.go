package played_test

import (
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/scheduler/problem"
	"jambwright/server/planning"
)

// assertCauses holds the night's differences against the reasons that its own plan states.
func (w *world) assertCauses(earlier, later int64) {
	w.t.Helper()
	ctx := w.t.Context()
	changes, err := models.ChangesOf(ctx, w.DB, later, w.Project.ID)
	require.NoError(w.t, err)
	before, after := w.rowsOf(earlier), w.rowsOf(later)
	was, err := models.PlanByID(ctx, w.DB, earlier)
	require.NoError(w.t, err)
	is, err := models.PlanByID(ctx, w.DB, later)
	require.NoError(w.t, err)
	news, err := models.NewsBetween(ctx, w.DB, was.ReadUntil(), is.ReadUntil())
	require.NoError(w.t, err)
	told := map[string]bool{}
	for i := range news {
		for _, key := range news[i].Tasks {
			told[key] = true
		}
	}
	for i := range changes {
		c := &changes[i]
		require.NotEmpty(w.t, c.CauseKind)
		require.NotEmpty(w.t, c.CauseText)
		if c.Task == nil {
			continue
		}
		held := heldByNews(c.Task.Key, before, after, told)
		if held != "" && held != c.Task.Key {
			w.waits++
		}
		if held != "" && c.CauseKind == planning.CauseReordered {
			assert.Fail(w.t, "told as order", "%s waits for the news of %s, and is told as order: %s (night of %s)", c.Task.Key, held, c.CauseText, w.today)
		}
	}
}

// heldByNews follows a task's own reason backwards over work, handovers and material that all end later than they did, and is
// the task with news that it comes to, "" for none. Where a crew is what is waited for it stops: that is the order of work.
func heldByNews(key string, before, after map[string]*problem.PlannedTask, told map[string]bool) string {
	for range len(after) {
		old, now := before[key], after[key]
		if old == nil || now == nil || !now.Finish.After(old.Finish) {
			return ""
		}
		if told[key] {
			return key
		}
		switch now.Reason.Kind {
		case problem.ReasonPredecessor, problem.ReasonHandover, problem.ReasonMaterial:
			key = now.Reason.Ref
		default:
			return ""
		}
	}
	return ""
}

// rowsOf are the tasks of a plan by their ids.
func (w *world) rowsOf(planID int64) map[string]*problem.PlannedTask {
	w.t.Helper()
	_, plan := w.documents(planID)
	byID := map[string]*problem.PlannedTask{}
	for i := range plan.Tasks {
		byID[plan.Tasks[i].ID] = &plan.Tasks[i]
	}
	return byID
}
