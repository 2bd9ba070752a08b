package server

import (
	"maps"
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/migrations"
	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/pattern"
	"jambwright/server/demo"
	"jambwright/server/jobtest"
	"jambwright/web"
)

// newSmallSite serves the small job of the tests with two more openings on a level of their own, whose walls come in January.
func newSmallSite(t *testing.T) *site {
	t.Helper()
	dsn := filepath.Join(t.TempDir(), "small.db")
	clock := demo.NewClock(dbtest.Clock)
	db, err := models.Open(t.Context(), dsn, clock.Now)
	require.NoError(t, err)
	require.NoError(t, migrations.Up(t.Context(), db.SQL(), migrations.Dialect(db.Dialect())))
	job := jobtest.Load(t, db)
	require.NoError(t, db.Write(t.Context(), func(tx *models.Tx) error {
		for _, u := range []models.User{
			{Name: "Morgan", Email: "o@small.invalid", Role: models.OperationsManager, Active: true},
			{Name: "Ines", Email: "p@small.invalid", Role: models.ProjectManager, Active: true, Projects: []models.UserProject{{ProjectID: job.Project.ID}}},
		} {
			if err := models.CreateUser(t.Context(), tx, &u, jobtest.Actor()); err != nil {
				return err
			}
		}
		return nil
	}))
	require.NoError(t, db.Close())
	s := serveSite(t, dsn)
	s.clock.Set(dbtest.Now)
	pm := s.as(web.RoleProject)
	s.importSheet(pm, "openings", "Mark,Level,Type,Width,Height\nA,Level 1,HM door and frame,3-0,7-0\nB,Level 1,Fixed light,4-0,7-0\nC,Level 2,HM door and frame,3-0,7-0\nD,Level 2,Fixed light,4-0,7-0\n")
	s.importSheet(pm, "handovers", "Level,Condition,Trade,Promised\nLevel 1,Walls boarded,Partitions,2026-11-30\nLevel 2,Walls boarded,Partitions,2027-01-11\n")
	s.night(s.as(web.RoleOperations))
	return s
}

// importSheet reads a sheet by the import page; what is stored and not in it stays.
func (s *site) importSheet(b *browser, kind, text string) {
	s.t.Helper()
	preview := b.upload("/import/preview", map[string]string{"project": "1", "kind": kind}, kind+".csv", text)
	require.Equal(s.t, http.StatusOK, preview.status, preview.text())
	form := url.Values{"token": {preview.value("token")}}
	for _, q := range answers(preview) {
		form.Set(q, "keep")
	}
	done := b.post("/import/apply", form)
	require.Equal(s.t, http.StatusOK, done.status, done.text())
}

// night plans as a night does, a minute later, issues the plan, and lets another minute pass.
func (s *site) night(b *browser) *models.Plan {
	s.t.Helper()
	s.later(time.Minute)
	require.Contains(s.t, b.post("/nights/run", url.Values{"project": {"1"}}).text(), "in the queue")
	s.runNights()
	issue := b.get("/plans/issue")
	require.Contains(s.t, b.post("/plans/issue", url.Values{"plan": {issue.value("plan")}}).text(), "Issued")
	plan, err := models.LatestPlan(s.t.Context(), s.db)
	require.NoError(s.t, err)
	s.later(time.Minute)
	return plan
}

// placed are the planned starts and finishes of a plan by task.
func (s *site) placed(plan *models.Plan) map[string][2]time.Time {
	s.t.Helper()
	_, doc, err := models.PlanDocuments(s.t.Context(), s.db, plan.ID)
	require.NoError(s.t, err)
	list := map[string][2]time.Time{}
	for i := range doc.Tasks {
		list[doc.Tasks[i].ID] = [2]time.Time{doc.Tasks[i].Start, doc.Tasks[i].Finish}
	}
	return list
}

