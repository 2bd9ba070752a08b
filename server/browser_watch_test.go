package server

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A watch that sees nothing proves nothing: here are pages with one fault of each kind.
func TestBrowser_WatchSeesEveryKindOfFault(t *testing.T) {
	t.Parallel()
	mux := http.NewServeMux()
	mux.HandleFunc("/fault.js", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/javascript")
		fmt.Fprint(w, `console.error("said aloud"); throw new Error("thrown and not caught");`)
	})
	mux.HandleFunc("/", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Security-Policy", contentPolicy)
		fmt.Fprint(w, `<!DOCTYPE html><title>Faults</title><meta name="viewport" content="width=device-width"><link rel="icon" href="data:,">
			<script src="/fault.js"></script><script>1</script><pre>`+strings.Repeat("wide ", 200)+`</pre><button>x</button>`)
	})
	server := httptest.NewServer(mux)
	t.Cleanup(server.Close)
	b := quietTab(t, server.URL, phone)
	b.open("/")
	told := strings.Join(b.complaints(), "\n")
	for _, part := range []string{"said aloud", "thrown and not caught", "Content Security Policy"} {
		require.Contains(t, told, part)
	}
	seen := strings.Join(look[[]string](b, misfits), "\n")
	for _, part := range []string{"scrolls sideways", "x is "} {
		require.Contains(t, seen, part)
	}
}

func TestBrowser_RulesFindWhatShutsPeopleOut(t *testing.T) {
	t.Parallel()
	axe := axeRules(t)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		fmt.Fprint(w, `<!DOCTYPE html><link rel="icon" href="data:,"><p style="color:#aaa;background:#fff">Pale</p><input><img src="data:,">`)
	}))
	t.Cleanup(server.Close)
	b := quietTab(t, server.URL, desk)
	b.open("/")
	look[bool](b, axe+"; true")
	found := strings.Join(look[[]string](b, runAxe+"(false)"), "\n")
	for _, rule := range []string{"color-contrast", "document-title", "html-has-lang", "image-alt", "label"} {
		require.Contains(t, found, rule)
	}
	require.Contains(t, strings.Join(look[[]string](b, runAxe+"(true)"), "\n"), "color-contrast")
}
