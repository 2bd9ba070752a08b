package server

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"jambwright/models"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
	"jambwright/web"
)

// formOf are the hidden fields of the form beside a learned rate, by the id of its line.
func formOf(t *testing.T, p *page, id string) url.Values {
	t.Helper()
	require.True(t, p.has("div", "id", id), "a line %s on the rates page", id)
	values := url.Values{}
	p.each(func(n *html.Node) {
		for in := n.Parent; n.Data == "input" && in != nil; in = in.Parent {
			if attribute(in, "id") == id {
				values.Set(attribute(n, "name"), attribute(n, "value"))
			}
		}
	})
	return values
}

// has reports whether the page has an element with an attribute.
func (p *page) has(tag, key, value string) (found bool) {
	p.each(func(n *html.Node) { found = found || n.Data == tag && attribute(n, key) == value })
	return found
}

func TestRates_AcceptedIsPlannedWithAndTakenBackAgain(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	rates := b.get("/rates")
	require.Equal(t, http.StatusOK, rates.status)
	for _, kind := range []string{"frame", "glaze", "hang"} {
		require.True(t, rates.has("div", "id", kind), "finished work of %s is learned from", kind)
	}
	before, err := models.LatestPlan(t.Context(), s.db)
	require.NoError(t, err)
	hours := func() int {
		doc, _, err := models.PlanDocuments(t.Context(), s.db, planID(t, s.db))
		require.NoError(t, err)
		sum := 0
		for _, task := range doc.Tasks {
			if task.Kind == "frame" && task.Status == nil {
				sum += *task.LabourMinutes
			}
		}
		return sum
	}
	table := hours()

	form := formOf(t, rates, "frame")
	form.Set("what", "accept")
	preview := b.post("/rates/decide", form)
	require.Equal(t, http.StatusOK, preview.status, preview.text())
	require.Contains(t, preview.text(), "What accepting this rate does")
	require.True(t, preview.has("th", "scope", "row"), "GC dates and tasks that move")
	require.Equal(t, before.ID, planID(t, s.db), "a preview saves nothing")
	book, err := models.ReadRateBook(t.Context(), s.db)
	require.NoError(t, err)
	require.Empty(t, book.Decisions)

	form.Set("do", "save")
	done := b.post("/rates/decide", form)
	require.Contains(t, done.text(), "Accepted: framing is planned as learned")
	require.Greater(t, planID(t, s.db), before.ID, "a draft")
	factor := book.Experience[indexOf(book, takeoff.Frame)].Learned.Factor
	require.InEpsilon(t, factor, float64(hours())/float64(table), 0.02)

	old := b.post("/rates/decide", form)
	require.Equal(t, http.StatusConflict, old.status, "the page is older than the decision")

	back := formOf(t, b.get("/rates"), "frame")
	back.Set("what", "keep")
	require.Contains(t, b.post("/rates/decide", back).text(), "What taking this rate back does")
	back.Set("do", "save")
	require.Contains(t, b.post("/rates/decide", back).text(), "Taken back")
	require.Equal(t, table, hours())
}

func TestRates_ACrewsPaceIsAcceptedForItAlone(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	crew, err := models.CrewByName(t.Context(), s.db, "Cedar")
	require.NoError(t, err)
	id := "frame-" + strconv.FormatInt(crew.ID, 10)
	form := formOf(t, b.get("/rates"), id)
	form.Set("what", "accept")
	form.Set("do", "save")
	require.Contains(t, b.post("/rates/decide", form).text(), "framing by crew Cedar is planned as learned")
	doc, _, err := models.PlanDocuments(t.Context(), s.db, planID(t, s.db))
	require.NoError(t, err)
	for _, c := range doc.Crews {
		if c.ID == crew.Code {
			require.Less(t, c.ProductivityOf("frame"), 0.95, "slower than the table")
		} else {
			require.InDelta(t, 1, c.ProductivityOf("frame"), 1e-9)
		}
	}
	project, err := models.FirstProject(t.Context(), s.db)
	require.NoError(t, err)
	changes, err := models.ChangesOf(t.Context(), s.db, planID(t, s.db), project.ID)
	require.NoError(t, err)
	found := false
	for _, c := range changes {
		found = found || strings.Contains(c.CauseText, "hours of framing by crew Cedar as learned")
	}
	require.True(t, found, "what moves says why")
}