// buy sends a confirmed change of material of a release.
func (s *site) buy(b *browser, release, do string, fields map[string]string) {
	s.t.Helper()
	form := hiddenForm(b.get("/material/edit?release=" + itoa(s.releaseOf(release).ID) + "&drop=1&do=" + do))
	for name, value := range fields {
		form.Set(name, value)
	}
	form.Set("confirm", "yes")
	done := b.post("/material/edit", form)
	require.Equal(s.t, http.StatusOK, done.status, done.text())
	require.Contains(s.t, done.path, "/material/releases/", done.text())
}

// tell reports on a task as the report page does.
func (s *site) tell(b *browser, task, kind string, at time.Time, fields map[string]string) {
	s.t.Helper()
	local := at.In(s.denver())
	form := url.Values{
		"report_id": {task + kind}, "task": {task}, "kind": {kind}, "date": {local.Format(time.DateOnly)}, "time": {local.Format("15:04")},
	}
	for name, value := range fields {
		form.Set(name, value)
	}
	done := b.post("/report", form)
	require.Equal(s.t, "/tomorrow", done.path, done.text())
}

func (s *site) denver() *time.Location {
	s.t.Helper()
	zone, err := time.LoadLocation(jobtest.Zone)
	require.NoError(s.t, err)
	return zone
}

// news is one thing that is reported, and what must move for it: nothing else may.
type news struct {
	report func(s *site, b *browser)
	reason string
	moves  []string
	turns  []string // what moves since its crew does it in another turn, and says so
}

// slippedWalls are what a week's slip of the walls of level 1 must move: everything that is measured between walls or stands
// in them. Leaves and hardware are ordered by the drawings and come as before; level 2 has walls of its own.
func slippedWalls() []string {
	return []string{
		"SC/A/frame", "SC/A/hang", "SC/A/punch", "SC/B/frame", "SC/B/glaze", "SC/B/punch", "SC/L1-frames+glass/deliver",
		"SC/L1-frames+glass/lead", "SC/L1-frames+glass/order", "SC/L1/survey", "SC/L1/walls_boarded",
	}
}

const wallsSlipped = "walls boarded on Level 1: promised date Mon 7 Dec, was Mon 30 Nov"

