package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestUser_SaysWhatIsWrongAndPrintsALinkThatCanBeOpened(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	add := func(args ...string) (code int, out, trouble string) {
		var printed, wrong output
		code = dispatch(t.Context(), append([]string{"user", "add", "--data", folder}, args...), &printed, &wrong)
		return code, printed.String(), wrong.String()
	}
	code, out, trouble := add("--email", "sasha", "--role", "project_manager")
	require.Equal(t, exitDone, code, trouble)
	require.Regexp(t, `https?://\S+/welcome/\S+`, out)

	code, _, trouble = add("--email", "sasha", "--role", "project_manager")
	require.Equal(t, exitFailed, code)
	require.Contains(t, trouble, "sasha has an account already")

	code, _, trouble = add("--email", "robin", "--role", "foreman", "--crew", "Nobody")
	require.Equal(t, exitFailed, code)
	require.Contains(t, trouble, `there is no crew "Nobody"`)
}

func TestImport_SaysWhenItBeginsAProject(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	sheet := filepath.Join(folder, "o.csv")
	require.NoError(t, os.WriteFile(sheet, []byte("Mark,Type,Size,Level\n101,fixed light,36 x 84,1\n"), 0o600))
	run := func() string {
		var out, trouble output
		require.Equal(t, exitDone, dispatch(t.Context(), []string{"import", "--data", folder, "--project", "Sallow Court", "openings", sheet}, &out, &trouble), trouble.String())
		return out.String()
	}
	require.Contains(t, run(), "began the project Sallow Court", "a misspelt name begins another project")
	require.Contains(t, run(), "nothing to save")
}

func TestMigrate_RefusesADatabaseThatIsNoPostgreSQLAddress(t *testing.T) {
	t.Parallel()
	for _, url := range []string{"mysql://localhost/jobs", "jobs.db"} {
		var out, trouble output
		require.Equal(t, exitFailed, dispatch(t.Context(), []string{"migrate", "--database", url}, &out, &trouble))
		require.Contains(t, trouble.String(), "is no PostgreSQL URL")
	}
}
