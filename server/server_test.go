package server

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/web"
)

func TestPages_EachRoleSeesItsOwnAndNoOther(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	all := []web.Role{web.RoleOperations, web.RoleForeman, web.RoleProject}
	managers := []web.Role{web.RoleOperations, web.RoleProject}
	pages := map[string][]web.Role{
		"/tomorrow": all, "/openings": all, "/openings/1": all, "/openings/150/sooner": all, "/projects": all, "/report?task=HB/145/glaze": all,
		"/dates": managers, "/delays": managers, "/nights": managers, "/nights/1": managers, "/import": managers, "/import/blank/openings.csv": managers,
		"/import/blank/crews.xlsx": managers, "/crews": {web.RoleOperations}, "/plans/issue": {web.RoleOperations},
	}
	for _, role := range all {
		b := s.as(role)
		for path, allowed := range pages {
			want := http.StatusForbidden
			for _, a := range allowed {
				if a == role {
					want = http.StatusOK
				}
			}
			p := b.get(path)
			require.Equal(t, want, p.status, "%s at %s: %s", role, path, p.text())
		}
	}
	stranger := s.stranger().get("/dates")
	require.Equal(t, "/sign-in?next=%2Fdates", stranger.path, "who is not signed in is asked to")
	require.Equal(t, http.StatusOK, s.stranger().get("/healthz").status)
}

func TestPages_HoldNoDeadLinks(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, role := range []web.Role{web.RoleOperations, web.RoleForeman, web.RoleProject} {
		b := s.as(role)
		seen := map[string]bool{}
		next := []string{"/"}
		for len(next) > 0 && len(seen) < 150 {
			path := next[0]
			next = next[1:]
			if seen[path] {
				continue
			}
			seen[path] = true
			p := b.get(path)
			require.NotContains(t, []int{http.StatusNotFound, http.StatusForbidden, http.StatusInternalServerError}, p.status,
				"%s follows %s: %s", role, path, p.text())
			for _, link := range p.links() {
				link, _, _ = strings.Cut(link, "#")
				// Forms that only take posts are covered by tests of their own.
				posts := strings.HasPrefix(link, "/sign-out") || strings.HasPrefix(link, "/crews/") || strings.HasPrefix(link, "/nights/run") ||
					strings.HasPrefix(link, "/delays/confirm") || strings.HasPrefix(link, "/delays/notice") || strings.HasPrefix(link, "/delays/terms") ||
					strings.HasPrefix(link, "/import/preview") || strings.HasPrefix(link, "/demo/") || strings.HasSuffix(link, "/take-back") ||
					link == "/dates/forecast"
				if !posts {
					next = append(next, link)
				}
			}
		}
		require.Greater(t, len(seen), 20, "%s reaches only %d pages", role, len(seen))
	}
}

func TestPages_TellTheBrowserWhatTheyMayDo(t *testing.T) {
	t.Parallel()
	p := newSite(t).as(web.RoleForeman).get("/tomorrow")
	require.Contains(t, p.header.Get("Content-Security-Policy"), "default-src 'self'")
	require.Equal(t, "nosniff", p.header.Get("X-Content-Type-Options"))
	require.Equal(t, "no-store", p.header.Get("Cache-Control"))
	require.NotContains(t, p.body, "style=", "no inline styles under the policy")
}

func TestForms_OfOtherSitesAreRefused(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	request, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.url+"/nights/run", strings.NewReader("project=1"))
	require.NoError(t, err)
	request.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	request.Header.Set("Sec-Fetch-Site", "cross-site")
	response, err := b.client.Do(request)
	require.NoError(t, err)
	require.NoError(t, response.Body.Close())
	require.Equal(t, http.StatusForbidden, response.StatusCode)
	require.Empty(t, s.queue.jobs)
}

func TestSignIn_LeadsNowhereElse(t *testing.T) {
	t.Parallel()
	for next, want := range map[string]string{
		"/openings?state=held": "/openings?state=held", "https://elsewhere.invalid/": "/tomorrow", "//elsewhere.invalid": "/tomorrow",
		"/\\elsewhere.invalid": "/tomorrow", "": "/tomorrow",
	} {
		require.Equal(t, want, localAddress(next, "/tomorrow"), next)
	}
}

func TestSignOut_EndsTheSession(t *testing.T) {
	t.Parallel()
	b := newSite(t).as(web.RoleForeman)
	require.Equal(t, http.StatusOK, b.get("/tomorrow").status)
	b.post("/sign-out", nil)
	require.True(t, strings.HasPrefix(b.get("/tomorrow").path, "/sign-in"))
}

