package server

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/pattern"
	"jambwright/web"
)

// A fresh sheet of the general contractor says that a floor comes a fortnight later: what slipped and what that moves stands
// there before it is saved, then in the history of the floor; after the night the crews' days and the GC dates give it as the reason.
func TestBrowser_AFreshHandoverSheetIsReadSavedAndGivenAsTheReason(t *testing.T) {
	t.Parallel()
	axe := axeRules(t)
	s := newSite(t)
	floor := handoverOf(t, s.db, "L2", pattern.FloorFinished)
	sheet := s.as(web.RoleProject).get("/handovers/export/handovers.csv").body
	line := regexp.MustCompile(`(Level 2,,floor finished,Flooring),[^\r\n]*`)
	require.Regexp(t, line, sheet)
	file := filepath.Join(t.TempDir(), "look-ahead.csv")
	require.NoError(t, os.WriteFile(file, []byte(line.ReplaceAllString(sheet, "$1,2026-12-14,2026-12-14,")), 0o600))

	b := newTab(t, s.url, phone)
	b.signIn("Project")
	b.follow("a", "Handovers")
	b.usable(axe, "handovers")
	b.resize(phone)
	b.follow("a", "Enter a handover")
	b.usable(axe, "handover-new")
	b.do(chromedp.NavigateBack())
	b.resize(phone)
	b.follow("a", "Read in a fresh sheet")
	require.True(t, look[bool](b, `document.querySelector("#kind-handovers").checked`), "the form knows what sheet it asks for")
	b.do(chromedp.SetUploadFiles(chromedp.CSS("#file"), []string{file}))
	b.follow("button", "Show what it says")
	require.Contains(t, b.words("#slips ~ .wide"), "Promise slipped 20 days")
	require.Contains(t, b.words("main"), "floor finished on Level 2: forecast date Mon 14 Dec")
	b.usable(axe, "handovers-fresh")
	b.resize(phone)
	b.follow("button", "Save")
	require.Contains(t, b.notice(), "1 changed")

	b.open("/handovers/" + itoa(floor.ID))
	require.Contains(t, b.words(".facts"), "Slipped once, 20 days in all")
	require.Contains(t, b.words(".reports"), "promise slipped 20 days")
	b.usable(axe, "handover-history")
	s.night(s.as(web.RoleOperations))
	b.resize(desk)
	b.load(chromedp.Reload())
	require.Contains(t, b.words("#waits ~ .wide"), "held by this handover")
	require.Contains(t, b.words("#waits ~ .wide"), "Mon 14 Dec")

	b.open("/tomorrow?date=2026-12-14")
	require.Contains(t, strings.ToLower(b.words("main")), "floor finished on level 2")
	b.usable(axe, "handover-day")
	b.open("/dates")
	look[bool](b, `[...document.querySelectorAll(".level")].forEach((d) => d.open = true) ?? true`)
	require.Contains(t, strings.ToLower(b.words("main")), "floor finished on level 2")
	b.usable(axe, "handover-dates")
}
