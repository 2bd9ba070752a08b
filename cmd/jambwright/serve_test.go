package main

import (
	"bytes"
	"context"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"path/filepath"
	"regexp"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// output is what a command prints, readable while it runs.
type output struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (o *output) Write(p []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.text.Write(p)
}

func (o *output) String() string {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.text.String()
}

// waitFor returns the first submatch once the output holds the pattern.
func (o *output) waitFor(t *testing.T, pattern string) string {
	t.Helper()
	found := ""
	require.Eventually(t, func() bool {
		if m := regexp.MustCompile(pattern).FindStringSubmatch(o.String()); m != nil {
			found = m[1]
		}
		return found != ""
	}, 30*time.Second, 20*time.Millisecond, "%s in: %s", pattern, o)
	return found
}

func TestServe_FirstStartMakesTheFirstAccountByItsLink(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	ctx, stop := context.WithCancel(t.Context())
	var out, trouble output
	ended := make(chan int, 1)
	go func() {
		ended <- dispatch(ctx, []string{"serve", "--data", folder, "--listen", "127.0.0.1:0"}, &out, &trouble)
	}()
	address := out.waitFor(t, `serving on (http://127\.0\.0\.1:\d+)`)
	token := out.waitFor(t, `/welcome/(\S+)`)

	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	client := &http.Client{Jar: jar, Timeout: 20 * time.Second}
	form := url.Values{
		"firm": {"Brightsill Interiors"}, "name": {"morgan"}, "password": {"plumb line and bob"}, "again": {"plumb line and bob"}, "units": {"metric"},
	}
	answer, err := client.PostForm(address+"/welcome/"+token, form)
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	require.Equal(t, http.StatusOK, answer.StatusCode)
	require.Equal(t, "/crews", answer.Request.URL.Path, "the operations manager's page")

	again, err := client.PostForm(address+"/welcome/"+token, form)
	require.NoError(t, err)
	require.NoError(t, again.Body.Close())
	require.Equal(t, http.StatusNotFound, again.StatusCode, "the link works once")

	stranger := &http.Client{Timeout: 20 * time.Second}
	wrong, err := stranger.PostForm(address+"/sign-in", url.Values{"name": {"morgan"}, "password": {"something else"}})
	require.NoError(t, err)
	require.NoError(t, wrong.Body.Close())
	require.Equal(t, http.StatusUnauthorized, wrong.StatusCode)

	copied := filepath.Join(t.TempDir(), "copy.db")
	require.Equal(t, exitDone, dispatch(t.Context(), []string{"backup", "--data", folder, copied}, io.Discard, io.Discard), "while it serves")
	require.FileExists(t, copied)
	require.Equal(t, exitUsage, dispatch(t.Context(), []string{"backup", "--data", folder, copied}, io.Discard, io.Discard), "no copy is overwritten")

	var printed output
	code := dispatch(t.Context(), []string{"user", "add", "--data", folder, "--email", "sasha", "--role", "project_manager", "--origin", address}, &printed, &trouble)
	require.Equal(t, exitDone, code, trouble.String())
	invited := printed.waitFor(t, `(http://\S+/welcome/\S+)`)
	page, err := stranger.Get(invited)
	require.NoError(t, err)
	require.NoError(t, page.Body.Close())
	require.Equal(t, http.StatusOK, page.StatusCode)

	stop()
	select {
	case code := <-ended:
		require.Equal(t, exitDone, code, trouble.String())
	case <-time.After(30 * time.Second):
		t.Fatal("it does not stop")
	}
}

func TestDemo_ServesThisMachineOnly(t *testing.T) {
	t.Parallel()
	for address, allowed := range map[string]bool{
		"127.0.0.1:8080": true, "localhost:1": true, "[::1]:80": true, "0.0.0.0:8080": false, ":8080": false, "192.0.2.7:80": false, "8080": false,
	} {
		err := loopbackOnly(address)
		require.Equal(t, allowed, err == nil, "%s: %v", address, err)
	}
	var trouble output
	require.Equal(t, exitUsage, dispatch(t.Context(), []string{"demo", "--listen", "0.0.0.0:8080"}, io.Discard, &trouble))
	require.Contains(t, trouble.String(), "reached from outside")
}

func TestDemo_NoServePrintsTomorrowAndTheGCDatesAndEnds(t *testing.T) {
	t.Parallel()
	var out, trouble output
	require.Equal(t, exitDone, dispatch(t.Context(), []string{"demo", "--no-serve"}, &out, &trouble), trouble.String())
	for _, part := range []string{"Work of ", "Alder", "Rowan", "GC dates", "Level 1 ready to furnish", "forecast"} {
		require.Contains(t, out.String(), part)
	}
}

func TestServe_PrintsNoLinkWhenAnotherProgramHasThePort(t *testing.T) {
	t.Parallel()
	taken, err := new(net.ListenConfig).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, taken.Close()) })
	var out, trouble output
	require.Equal(t, exitFailed, dispatch(t.Context(), []string{"serve", "--data", t.TempDir(), "--listen", taken.Addr().String()}, &out, &trouble))
	require.Empty(t, out.String(), "a link would lead to the other program")
	require.Contains(t, trouble.String(), "name another one with --listen")
}

func TestServe_LinksLeadToThisMachineWhenItListensOnAllAddresses(t *testing.T) {
	t.Parallel()
	for address, want := range map[string]string{"0.0.0.0:80": "localhost:80", "[::]:80": "localhost:80", "127.0.0.1:80": "127.0.0.1:80", "[::1]:80": "[::1]:80"} {
		parsed, err := net.ResolveTCPAddr("tcp", address)
		require.NoError(t, err)
		require.Equal(t, want, reachable(parsed))
	}
}

func TestServeAndDemo_TakeNoArguments(t *testing.T) {
	t.Parallel()
	for _, command := range []string{"serve", "demo", "migrate"} {
		var out, trouble output
		require.Equal(t, exitUsage, dispatch(t.Context(), []string{command, "no-serve"}, &out, &trouble))
		require.Contains(t, trouble.String(), command+" takes no arguments")
	}
}
