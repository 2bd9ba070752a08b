package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// module is this project's import path.
const module = "jambwright/"

// arrows lists, for each top-level package, the top-level packages that it may import. A new arrow is a new line here.
var arrows = map[string][]string{
	"cmd":        {"migrations", "models", "scheduler", "server", "web"},
	"server":     {"migrations", "models", "scheduler", "server", "web"},
	"models":     {"migrations", "models", "scheduler"},
	"web":        {"scheduler", "web"},
	"scheduler":  {"scheduler"},
	"migrations": {},
	"testdata":   {},
}

// barredFromCore are standard packages that would give the core a clock, a disk, a network or a voice.
var barredFromCore = []string{"os", "net", "log", "database/sql", "os/exec", "syscall"}

// hiddenChance are calls of the generator that nobody has seeded; the core seeds its own.
var hiddenChance = regexp.MustCompile(`\brand\.(Int\d*N?|Uint\d*N?|N|Float\d+|Perm|Shuffle|NormFloat64|ExpFloat64)\(`)

func TestArchitecture_ArrowsPointOneWay(t *testing.T) {
	t.Parallel()
	eachImport(t, func(file, path string) {
		from := strings.Split(file, "/")[0]
		to, ours := strings.CutPrefix(path, module)
		if !ours || forTests(file) && (to == "testdata" || strings.HasPrefix(to, "models/dbtest")) {
			return
		}
		allowed, known := arrows[from]
		require.True(t, known, "%s lies in a folder that the table does not know", file)
		require.Contains(t, allowed, strings.Split(to, "/")[0], "%s imports %s", file, path)
	})
}

func TestArchitecture_CoreIsPure(t *testing.T) {
	t.Parallel()
	eachImport(t, func(file, path string) {
		if !strings.HasPrefix(file, "scheduler/") || strings.HasSuffix(file, "_test.go") {
			return
		}
		standard := !strings.Contains(strings.Split(path, "/")[0], ".")
		require.True(t, standard, "%s imports %s: the core takes the standard library only", file, path)
		for _, barred := range barredFromCore {
			require.False(t, path == barred || strings.HasPrefix(path, barred+"/"), "%s imports %s", file, path)
		}
	})
}

func TestArchitecture_CoreReadsNoClockDrawsNoHiddenChanceAndKeepsNoInit(t *testing.T) {
	t.Parallel()
	for _, file := range sources(t) {
		if !strings.HasPrefix(file, "scheduler/") || strings.HasSuffix(file, "_test.go") {
			continue
		}
		text, err := os.ReadFile(filepath.Join(root(t), file))
		require.NoError(t, err)
		for _, barred := range []string{"time.Now(", "time.Since(", "time.Until(", "func init()"} {
			require.NotContains(t, string(text), barred, file)
		}
		require.Empty(t, hiddenChance.FindString(string(text)), "%s draws without a seed", file)
	}
}

func TestArchitecture_TopLevelHoldsOnlyWhatWasAgreed(t *testing.T) {
	t.Parallel()
	agreed := []string{
		"cmd", "server", "scheduler", "models", "web", "migrations", "testdata",
		"go.mod", "go.sum", "docker-compose.yml", "README.md", "DEVELOPERS.md",
	}
	entries, err := os.ReadDir(root(t))
	require.NoError(t, err)
	for _, e := range entries {
		require.True(t, strings.HasPrefix(e.Name(), ".") || slices.Contains(agreed, e.Name()), e.Name())
	}
}

// forTests reports whether a file is compiled into tests only.
func forTests(file string) bool {
	return strings.HasSuffix(file, "_test.go") || strings.HasPrefix(file, "models/dbtest/")
}

// eachImport calls visit with every Go file of the project, by path from the root, and every import in it.
func eachImport(t *testing.T, visit func(file, path string)) {
	t.Helper()
	for _, file := range sources(t) {
		parsed, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root(t), file), nil, parser.ImportsOnly)
		require.NoError(t, err)
		for _, spec := range parsed.Imports {
			path, err := strconv.Unquote(spec.Path.Value)
			require.NoError(t, err)
			visit(file, path)
		}
	}
}

// sources lists the project's Go files by path from the root, in order.
func sources(t *testing.T) []string {
	t.Helper()
	var files []string
	err := fs.WalkDir(os.DirFS(root(t)), ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if entry.IsDir() && path != "." && strings.HasPrefix(entry.Name(), ".") {
			return fs.SkipDir
		}
		if strings.HasSuffix(path, ".go") {
			files = append(files, path)
		}
		return nil
	})
	require.NoError(t, err)
	require.NotEmpty(t, files)
	return files
}

// root is the folder that holds go.mod.
func root(t *testing.T) string {
	t.Helper()
	folder, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(folder, "go.mod")); err == nil {
			return folder
		}
		parent := filepath.Dir(folder)
		require.NotEqual(t, folder, parent, "no go.mod above the test")
		folder = parent
	}
}
