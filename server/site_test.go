package server

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"mime/multipart"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"jambwright/migrations"
	"jambwright/models"
	"jambwright/server/demo"
	"jambwright/server/nightly"
	"jambwright/server/planning"
	"jambwright/web"
)

// testNow is a Tuesday evening on the demo's site.
func testNow() time.Time {
	return time.Date(2026, 11, 17, 19, 30, 0, 0, time.FixedZone("CST", -6*3600))
}

// demoFile is the loaded demo as one SQLite file, made once a test binary.
var demoFile = sync.OnceValues(func() ([]byte, error) {
	folder, err := os.MkdirTemp("", "jambwright-test-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	ctx, file := context.Background(), filepath.Join(folder, "demo.db")
	if err := loadDemo(ctx, file); err != nil {
		return nil, err
	}
	return os.ReadFile(file)
})

// loadDemo loads the demo into a database that it leaves closed, so that one file holds all of it.
func loadDemo(ctx context.Context, dsn string) error {
	clock := demo.NewClock(testNow)
	db, err := models.Open(ctx, dsn, clock.Now)
	if err != nil {
		return err
	}
	if err := migrations.Up(ctx, db.SQL(), migrations.Dialect(db.Dialect())); err != nil {
		return err
	}
	if err := demo.Load(ctx, db, clock, slog.New(slog.DiscardHandler)); err != nil {
		return err
	}
	return db.Close()
}

// site is a server on a copy of the demo, with nights that run when the test says so.
type site struct {
	t     *testing.T
	db    *models.DB
	url   string
	queue *heldQueue
	clock *demo.Clock
}

// heldQueue keeps jobs until the test runs them.
type heldQueue struct {
	mu        sync.Mutex
	jobs      []nightly.Args
	searches  []int64 // for moves, by their runs
	forecasts []int64 // that people asked for, by their rows
}

func (q *heldQueue) Insert(_ context.Context, args nightly.Args) (bool, error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.jobs = append(q.jobs, args)
	return true, nil
}

// newSite serves a copy of the demo on SQLite.
func newSite(t *testing.T) *site {
	t.Helper()
	data, err := demoFile()
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "demo.db")
	require.NoError(t, os.WriteFile(file, data, 0o600))
	return serveSite(t, file)
}

func serveSite(t *testing.T, dsn string) *site {
	t.Helper()
	s := &site{t: t, queue: &heldQueue{}, clock: demo.NewClock(testNow)}
	db, err := models.Open(t.Context(), dsn, s.clock.Now)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, db.Close()) })
	s.db = db
	server, err := New(Config{DB: db, Log: slog.New(slog.DiscardHandler), Queue: s.queue, Recovery: s.queue, Forecasts: s.queue, Demo: true})
	require.NoError(t, err)
	running := httptest.NewServer(server.Handler())
	t.Cleanup(running.Close)
	s.url = running.URL
	return s
}

// later lets time pass.
func (s *site) later(d time.Duration) { s.clock.Set(s.clock.Now().Add(d)) }

// runNights runs the jobs that were asked for, as the queue's worker does.
func (s *site) runNights() {
	s.t.Helper()
	run := planning.NewNightly(s.db, slog.New(slog.DiscardHandler))
	for _, job := range s.queue.jobs {
		require.NoError(s.t, run.Run(s.t.Context(), job, func(context.Context, *models.Tx) error { return nil }))
	}
	s.queue.jobs = nil
}

// browser is one person's browser.
type browser struct {
	s      *site
	client *http.Client
}

// as signs in the demo's person of a role.
func (s *site) as(role web.Role) *browser {
	s.t.Helper()
	b := s.stranger()
	p := b.post("/demo/sign-in", url.Values{"role": {string(role)}})
	require.Equal(s.t, http.StatusOK, p.status, p.text())
	return b
}

func (s *site) stranger() *browser {
	jar, err := cookiejar.New(nil)
	require.NoError(s.t, err)
	return &browser{s: s, client: &http.Client{Jar: jar, Timeout: time.Minute}}
}

// page is an answer with its parsed document.
type page struct {
	status int
	path   string // after redirects
	header http.Header
	body   string
	root   *html.Node
}

func (b *browser) get(path string) *page {
	b.s.t.Helper()
	response, err := b.client.Get(b.s.url + path)
	return b.page(response, err)
}

func (b *browser) post(path string, form url.Values) *page {
	b.s.t.Helper()
	response, err := b.client.PostForm(b.s.url+path, form)
	return b.page(response, err)
}

// upload sends a form with one file in the field file.
func (b *browser) upload(path string, form map[string]string, name, content string) *page {
	b.s.t.Helper()
	return b.uploadAs("file", path, form, name, content)
}

// uploadAs sends a form with one file.
func (b *browser) uploadAs(field, path string, form map[string]string, name, content string) *page {
	b.s.t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for field, value := range form {
		require.NoError(b.s.t, w.WriteField(field, value))
	}
	part, err := w.CreateFormFile(field, name)
	require.NoError(b.s.t, err)
	_, err = part.Write([]byte(content))
	require.NoError(b.s.t, err)
	require.NoError(b.s.t, w.Close())
	response, err := b.client.Post(b.s.url+path, w.FormDataContentType(), &body)
	return b.page(response, err)
}

func (b *browser) page(response *http.Response, err error) *page {
	t := b.s.t
	t.Helper()
	require.NoError(t, err)
	defer response.Body.Close()
	body, err := io.ReadAll(response.Body)
	require.NoError(t, err)
	root, err := html.Parse(bytes.NewReader(body))
	require.NoError(t, err)
	return &page{
		status: response.StatusCode, path: response.Request.URL.RequestURI(), header: response.Header, body: string(body), root: root,
	}
}

// each visits every element.
func (p *page) each(visit func(n *html.Node)) {
	var walk func(*html.Node)
	walk = func(n *html.Node) {
		if n.Type == html.ElementNode {
			visit(n)
		}
		for child := n.FirstChild; child != nil; child = child.NextSibling {
			walk(child)
		}
	}
	walk(p.root)
}

// text is the words of the page's main part, with single spaces.
func (p *page) text() string {
	var words []string
	var walk func(*html.Node)
	walk = func(n *html.Node) {
		if n.Type == html.TextNode {
			words = append(words, strings.Fields(n.Data)...)
		}
		if n.Data == "script" || n.Data == "style" {
			return
		}
		for child := n.FirstChild; child != nil; child = child.NextSibling {
			walk(child)
		}
	}
	walk(p.root)
	return strings.Join(words, " ")
}

// links are the addresses of this server that the page names.
func (p *page) links() []string {
	var list []string
	p.each(func(n *html.Node) {
		for _, key := range []string{"href", "action", "src"} {
			if value := attribute(n, key); strings.HasPrefix(value, "/") {
				list = append(list, value)
			}
		}
	})
	return list
}

// value is the value of the first field of a name, "" when there is none.
func (p *page) value(name string) (value string) {
	p.each(func(n *html.Node) {
		if value == "" && attribute(n, "name") == name {
			value = attribute(n, "value")
		}
	})
	return value
}

func attribute(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}