// What surveys, orders and unloading take is accepted, planned with and taken back as what other work takes.
func TestRates_SharedWorkIsAcceptedAsAnyOther(t *testing.T) {
	t.Parallel()
	s := newSmallSite(t)
	b := s.as(web.RoleOperations)
	monday := time.Date(2026, 11, 16, 7, 0, 0, 0, s.denver())
	s.tell(b, "SC/L1/survey", "done", monday, map[string]string{"hours": "2"})
	s.tell(b, "SC/L1-frames+glass/order", "done", monday.Add(3*time.Hour), map[string]string{"hours": "1"})
	s.tell(b, "SC/L1-frames+glass/deliver", "done", monday.Add(27*time.Hour), map[string]string{"hours": "3"})
	s.night(b)
	for kind, words := range map[string][2]string{
		"survey": {"survey", "SC/L2/survey"}, "order": {"ordering", "SC/L1-leaves+hardware/order"}, "deliver": {"unloading", "SC/L1-leaves+hardware/deliver"},
	} {
		rates := b.get("/rates")
		form := formOf(t, rates, kind)
		form.Set("what", "accept")
		preview := b.post("/rates/decide", form)
		require.Equal(t, http.StatusOK, preview.status, preview.text())
		require.Contains(t, preview.text(), "hours of "+words[0]+" as learned", "what moves says why")
		table := s.hoursOf(words[1])
		form.Set("do", "save")
		require.Contains(t, b.post("/rates/decide", form).text(), "Accepted: "+words[0]+" is planned as learned")
		require.Greater(t, s.hoursOf(words[1]), table, "%s", kind)
		require.Contains(t, b.get("/rates").text(), "the learned rate accepted")

		back := formOf(t, b.get("/rates"), kind)
		back.Set("what", "keep")
		require.Contains(t, b.post("/rates/decide", back).text(), "What taking this rate back does")
		back.Set("do", "save")
		require.Contains(t, b.post("/rates/decide", back).text(), "Taken back: "+words[0])
		require.Equal(t, table, s.hoursOf(words[1]))
	}
	page := b.get("/rates").text()
	for _, text := range []string{"survey of Level 1", "No crew is planned for this"} {
		require.Contains(t, page, text)
	}
	require.NotContains(t, page, "are not taken over")
}

// hoursOf are the minutes of a task in the latest plan's problem: of labour, or of the clock where no crew is planned.
func (s *site) hoursOf(key string) int {
	s.t.Helper()
	doc, _, err := models.PlanDocuments(s.t.Context(), s.db, planID(s.t, s.db))
	require.NoError(s.t, err)
	i := slices.IndexFunc(doc.Tasks, func(t problem.Task) bool { return t.ID == key })
	require.GreaterOrEqual(s.t, i, 0, key)
	if doc.Tasks[i].LabourMinutes != nil {
		return *doc.Tasks[i].LabourMinutes
	}
	return *doc.Tasks[i].DurationMinutes
}

func TestRates_KeepingIsADatedDecisionThatMovesNothing(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	before := planID(t, s.db)
	form := formOf(t, b.get("/rates"), "glaze")
	form.Set("what", "keep")
	require.Contains(t, b.post("/rates/decide", form).text(), "Kept: glazing stays as it was planned")
	require.Equal(t, before, planID(t, s.db))
	require.Contains(t, b.get("/rates").text(), "company rate kept")
}