func TestReport_SentTwiceCountsOnceAndChangesTomorrowAfterTheNight(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	foreman, manager := s.as(web.RoleForeman), s.as(web.RoleOperations)
	task := firstTask(t, foreman.get("/tomorrow"))

	s.later(30 * time.Minute)
	form := foreman.get("/report?task=" + url.QueryEscape(task) + "&kind=hold&return=/tomorrow")
	require.Equal(t, http.StatusOK, form.status, form.text())
	sent := url.Values{
		"report_id": {form.value("report_id")}, "task": {task}, "kind": {"hold"}, "date": {"2026-11-17"}, "time": {"19:40"},
		"cause": {"sprinkler pipe in the way"}, "party": {"other trade"}, "expected": {"2026-11-30"}, "return": {"/tomorrow"},
	}
	require.NotEmpty(t, sent.Get("report_id"))
	first := foreman.post("/report", sent)
	require.Equal(t, "/tomorrow", first.path, first.text())
	require.Contains(t, first.text(), "Reported")
	require.Contains(t, foreman.post("/report", sent).text(), "counts once")

	stored, err := models.TaskByKey(t.Context(), s.db, task)
	require.NoError(t, err)
	reports, err := models.ReportsOf(t.Context(), s.db, stored.ID)
	require.NoError(t, err)
	holds := 0
	for _, r := range reports {
		if r.Kind == models.ReportHold {
			holds++
		}
	}
	require.Equal(t, 1, holds)

	require.Contains(t, manager.post("/nights/run", url.Values{"project": {"1"}}).text(), "in the queue")
	s.runNights()
	nights, err := models.Nights(t.Context(), s.db, nil, 10)
	require.NoError(t, err)
	require.Len(t, nights, 2)
	night := manager.get("/nights/2")
	require.True(t, strings.Contains(night.text(), "sprinkler pipe in the way"), "the night names the report that it read")
	issue := manager.get("/plans/issue")
	require.Equal(t, http.StatusOK, issue.status)
	require.Contains(t, manager.post("/plans/issue", url.Values{"plan": {issue.value("plan")}}).text(), "Issued")
	require.NotContains(t, taskKeys(foreman.get("/tomorrow")), task, "held until 30 November, it is not tomorrow's work any more")
}

// The form of a report says where its task stands by what was reported; whether work may start only a plan tells.
func TestReport_DoesNotCallWorkClearThatWaits(t *testing.T) {
	t.Parallel()
	b := newSite(t).as(web.RoleOperations)
	form := b.get("/report?task=HB/145/glaze")
	require.Equal(t, http.StatusOK, form.status)
	require.NotContains(t, form.text(), "clear", "its frame does not stand yet")
	require.Contains(t, b.get("/report?task=HB/133/frame").text(), "frame done")
}

// What the plan reckons with is not called promised where the promise has passed or falls on a day without work on site.
func TestOpening_TellsThePromiseApartFromWhatIsExpected(t *testing.T) {
	t.Parallel()
	b := newSite(t).as(web.RoleOperations)
	require.Regexp(t, `Waits for release L2-leaves\+hardware from Dorrow Doors & Hardware, promised \w+ \d+ \w+, expected \w+ \d+ \w+`, b.get("/openings/58").text())
}

func TestReport_WithFaultsSaysAllOfThemAndKeepsWhatWasTyped(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	foreman := s.as(web.RoleForeman)
	task := firstTask(t, foreman.get("/tomorrow"))
	p := foreman.post("/report", url.Values{
		"report_id": {"a"}, "task": {task}, "kind": {"part_done"}, "date": {"2026-11-30"}, "time": {"10:00"},
		"remaining": {"a while"}, "note": {"stuck at the head"},
	})
	require.Equal(t, http.StatusUnprocessableEntity, p.status)
	require.Contains(t, p.text(), "Write hours such as 1.5")
	require.Equal(t, "a while", p.value("remaining"))
	require.Contains(t, p.body, "stuck at the head")
}

func TestReport_AForemanReportsProgressOfHisOwnCrewOnly(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	foreman, manager := s.as(web.RoleForeman), s.as(web.RoleOperations)
	own := taskKeys(foreman.get("/tomorrow"))
	foreign := ""
	for _, key := range taskKeys(manager.get("/tomorrow")) {
		if !slices.Contains(own, key) {
			foreign = key
		}
	}
	require.NotEmpty(t, foreign)
	report := func(b *browser, kind, id string) *page {
		return b.post("/report", url.Values{
			"report_id": {id}, "task": {foreign}, "kind": {kind}, "date": {"2026-11-17"}, "time": {"19:00"}, "cause": {"door swings into a pipe"},
		})
	}
	require.Equal(t, http.StatusForbidden, report(foreman, "done", "a").status)
	require.Equal(t, http.StatusOK, report(foreman, "hold", "b").status, "anybody may say what stops work")
	require.Equal(t, http.StatusOK, report(manager, "done", "c").status)
}

// firstTask is the key of the first task of a page that a report can be made on.
func firstTask(t *testing.T, p *page) string {
	t.Helper()
	keys := taskKeys(p)
	require.NotEmpty(t, keys, p.text())
	return keys[0]
}

func taskKeys(p *page) []string {
	var keys []string
	for _, link := range p.links() {
		if u, err := url.Parse(link); err == nil && u.Path == "/report" && u.Query().Get("task") != "" {
			keys = append(keys, u.Query().Get("task"))
		}
	}
	return keys
}
