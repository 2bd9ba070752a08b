package server

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	pages "github.com/chromedp/cdproto/page" // page is an answer in these tests
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/testdata"
)

// The browser tests walk whole paths through the pages as people do, in a real browser: few and long, where the tests
// through the front door are many and short. A tab watches for what a person would see or a console would tell, and its
// test fails on any of it: script errors, refused content, sideways scroll, on a phone a target too small for a thumb.

// stepTime bounds one step, so that a page that never comes fails its test and not the whole run.
const stepTime = 20 * time.Second

// window is a size that pages are looked at in.
type window struct {
	width, height int64
	phone         bool
}

var (
	phone = window{width: 390, height: 844, phone: true}
	desk  = window{width: 1440, height: 900}
)

// chromium is the one browser of a test run; every test has a tab of its own with cookies of its own.
var chromium struct {
	once sync.Once
	ctx  context.Context
	err  error
}

// TestMain ends the browser with the tests.
func TestMain(m *testing.M) {
	code := m.Run()
	if chromium.ctx != nil {
		if err := chromedp.Cancel(chromium.ctx); err != nil && !errors.Is(err, context.Canceled) {
			fmt.Fprintln(os.Stderr, "close the browser:", err)
		}
	}
	os.Exit(code)
}

// startChromium starts the browser as the first test asks for it. The options keep it from reaching out by itself; no
// sandbox, because test machines run as root. TestMain ends it.
func startChromium(program string) (context.Context, error) {
	chromium.once.Do(func() {
		ctx, _ := chromedp.NewContext(context.Background(), chromedp.WithAllocatorOptions(
			chromedp.ExecPath(program), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.Env("TZ=America/Chicago", "LANGUAGE=en_US"),
			chromedp.Flag("lang", "en-US"), chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
			chromedp.Flag("disable-background-networking", true), chromedp.Flag("hide-scrollbars", true),
		))
		chromium.ctx, chromium.err = ctx, chromedp.Do(ctx)
	})
	return chromium.ctx, chromium.err
}

// tab is one tab of the browser in front of a site.
type tab struct {
	t   *testing.T
	ctx context.Context
	url string // of the site
	window
	shots  string // folder of the pictures
	number int    // of pictures taken

	mu     sync.Mutex
	faults []string // what the console told
}

// newTab opens a tab whose clock stands in the site's zone.
func newTab(t *testing.T, url string, w window) *tab {
	t.Helper()
	b := quietTab(t, url, w)
	t.Cleanup(func() { assert.Empty(t, b.complaints(), "the console of the browser") })
	return b
}

// quietTab is a tab that keeps what the console told for the test to look at.
func quietTab(t *testing.T, url string, w window) *tab {
	t.Helper()
	root, err := startChromium(testdata.Browser(t))
	require.NoError(t, err)
	ctx, cancel := chromedp.NewContext(root, chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	b := &tab{t: t, ctx: ctx, url: url, window: w, shots: shotsFolder(t)}
	require.NoError(t, chromedp.Do(ctx))
	require.NoError(t, chromedp.Listen(ctx, b.hear))
	b.do(
		command(emulation.SetTimezoneOverride, emulation.SetTimezoneOverrideParams{TimezoneID: "America/Chicago"}),
		command(emulation.SetLocaleOverride, emulation.SetLocaleOverrideParams{Locale: "en-US"}),
		command(emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true}),
	)
	b.resize(w)
	return b
}

// command is one command of the browser's protocol as a step.
func command[P any](name cdp.Command[P, cdp.Empty], params P) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, name, params)
		return err
	})
}

func shotsFolder(t *testing.T) string {
	t.Helper()
	folder := os.Getenv("JAMBWRIGHT_SHOTS")
	if folder == "" {
		return t.TempDir()
	}
	require.NoError(t, os.MkdirAll(folder, 0o755))
	return folder
}

// hear keeps what a console tells: script errors, and warnings and errors of the browser, refused content among them.
func (b *tab) hear(event any) {
	var line string
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		line = "exception: " + e.ExceptionDetails.Text
		if e.ExceptionDetails.Exception != nil {
			line += " " + e.ExceptionDetails.Exception.Description
		}
	case *runtime.EventConsoleAPICalled:
		line = "console." + string(e.Type) + ":"
		for _, arg := range e.Args {
			line += " " + arg.Description + string(arg.Value)
		}
	case *log.EventEntryAdded:
		if e.Entry.Level != log.EntryLevelError && e.Entry.Level != log.EntryLevelWarning {
			return
		}
		line = fmt.Sprintf("%s %s: %s %s", e.Entry.Source, e.Entry.Level, e.Entry.Text, e.Entry.URL)
	default:
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.faults = append(b.faults, line)
}

func (b *tab) complaints() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.Clone(b.faults)
}

func (b *tab) resize(w window) {
	b.t.Helper()
	b.window = w
	if w.phone {
		b.do(chromedp.EmulateViewport(w.width, w.height, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulatePortrait))
		return
	}
	b.do(chromedp.EmulateViewport(w.width, w.height))
}

// do takes steps; one that fails leaves a picture of where the person stood.
func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, stepTime)
	defer cancel()
	b.must(chromedp.Do(ctx, steps...))
}

func (b *tab) must(err error) {
	b.t.Helper()
	if err == nil {
		return
	}
	place, _ := chromedp.Run(b.ctx, chromedp.Location())
	b.picture("stuck")
	require.NoError(b.t, err, "at %s; the console told %v", place, b.complaints())
}

// load takes steps that lead to another page and waits for it.
func (b *tab) load(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	b.answered(http.StatusOK, steps...)
}