func TestRates_AChangedTableEndsWhatWasLearnedAgainstIt(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	accept := formOf(t, b.get("/rates"), "hang")
	accept.Set("what", "accept")
	accept.Set("do", "save")
	require.Contains(t, b.post("/rates/decide", accept).text(), "Accepted")

	page := b.get("/rates/edit?kind=hang&driver=leaf")
	require.Equal(t, "1", page.value("hours"))
	require.Contains(t, page.text(), "ends with a change here")
	form := url.Values{
		"kind": {"hang"}, "driver": {"leaf"}, "type": {""}, "of": {""}, "version": {page.value("version")}, "hours": {"ten"}, "source": {"our own count"}, "do": {"try"},
	}
	bad := b.post("/rates/edit", form)
	require.Equal(t, http.StatusUnprocessableEntity, bad.status)
	require.Contains(t, bad.text(), "is no number of hours")
	form.Set("hours", "1.25")
	require.Contains(t, b.post("/rates/edit", form).text(), "1 h becomes 1.25 h")
	form.Set("do", "save")
	require.Contains(t, b.post("/rates/edit", form).text(), "The rate is changed")

	book, err := models.ReadRateBook(t.Context(), s.db)
	require.NoError(t, err)
	require.Empty(t, book.Rates.Accepted)
	rows, factors, stored, err := models.RateTable(t.Context(), s.db)
	require.NoError(t, err)
	require.True(t, stored)
	require.Len(t, rows, len(takeoff.DefaultRates().Rates))
	require.Len(t, factors, len(takeoff.DefaultRates().Factors))
	stale := b.post("/rates/edit", form)
	require.Equal(t, http.StatusConflict, stale.status, "the form is of an older version")
}

// A rate shown in the reader's feet is the stored one in metres, to the last bit, when it is sent back as shown.
func TestReadRate_SentBackAsShownIsWhatIsStored(t *testing.T) {
	t.Parallel()
	for _, f := range []web.Format{{}, {Units: web.Metric}} {
		for _, r := range takeoff.DefaultRates().Rates {
			row := &models.Rate{Kind: r.Kind, Driver: r.Driver, Hours: r.Hours}
			hours, faults := readRate(shownRate(row, f), row, f)
			require.Empty(t, faults)
			require.Equal(t, r.Hours, hours, "%v", r)
		}
	}
	// 0.1 h a metre is 0.03048 h a foot: exact by the international foot.
	row := &models.Rate{Driver: takeoff.PerMetre, Hours: 0.2}
	hours, faults := readRate("0.03048", row, web.Format{})
	require.Empty(t, faults)
	require.InDelta(t, 0.1, hours, 1e-12)
}

func TestRates_AreTheOperationsManagersAlone(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, role := range []web.Role{web.RoleProject, web.RoleForeman} {
		b := s.as(role)
		require.Equal(t, http.StatusForbidden, b.get("/rates").status)
		require.Equal(t, http.StatusForbidden, b.post("/rates/decide", url.Values{}).status)
	}
}

func planID(t *testing.T, db *models.DB) int64 {
	t.Helper()
	plan, err := models.LatestPlan(t.Context(), db)
	require.NoError(t, err)
	return plan.ID
}

func indexOf(book *models.RateBook, kind takeoff.Kind) int {
	for i := range book.Experience {
		if book.Experience[i].Kind == kind {
			return i
		}
	}
	return -1
}

// The exported table reads in again and changes nothing; one changed row changes that row alone, and once.
func TestRates_TheSheetComesBackAndTheSameSheetChangesNothing(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	table := b.get("/rates/table.csv")
	require.Equal(t, http.StatusOK, table.status)
	project, err := models.FirstProject(t.Context(), s.db)
	require.NoError(t, err)
	form := map[string]string{"project": strconv.FormatInt(project.ID, 10), "kind": "rates"}
	same := b.upload("/import/preview", form, "table.csv", table.body)
	require.Equal(t, http.StatusOK, same.status, same.text())
	require.Empty(t, rowsOfPreview(same), "nothing is new, changed or gone")

	changed := strings.Replace(table.body, "hang,all types,leaf,1,", "hang,all types,leaf,1.25,", 1)
	require.NotEqual(t, table.body, changed)
	preview := b.upload("/import/preview", form, "table.csv", changed)
	require.Contains(t, preview.text(), "1.25")
	require.Equal(t, http.StatusOK, b.post("/import/apply", url.Values{"token": {preview.value("token")}}).status)
	rates, err := models.CompanyRates(t.Context(), s.db)
	require.NoError(t, err)
	require.Len(t, rates.Rates, len(takeoff.DefaultRates().Rates))
	require.Contains(t, rates.Rates, takeoff.Rate{Kind: takeoff.Hang, Driver: takeoff.PerLeaf, Hours: 1.25, Source: "ours to edit"})
	again := b.upload("/import/preview", form, "table.csv", changed)
	require.Empty(t, rowsOfPreview(again))

	refused := s.as(web.RoleProject).upload("/import/preview", form, "table.csv", changed)
	require.Equal(t, http.StatusUnprocessableEntity, refused.status)
	require.Contains(t, refused.text(), "Only the operations manager reads in rates")
}

