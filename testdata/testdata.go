// Package testdata finds what tests need and the source tree does not hold: published instance sets and models, a browser,
// the rules of accessibility. What is missing skips a test with the reason; where nothing may skip it fails the test.
package testdata

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
)

// Missing skips the test for what is not there. It fails the test instead when JAMBWRIGHT_NO_SKIP=1, or CI=true, says that
// everything has to be there.
func Missing(tb testing.TB, reason string) {
	tb.Helper()
	if os.Getenv("JAMBWRIGHT_NO_SKIP") == "1" || os.Getenv("CI") == "true" {
		tb.Fatal(reason)
	}
	tb.Skip(reason)
}

// Shared is the path of a file or folder below the one that JAMBWRIGHT_SHARED names, by default the folder shared beside
// the repository.
func Shared(tb testing.TB, parts ...string) string {
	tb.Helper()
	root := os.Getenv("JAMBWRIGHT_SHARED")
	if root == "" {
		_, here, _, _ := runtime.Caller(0)
		root = filepath.Join(filepath.Dir(here), "..", "..", "shared")
	}
	path := filepath.Join(append([]string{root}, parts...)...)
	if _, err := os.Stat(path); err != nil {
		Missing(tb, "published data is not there (set JAMBWRIGHT_SHARED to the folder that holds it): "+err.Error())
	}
	return path
}

// Browser is the program of a Chromium: the one that JAMBWRIGHT_BROWSER names, else the one on the PATH.
func Browser(tb testing.TB) string {
	tb.Helper()
	for _, name := range []string{os.Getenv("JAMBWRIGHT_BROWSER"), "chromium", "chromium-browser"} {
		if path, err := exec.LookPath(name); name != "" && err == nil {
			return path
		}
	}
	Missing(tb, "no Chromium is installed: apt-get install chromium, or name its program in JAMBWRIGHT_BROWSER")
	return ""
}

// AccessibilityRules are the rules of axe-core, whose file JAMBWRIGHT_AXE names; "" without them, since a page can still be
// looked at without. With JAMBWRIGHT_NO_SKIP=1 they have to be there.
func AccessibilityRules(tb testing.TB) string {
	tb.Helper()
	path := os.Getenv("JAMBWRIGHT_AXE")
	if path == "" {
		if os.Getenv("JAMBWRIGHT_NO_SKIP") == "1" {
			tb.Fatal(NoAccessibilityRules)
		}
		return ""
	}
	rules, err := os.ReadFile(path)
	if err != nil {
		tb.Fatal(err)
	}
	return string(rules)
}

// NoAccessibilityRules is what a test says that cannot do without them.
const NoAccessibilityRules = "JAMBWRIGHT_AXE does not name the file axe.min.js of the npm package axe-core"
