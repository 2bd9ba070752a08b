package web

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"sort"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/testdata"
)

// policy is the content security policy that the pages must live under.
const policy = "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// faultsOnPage looks at a page as it stands in a window: does it scroll sideways, is a control too small for a thumb (44
// CSS pixels, WCAG 2.2 success criterion 2.5.5; links within text are exempt there), does a text run out of its box.
const faultsOnPage = `(() => {
	const faults = [];
	const wide = document.documentElement.scrollWidth;
	if (wide > innerWidth) {
		const far = [...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > innerWidth + 1 && !e.closest(".wide, .wall-frame, .unseen"));
		faults.push("scrolls sideways to " + wide + ": " + far.slice(0, 3).map((e) => e.tagName + "." + e.className).join(", "));
	}
	if (innerWidth < 500) {
		for (const e of document.querySelectorAll(".button, button, select, textarea, nav a, .strip a, .block, .counts a, input:not([type=hidden])")) {
			const box = (e.matches("[type=checkbox], [type=radio]") ? e.closest("li, .tick") : e).getBoundingClientRect();
			if (box.height && (box.height < 43.9 || box.width < 43.9)) faults.push(e.tagName + " " + (e.textContent.trim() || e.name) + " is " + box.width + " by " + box.height);
		}
	}
	return faults;
})()`

// browser starts one headless browser for all browser tests of the package.
func browser(t *testing.T) context.Context {
	t.Helper()
	ctx, cancel := chromedp.NewContext(t.Context(), chromedp.WithAllocatorOptions(
		chromedp.ExecPath(testdata.Browser(t)), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-sync", true), chromedp.Env("TZ=America/New_York"),
	))
	t.Cleanup(cancel)
	ctx, stop := context.WithTimeout(ctx, 4*time.Minute)
	t.Cleanup(stop)
	return ctx
}

// gallery serves every sample page by its name.
func gallery(t *testing.T) *httptest.Server {
	t.Helper()
	pages, samples := loaded(t), samplePages()
	mux := http.NewServeMux()
	mux.Handle("/assets/", pages.Assets())
	mux.HandleFunc("/page/{name}", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", policy)
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		if err := pages.Render(w, samples[r.PathValue("name")]); err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
		}
	})
	mux.HandleFunc("/photos/", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "image/svg+xml")
		fmt.Fprint(w, `<svg xmlns="http://www.w3.org/2000/svg" width="16" height="12"/>`)
	})
	server := httptest.NewServer(mux)
	t.Cleanup(server.Close)
	return server
}

func TestPages_FitPhoneAndDesk(t *testing.T) {
	t.Parallel()
	ctx, server := browser(t), gallery(t)
	axe := testdata.AccessibilityRules(t)
	console := listen(ctx, t)
	for _, name := range sampleNames() {
		for _, window := range []struct {
			width  int64
			scheme string
		}{{390, "light"}, {1440, "dark"}} {
			require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(window.width, 844), prefer(window.scheme),
				chromedp.Navigate(server.URL+"/page/"+name)), name)
			faults, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](faultsOnPage))
			require.NoError(t, err, name)
			assert.Empty(t, faults, "%s at %d", name, window.width)
			if axe != "" && !strings.Contains(name, "worst") {
				assert.Empty(t, violations(ctx, t, axe), "%s at %d", name, window.width)
			}
		}
	}
	assert.Empty(t, console(), "the console of the browser")
}

// prefer tells pages which colour scheme the reader likes.
func prefer(scheme string) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, tab *chromedp.Target) error {
		_, err := cdp.Call(ctx, tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		})
		return err
	})
}

func sampleNames() []string {
	var names []string
	for name := range samplePages() {
		names = append(names, name)
	}
	sort.Strings(names)
	return names
}

// listen collects what the browser complains about: script errors and refused content.
func listen(ctx context.Context, t *testing.T) func() []string {
	t.Helper()
	var mu sync.Mutex
	var lines []string
	messages := chromedp.Console(ctx)
	go func() {
		for message, err := range messages {
			if err != nil {
				return
			}
			mu.Lock()
			lines = append(lines, fmt.Sprintf("%s: %s", message.Type, message.Text))
			mu.Unlock()
		}
	}()
	return func() []string {
		mu.Lock()
		defer mu.Unlock()
		return slices.Clone(lines)
	}
}

// violations runs axe-core with the rules of WCAG 2.0 to 2.2, levels A and AA, on the page that is open.
func violations(ctx context.Context, t *testing.T, axe string) []string {
	t.Helper()
	require.NoError(t, chromedp.Do(ctx, chromedp.Evaluate[chromedp.Void](axe)))
	found, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](`axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] })
		.then((r) => r.violations.map((v) => v.id + ": " + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join(" | ")))`, chromedp.EvalAwaitPromise))
	require.NoError(t, err)
	return found
}

func TestWall_ArrowKeysStepFromBlockToBlock(t *testing.T) {
	t.Parallel()
	ctx, server := browser(t), gallery(t)
	require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(1440, 900), chromedp.Navigate(server.URL+"/page/crews-typical"),
		chromedp.Evaluate[chromedp.Void](`document.querySelector(".block").focus()`)))
	const place = `(() => { const c = document.activeElement.closest("td"); return [c.closest("tr").rowIndex, c.cellIndex, [...c.querySelectorAll(".block")].indexOf(document.activeElement)].join(" "); })()`
	for _, step := range []struct{ key, want string }{
		{"ArrowRight", "1 1 1"}, {"ArrowRight", "1 2 0"}, {"ArrowDown", "2 2 0"}, {"ArrowLeft", "2 1 0"}, {"ArrowUp", "1 1 0"}, {"ArrowLeft", "1 1 0"},
	} {
		got, err := chromedp.Run(ctx, chromedp.Evaluate[string](fmt.Sprintf(
			`document.activeElement.dispatchEvent(new KeyboardEvent("keydown", { key: %q, bubbles: true, cancelable: true })), %s`, step.key, place)))
		require.NoError(t, err)
		assert.Equal(t, step.want, got, step.key)
	}
}

// The notice is put in anew for screen readers; it must be there in the end.
func TestNotice_StaysOnThePage(t *testing.T) {
	t.Parallel()
	ctx, server := browser(t), gallery(t)
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(server.URL+"/page/tomorrow-worst"), chromedp.WaitVisible(chromedp.CSS(".news .notice"))))
	hidden, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`document.querySelector(".choose button").offsetParent === null`))
	require.NoError(t, err)
	assert.True(t, hidden, "a select that sends itself needs no button")
}

func TestReport_GetsAnIdOfItsOwnFromTheDevice(t *testing.T) {
	t.Parallel()
	ctx, server := browser(t), gallery(t)
	id := func() string {
		require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(server.URL+"/page/report-done")))
		value, err := chromedp.Run(ctx, chromedp.Evaluate[string](`document.forms[1].elements.report_id.value`))
		require.NoError(t, err)
		return value
	}
	first, second := id(), id()
	assert.Regexp(t, `^[0-9a-f-]{36}$`, first)
	assert.NotEqual(t, first, second)
	assert.NotEqual(t, reportPage(ReportDone).Form.ReportID, first)
}