// Each piece of news, reported by its page, moves the right tasks for the stated reason and no others. Between two plans lie two
// minutes in which nothing else is reported.
func TestNews_MovesTheRightTasksForTheStatedReasonAndNoOthers(t *testing.T) {
	t.Parallel()
	for name, n := range map[string]news{
		"a handover slips": {
			report: func(s *site, b *browser) {
				address := "/handovers/" + itoa(wallsID(s))
				try := b.post(address+"/try", valuesOf(deed(b.get(address), "promise", "2026-12-07", "board is late")))
				b.post("/handovers/record", url.Values{"token": {try.value("token")}, "do": {"record"}})
			},
			reason: wallsSlipped, moves: slippedWalls(),
		},
		"a fresh sheet says that it slips": {
			report: func(s *site, b *browser) {
				s.importSheet(b, "handovers", "Level,Condition,Trade,Promised\nLevel 1,Walls boarded,Partitions,2026-12-07\nLevel 2,Walls boarded,Partitions,2027-01-11\n")
			},
			reason: wallsSlipped, moves: slippedWalls(),
		},
		"a promise is late": {
			report: func(s *site, b *browser) {
				s.buy(b, "L1-leaves+hardware", "promise", map[string]string{"promised": "2026-12-14", "cause": "furnace down"})
			},
			reason: "release L1-leaves+hardware from Pellam Works: promised Mon 14 Dec",
			moves:  []string{"SC/A/hang", "SC/A/punch", "SC/L1-leaves+hardware/deliver", "SC/L1-leaves+hardware/lead"},
		},
		"a pane breaks": {
			report: func(s *site, b *browser) {
				s.tell(b, "SC/B/glaze", "damaged", s.clock.Now(), map[string]string{"item": "glass", "cause": "corner broken"})
			},
			reason: "Ines reported glaze B damaged glass: corner broken",
			moves:  []string{"SC/B/glaze", "SC/B/punch", "SC/B-glass-1/deliver", "SC/B-glass-1/lead", "SC/B-glass-1/order"},
			// Birch was to glaze B before she goes on with the door of A; now she goes on at once.
			turns: []string{"SC/A/hang", "SC/A/punch"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := newSmallSite(t)
			pm, boss := s.as(web.RoleProject), s.as(web.RoleOperations)
			s.buy(pm, "L2-leaves+hardware", "order", map[string]string{"date": "2026-11-25"})
			if strings.Contains(name, "pane") {
				s.untilMaterialIsThere(pm)
			} else {
				s.buy(pm, "L1-leaves+hardware", "order", map[string]string{"date": "2026-11-25"})
			}
			before := s.placed(s.night(boss))
			n.report(s, pm)
			plan := s.night(boss)
			moved := map[string]bool{}
			for task, now := range s.placed(plan) {
				if now != before[task] {
					moved[task] = true
				}
			}
			assert.ElementsMatch(t, slices.Concat(n.moves, n.turns), slices.Collect(maps.Keys(moved)))
			changes, err := models.ChangesOf(t.Context(), s.db, plan.ID, 1)
			require.NoError(t, err)
			for _, c := range changes {
				if c.Task == nil {
					assert.Equal(t, n.reason, c.CauseText, c.GCDate.Name)
					continue
				}
				reason := n.reason
				if slices.Contains(n.turns, c.Task.Key) {
					reason = "crews take their work at other times after this: " + reason
				}
				assert.Equal(t, reason, c.CauseText, c.Task.Key)
				assert.True(t, moved[c.Task.Key], "%s is said to move and does not", c.Task.Key)
				delete(moved, c.Task.Key)
			}
			assert.Empty(t, moved, "these move without a word")
			nights, err := models.Nights(t.Context(), s.db, nil, 1)
			require.NoError(t, err)
			assert.Contains(t, boss.get("/nights/"+itoa(nights[0].ID)).text(), n.reason)
		})
	}
}

func wallsID(s *site) int64 {
	return handoverOf(s.t, s.db, "L1", pattern.WallsBoarded).ID
}

// untilMaterialIsThere tells the job of level 1 so far: walls came, it was measured, all its material is
// there, frames stand, and the door of A is being hung.
func (s *site) untilMaterialIsThere(b *browser) {
	s.t.Helper()
	address := "/handovers/" + itoa(wallsID(s))
	try := b.post(address+"/try", valuesOf(deed(b.get(address), "actual", "2026-11-16", "")))
	b.post("/handovers/record", url.Values{"token": {try.value("token")}, "do": {"record"}})
	monday := time.Date(2026, 11, 16, 7, 0, 0, 0, s.denver())
	s.tell(b, "SC/L1/survey", "start", monday, nil)
	s.tell(b, "SC/L1/survey", "done", monday.Add(20*time.Minute), nil)
	for _, release := range []string{"L1-frames+glass", "L1-leaves+hardware"} {
		s.buy(b, release, "order", map[string]string{"date": "2026-11-16"})
		s.buy(b, release, "receive", map[string]string{"date": "2026-11-24"})
	}
	tuesday := monday.AddDate(0, 0, 8)
	for i, frame := range []string{"SC/A/frame", "SC/B/frame"} {
		s.tell(b, frame, "start", tuesday.Add(time.Duration(2*i+2)*time.Hour), nil)
		s.tell(b, frame, "done", tuesday.Add(time.Duration(2*i+3)*time.Hour), nil)
	}
	s.tell(b, "SC/A/hang", "start", tuesday.Add(28*time.Hour), nil)
	s.tell(b, "SC/A/hang", "part_done", s.clock.Now(), map[string]string{"remaining": "1.5"})
}