// rowsOfPreview are the rows of an import preview that are not the same as what is stored.
func rowsOfPreview(p *page) (classes []string) {
	p.each(func(n *html.Node) {
		if class := attribute(n, "class"); n.Data == "tr" && strings.HasPrefix(class, "row-") && class != "row-same" {
			classes = append(classes, class)
		}
	})
	return classes
}

// A foreman writes hours by the clock with the whole crew at it; what is kept, and learned from, is labour of all heads: 2 h of a
// crew of n are n x 120 minutes, also when work that nobody began is reported done.
func TestReport_CrewHoursAreKeptAsLabourOfAllHeads(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	crew, err := models.CrewByName(t.Context(), s.db, "Cedar")
	require.NoError(t, err)
	work, err := models.CrewWork(t.Context(), s.db, models.WorkQuery{From: testNow(), To: testNow().AddDate(0, 0, 14)})
	require.NoError(t, err)
	key := ""
	for i := range work {
		if w := &work[i]; key == "" && w.Task.StartedAt == nil && w.Task.Kind == takeoff.Frame && w.Plan != nil && w.Plan.CrewID != nil && *w.Plan.CrewID == crew.ID {
			key = w.Task.Key
		}
	}
	require.NotEmpty(t, key)
	b := s.as(web.RoleOperations) // who leads no crew: the plan says whose work it was
	form := b.get("/report?kind=done&task=" + url.QueryEscape(key))
	sent := b.post("/report", url.Values{
		"report_id": {form.value("report_id")}, "task": {key}, "kind": {"done"}, "date": {"2026-11-17"}, "time": {"19:00"}, "hours": {"2"},
	})
	require.Contains(t, sent.text(), "Reported")
	task, err := models.TaskByKey(t.Context(), s.db, key)
	require.NoError(t, err)
	require.Greater(t, crew.Heads, 1)
	require.Equal(t, 120*crew.Heads, task.LabourReported)
}

// A condition is added on the rates page after a look at what it does, an opening gets it on its own page, and it travels in the sheet.
func TestRates_AConditionIsAdded(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	wrong := b.post("/rates/factor", url.Values{"condition": {"!"}, "kind": {"survey"}, "factor": {"9"}})
	require.Equal(t, http.StatusUnprocessableEntity, wrong.status)
	require.Contains(t, wrong.text(), "from 0.5 to 4, such as 1.2")
	require.Contains(t, wrong.text(), "Name it in a few plain words")
	require.Contains(t, wrong.text(), "Choose a kind of work from the list.")

	form := url.Values{"condition": {"Night work"}, "kind": {"hang"}, "factor": {"1,25"}, "source": {"our count"}, "do": {"try"}}
	preview := b.post("/rates/factor", form)
	require.Equal(t, http.StatusOK, preview.status)
	require.NotContains(t, b.get("/rates").text(), "Night work", "a preview saves nothing")
	save := hiddenForm(preview)
	save.Set("do", "save")
	require.Equal(t, http.StatusOK, b.post("/rates/factor", save).status)
	require.Contains(t, b.get("/rates").text(), "Night work hanging 1.25 our count")
	require.Equal(t, http.StatusUnprocessableEntity, b.post("/rates/factor", form).status, "it is there already")
	require.Contains(t, b.get("/rates/table.csv").body, "hang,all types,,,night work,1.25,our count")
	require.Contains(t, b.get("/openings/"+itoa(s.openingOf("320").ID)+"/edit").text(), "Night work")
	require.Equal(t, http.StatusNotFound, b.get("/rates/factor?condition=moonlight").status)

	// A change is based on what was read.
	change := hiddenForm(b.get("/rates/factor?condition=night_work&kind=hang"))
	change.Set("factor", "1.5")
	change.Set("do", "save")
	require.Equal(t, http.StatusOK, b.post("/rates/factor", change).status)
	require.Contains(t, b.get("/rates").text(), "Night work hanging 1.5")
	change.Set("factor", "2")
	require.Equal(t, http.StatusConflict, b.post("/rates/factor", change).status, "the form was opened on an older state")
	require.Equal(t, http.StatusForbidden, s.as(web.RoleProject).get("/rates/factor").status)
}