// answered takes steps that lead to a page of a status. A console tells of every page that is a refusal; that one line is
// expected then.
func (b *tab) answered(status int, steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, stepTime)
	defer cancel()
	_, err := chromedp.Run(ctx, chromedp.WaitEvent(pages.LoadEventFired, nil, chromedp.Steps(steps...)))
	b.must(err)
	if !assert.Equal(b.t, status, look[int](b, `performance.getEntriesByType("navigation")[0].responseStatus`), b.path()) {
		b.picture("refused")
		b.t.FailNow()
	}
	if status >= http.StatusBadRequest {
		b.forget(fmt.Sprintf("status of %d", status))
	}
}

func (b *tab) forget(part string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.faults = slices.DeleteFunc(b.faults, func(line string) bool { return strings.Contains(line, part) })
}

func (b *tab) open(path string) { b.t.Helper(); b.load(chromedp.Navigate(b.url + path)) }

// element finds the first element of a kind whose words, or spoken name, begin with the given ones.
func element(kind, words string) chromedp.Search {
	return chromedp.Search(fmt.Sprintf(`//%s[starts-with(normalize-space(.), %q)]`, kind, words))
}

// follow clicks a link or a button that leads to another page.
func (b *tab) follow(kind, words string) {
	b.t.Helper()
	b.load(chromedp.Click(element(kind, words), chromedp.NodeVisible))
}

func (b *tab) followFirst(selector string) {
	b.t.Helper()
	b.load(chromedp.Click(chromedp.CSS(selector), chromedp.NodeVisible))
}

func (b *tab) fill(selector, value string) {
	b.t.Helper()
	b.do(chromedp.SendKeys(chromedp.CSS(selector), value, chromedp.NodeVisible))
}

func (b *tab) choose(selector, value string) {
	b.t.Helper()
	b.do(chromedp.SetValue(chromedp.CSS(selector), value, chromedp.NodeVisible))
}

// words are the visible words of the first element that the selector finds, "" when there is none.
func (b *tab) words(selector string) string {
	b.t.Helper()
	text := look[string](b, fmt.Sprintf(`document.querySelector(%q)?.innerText ?? ""`, selector))
	return strings.Join(strings.Fields(text), " ")
}

// comes waits until a page that looks again by itself says something. A look at a page that is just being replaced fails, and counts
// as one that does not say it yet.
func (b *tab) comes(selector, part string) {
	b.t.Helper()
	says := fmt.Sprintf(`(document.querySelector(%q)?.innerText ?? "").includes(%q)`, selector, part)
	require.Eventually(b.t, func() bool {
		ctx, cancel := context.WithTimeout(b.ctx, stepTime)
		defer cancel()
		there, err := chromedp.Run(ctx, chromedp.Evaluate[bool](says))
		return err == nil && there
	}, 2*stepTime, stepTime/100, "%s never said %q", selector, part)
	b.do(chromedp.WaitReady(chromedp.CSS("footer")))
}

// notice waits for what the last form did.
func (b *tab) notice() string {
	b.t.Helper()
	b.do(chromedp.WaitVisible(chromedp.CSS(".news .notice")))
	return b.words(".news .notice")
}

func (b *tab) path() string {
	b.t.Helper()
	return look[string](b, `location.pathname + location.search`)
}

// look is the value of an expression on the page, or of what it promises.
func look[T any](b *tab, expression string) T {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, stepTime)
	defer cancel()
	value, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	b.must(err)
	return value
}

// seen keeps a picture of the page and holds that it fits the window.
func (b *tab) seen(name string) {
	b.t.Helper()
	assert.Empty(b.t, look[[]string](b, misfits), "%s at %d", name, b.width)
	b.picture(name)
}

// misfits are sideways scroll; on a phone targets under 44 CSS pixels (WCAG 2.2, success criterion 2.5.5, where links within
// text are exempt); and words cut off by the box they are in.
const misfits = `(() => {
	const found = [], root = document.documentElement, wide = root.scrollWidth, room = root.clientWidth; // innerWidth grows with the content on a phone
	if (wide > room) {
		const far = [...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > room + 1);
		found.push("scrolls sideways to " + wide + ": " + far.slice(0, 3).map((e) => e.tagName + "." + e.className).join(", "));
	}
	if (room < 500) for (const e of document.querySelectorAll("button, .button, summary, select, textarea, nav a, .strip a, .block, .counts a, input:not([type=hidden])")) {
		const { width, height } = (e.matches("[type=checkbox], [type=radio]") ? e.closest("li, .tick") : e).getBoundingClientRect();
		if (height && (height < 43.9 || width < 43.9)) found.push((e.textContent.trim() || e.name) + " is " + width + " by " + height);
	}
	for (const e of document.querySelectorAll("button, .button, h1, h2, h3, th, td, dd, label, .block, select")) {
		if (e.clientWidth && e.scrollWidth > e.clientWidth + 1 && !e.closest(".wide, .wall-frame, .unseen")) found.push("runs out of its box: " + e.tagName + " " + e.textContent.trim().slice(0, 40));
	}
	return found;
})()`

func (b *tab) picture(name string) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, stepTime)
	defer cancel()
	data, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
	if !assert.NoError(b.t, err, "picture of %s", name) {
		return
	}
	b.number++
	file := fmt.Sprintf("%s-%02d-%s-%d.png", strings.ReplaceAll(b.t.Name(), "/", "-"), b.number, name, b.width)
	require.NoError(b.t, os.WriteFile(filepath.Join(b.shots, file), data, 0o600))
}

// signIn takes the button of a role on the demo's door.
func (b *tab) signIn(role string) {
	b.t.Helper()
	b.open("/")
	b.follow("button", role)
}
