package server

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"jambwright/models"
	"jambwright/scheduler/takeoff"
	"jambwright/server/planning"
	"jambwright/web"
)

// limitsForm is the form of the limits as a browser would send it once what it does was seen, with some fields filled.
func limitsForm(p *page, set map[string]string) url.Values {
	form := hiddenForm(p)
	form["area"] = values(p, "area")
	form.Set("confirm", "yes")
	p.each(func(n *html.Node) {
		for _, a := range n.Attr {
			if a.Key == "checked" {
				form.Set(attribute(n, "name"), attribute(n, "value"))
			}
		}
	})
	for field, value := range set {
		form.Set(field, value)
	}
	return form
}

// Two promises for one morning: with one place at the dock the second waits for the first, with two it does not.
func TestLimits_BindDeliveries(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	frames, glass := s.releaseOf("L2-frames"), s.releaseOf("L2-glass")
	day := models.NewDate(2026, 12, 2)
	require.NoError(t, s.db.Write(t.Context(), func(tx *models.Tx) error {
		for _, rel := range []*models.Release{frames, glass} {
			id := rel.ID
			if err := models.RecordMaterial(t.Context(), tx, models.MaterialNews{ReleaseID: &id, Promised: &day}, models.Actor{Name: "test"}); err != nil {
				return err
			}
		}
		return nil
	}))
	overlap := func() bool {
		made, err := planning.Make(t.Context(), s.db, planning.Options{Schedules: 2})
		require.NoError(t, err)
		var spans [][2]int64
		for _, task := range made.Plan.Tasks {
			if task.ID == "HB/L2-frames/deliver" || task.ID == "HB/L2-glass/deliver" {
				spans = append(spans, [2]int64{task.Start.Unix(), task.Finish.Unix()})
			}
		}
		require.Len(t, spans, 2)
		return spans[0][0] < spans[1][1] && spans[1][0] < spans[0][1]
	}
	address := "/material/limits?project=" + itoa(frames.ProjectID)
	p := b.get(address)
	require.Equal(t, "1", p.value("dock"))
	require.False(t, overlap(), "the dock takes one at a time")

	look := limitsForm(p, map[string]string{"dock": "2", "confirm": ""})
	check := b.post("/material/limits", look)
	require.Equal(t, http.StatusOK, check.status, check.text())
	require.Contains(t, check.text(), "Nothing is changed yet")
	require.Contains(t, check.text(), "GC dates")
	require.Equal(t, "1", b.get(address).value("dock"), "a look stores nothing")
	look = hiddenForm(check)
	look["area"] = values(check, "area")
	look.Set("confirm", "no")
	require.Equal(t, "2", b.post("/material/limits", look).value("dock"), "what was typed is there to be changed")
	look.Set("confirm", "yes")
	done := b.post("/material/limits", look)
	require.Contains(t, done.text(), "Kept.")
	require.False(t, overlap(), "the hoist still takes one at a time")
	done = b.post("/material/limits", limitsForm(b.get(address), map[string]string{"hoist": ""}))
	require.Contains(t, done.text(), "Kept.")
	require.True(t, overlap(), "two places at the dock and no hoist: both come at once")
	again := b.post("/material/limits", limitsForm(b.get(address), map[string]string{"hoist": "1"}))
	require.Contains(t, again.text(), "Kept.")
	require.Equal(t, "1", again.value("hoist"))
	require.False(t, overlap())
}

// causesOf are the causes of a preview, by the task that moves.
func causesOf(p *page) map[string]string {
	causes, task := map[string]string{}, ""
	p.each(func(n *html.Node) {
		switch {
		case n.Data == "th":
			task = words(n)
		case attribute(n, "data-label") == "Because":
			causes[task] = words(n)
		}
	})
	return causes
}

func TestLimits_StorageHoldsDeliveriesBack(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	rel := s.releaseOf("L2-frames")
	address := "/material/limits?project=" + itoa(rel.ProjectID)
	field := "stored-" + s.areaOf("L2")
	deliveries := func() (starts map[string]int64, notes string) {
		made, err := planning.Make(t.Context(), s.db, planning.Options{Schedules: 2})
		require.NoError(t, err)
		starts = map[string]int64{}
		for _, task := range made.Plan.Tasks {
			if strings.HasPrefix(task.ID, "HB/L2-") && strings.Contains(task.ID, string(takeoff.Deliver)) {
				starts[task.ID] = task.Start.Unix()
			}
		}
		return starts, strings.Join(made.Plan.Notes, "\n")
	}
	before, _ := deliveries()
	// 45 frames, the glass of 33 openings and 72 leaves and hardware come to level 2; with room for 90 some must be used first.
	look := b.post("/material/limits", limitsForm(b.get(address), map[string]string{field: "90", "confirm": ""}))
	causes := causesOf(look)
	require.NotEmpty(t, causes)
	held, turns := 0, 0
	for task, cause := range causes {
		switch {
		case strings.HasPrefix(task, "deliver"):
			assert.Equal(t, "limits of dock, hoist or storage changed", cause, "%s", task)
			held++
		case strings.HasPrefix(cause, "follows other work: limits of"):
		default: // a change of the order alone is not laid to the limits
			assert.Regexp(t, `^(crews take their work at other times after this: limits of|planned in another order)`, cause, "%s", task)
			turns++
		}
	}
	assert.Positive(t, held)
	assert.Positive(t, turns)
	assert.Contains(t, look.text(), strconv.Itoa(turns)+" of them move")
	done := b.post("/material/limits", limitsForm(b.get(address), map[string]string{field: "90"}))
	require.Contains(t, done.text(), "Kept.")
	require.Equal(t, "90", done.value(field))
	after, notes := deliveries()
	require.NotContains(t, notes, "finds no room")
	later := 0
	for key, start := range after {
		if start > before[key] {
			later++
		}
	}
	require.Positive(t, later, "a delivery waits: %v then %v", before, after)

	for _, bad := range []string{"0", "-3", "many", "999999"} {
		p := b.post("/material/limits", limitsForm(b.get(address), map[string]string{field: bad, "dock": bad}))
		require.Equal(t, http.StatusUnprocessableEntity, p.status)
		require.Equal(t, 2, strings.Count(p.text(), "Write a whole number"), "both faults at once")
	}
	stale := limitsForm(b.get(address), map[string]string{field: "80"})
	b.post("/material/limits", limitsForm(b.get(address), map[string]string{field: "85"}))
	require.Equal(t, http.StatusConflict, b.post("/material/limits", stale).status)
	require.Equal(t, http.StatusForbidden, s.as(web.RoleForeman).get(address).status)
}
