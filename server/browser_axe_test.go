package server

import (
	"log/slog"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/migrations"
	"jambwright/models"
	"jambwright/server/accounts"
	"jambwright/testdata"
)

// Every page, as a phone and a desk show it, in light and dark, is held against the rules of axe-core for WCAG 2.0 to 2.2,
// levels A and AA. Rules find perhaps half of what shuts people out; the keyboard test and the eye find the rest.

// axeRules are the rules; without them a test that asks for them is skipped.
func axeRules(t *testing.T) string {
	t.Helper()
	rules := testdata.AccessibilityRules(t)
	if rules == "" {
		testdata.Missing(t, testdata.NoAccessibilityRules)
	}
	return rules
}

// runAxe runs all rules; in the dark only those that colours can break.
const runAxe = `((dark) => axe.run({
	resultTypes: ["violations"], rules: { "target-size": { enabled: true } },
	runOnly: dark ? { type: "rule", values: ["color-contrast", "link-in-text-block"] } : { type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] },
}).then((r) => r.violations.map((v) => v.id + ": " + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160) + " " + n.any.map((c) => c.message).join("; ")).join(" | "))))`

// usable holds the page that is open against the rules, and against its window, in all four ways to look at it.
func (b *tab) usable(axe, name string) {
	b.t.Helper()
	look[bool](b, axe+"; true")
	for _, w := range []window{phone, desk} {
		b.resize(w)
		b.media("", map[string]string{"prefers-color-scheme": "dark", "prefers-reduced-motion": "reduce"})
		assert.Empty(b.t, look[[]string](b, runAxe+"(true)"), "%s, %d wide, dark", name, w.width)
		if w.phone {
			b.picture(name + "-dark")
		}
		b.media("", map[string]string{"prefers-color-scheme": "light"})
		assert.Empty(b.t, look[[]string](b, runAxe+"(false)"), "%s, %d wide, light", name, w.width)
		b.seen(name)
	}
}

// media tells the page how it is shown: on "print" or the screen, and what the reader prefers.
func (b *tab) media(kind string, features map[string]string) {
	b.t.Helper()
	params := emulation.SetEmulatedMediaParams{Media: kind}
	for name, value := range features {
		params.Features = append(params.Features, &emulation.MediaFeature{Name: name, Value: value})
	}
	b.do(command(emulation.SetEmulatedMedia, params))
}

func TestBrowser_EveryPageIsUsable(t *testing.T) {
	t.Parallel()
	axe := axeRules(t)
	t.Run("foreman", func(t *testing.T) {
		t.Parallel()
		b := newTab(t, newSite(t).url, phone)
		b.open("/")
		b.usable(axe, "door")
		b.follow("button", "Foreman")
		b.usable(axe, "tomorrow")
		report := look[string](b, `document.querySelector('.stop a[href*="kind=hold"]').getAttribute("href")`)
		b.open(strings.Replace(report, "kind=hold", "", 1))
		b.usable(axe, "report")
		for _, kind := range []string{"hold", "done", "part_done", "damaged", "measured"} {
			b.open(strings.Replace(report, "kind=hold", "kind="+kind, 1))
			b.usable(axe, "report-"+kind)
		}
		b.answered(403, chromedp.Navigate(b.url+"/crews"))
		b.usable(axe, "refused")
	})
	t.Run("operations", func(t *testing.T) {
		t.Parallel()
		b := newTab(t, newSite(t).url, desk)
		b.signIn("Operations")
		b.usable(axe, "crews")
		b.followFirst(".block")
		b.usable(axe, "block")
		b.resize(desk)
		b.follow("button", "Show what it does")
		b.usable(axe, "move")
		b.open("/plans/issue")
		b.usable(axe, "issue")
	})
	t.Run("office", func(t *testing.T) {
		t.Parallel()
		b := newTab(t, newSite(t).url, desk)
		b.signIn("Operations")
		for _, path := range []string{"/nights", "/nights/1", "/projects", "/import"} {
			b.open(path)
			b.usable(axe, strings.ReplaceAll(path[1:], "/", "-"))
		}
		sheet := filepath.Join(t.TempDir(), "doors.csv")
		require.NoError(t, os.WriteFile(sheet, []byte(dirtySchedule), 0o600))
		b.choose("#project", "")
		b.fill("#new_project", "Sallow Court")
		b.do(chromedp.SetUploadFiles(chromedp.CSS("#file"), []string{sheet}))
		b.follow("button", "Show what it says")
		b.usable(axe, "preview")
	})
	t.Run("project", func(t *testing.T) {
		t.Parallel()
		b := newTab(t, newSite(t).url, desk)
		b.signIn("Project")
		b.do(chromedp.Click(chromedp.CSS(".level summary"), chromedp.NodeVisible))
		b.usable(axe, "dates")
		for _, path := range []string{"/openings", "/openings?state=held", "/openings?q=nothing-is-called-this", "/openings/1", "/openings/150"} {
			b.open(path)
			b.usable(axe, strings.NewReplacer("/", "-", "?", "-", "=", "-").Replace(path[1:]))
		}
		b.open("/delays")
		look[bool](b, `[...document.querySelectorAll(".delay details, #terms")].slice(0, 3).concat(document.querySelector("#terms")).forEach((d) => d.open = true) ?? true`)
		b.usable(axe, "delays")
		b.answered(404, chromedp.Navigate(b.url+"/openings/99999"))
		b.usable(axe, "missing")
	})
	t.Run("first day", func(t *testing.T) {
		t.Parallel()
		url, token := emptySite(t)
		b := newTab(t, url, desk)
		b.open("/")
		b.usable(axe, "sign-in")
		b.open("/welcome/" + token)
		b.usable(axe, "welcome")
		b.fill("#firm", "Alderly Interior Glazing")
		b.fill("#name", "Morgan Vale")
		b.fill("#password", "nine plumb lines hang")
		b.fill("#again", "nine plumb lines hang")
		b.follow("button", "Make the account")
		for _, path := range []string{"/crews", "/tomorrow", "/openings", "/dates", "/nights", "/projects", "/import"} {
			b.open(path)
			b.usable(axe, "empty-"+path[1:])
		}
	})
}

// emptySite is a server on an empty database, with the link of its first account.
func emptySite(t *testing.T) (url, token string) {
	t.Helper()
	ctx := t.Context()
	db, err := models.Open(ctx, filepath.Join(t.TempDir(), "empty.db"), testNow)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, db.Close()) })
	require.NoError(t, migrations.Up(ctx, db.SQL(), migrations.Dialect(db.Dialect())))
	service, err := accounts.New(db)
	require.NoError(t, err)
	token, err = service.FirstLink(ctx)
	require.NoError(t, err)
	server, err := New(Config{DB: db, Log: slog.New(slog.DiscardHandler), Queue: &heldQueue{}})
	require.NoError(t, err)
	running := httptest.NewServer(server.Handler())
	t.Cleanup(running.Close)
	return running.URL, token
}
