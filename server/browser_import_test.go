package server

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// A schedule as it comes: a title above the table, sizes in three spellings, a row twice, a size that a spreadsheet made a
// date of, a type that nobody can know.
const dirtySchedule = "Sallow Court,,,,,\r\nDoor and frame schedule,,rev C,,,\r\n" +
	"Mark,Level,Area,Type,Width,Height\r\n" +
	"S-1,Level 1,North,HM door and frame,3-0,7-0\r\n" +
	"S-2,Level 1,North,Hinged front,\"6'-0\"\"\",\"9'-0\"\"\"\r\n" +
	"S-3,Level 1,North,Fixed light,914 mm,2134 mm\r\n" +
	"S-4,Level 1,South,HM door and frame,07-Mar,7-0\r\n" +
	"S-1,Level 1,South,HM door and frame,3-0,7-0\r\n" +
	"S-5,Level 1,South,see arch,3-0,7-0\r\n"

// The whole way of a sheet: it is read, its faults are shown, they are left out, the rest is saved and stands on the page of
// openings; at a desk and on a phone.
func TestBrowser_DirtySheetIsReadAndSaved(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "sallow-court-doors.csv")
	require.NoError(t, os.WriteFile(file, []byte(dirtySchedule), 0o600))
	for _, w := range []window{desk, phone} {
		s := newSite(t)
		b := newTab(t, s.url, w)
		b.signIn("Operations manager")
		b.follow("a", "Projects")
		b.seen("projects")
		b.followFirst(`a.button[href="/import"]`)
		b.seen("form")
		b.choose("#project", "")
		b.fill("#new_project", "Sallow Court")
		b.do(chromedp.SetUploadFiles(chromedp.CSS("#file"), []string{file}))
		b.follow("button", "Show what it says")
		require.Contains(t, b.words("main"), "07-Mar")
		b.seen("preview")

		b.do(chromedp.Click(element("button", "Save")))
		require.Equal(t, "leave_out", look[string](b, `document.querySelector(":invalid:not(form)").id`), "the browser asks first")
		b.do(chromedp.Click(chromedp.CSS("#leave_out")))
		b.follow("button", "Save")
		require.Contains(t, b.notice(), "3 new")
		b.seen("saved")
		b.follow("a", "Openings")
		b.choose("#project", look[string](b, `[...document.querySelectorAll("#project option")].find((o) => o.text === "Sallow Court").value`))
		b.follow("button", "Show")
		require.Equal(t, "3 openings", b.words(".head .sum"))
		b.seen("openings")
	}
}
