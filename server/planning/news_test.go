package planning_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
	"jambwright/server/planning"
)

func zone(t *testing.T, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	require.NoError(t, err)
	return z
}

func TestReportWords_SayWhatEachKindOfReportSays(t *testing.T) {
	t.Parallel()
	left, until := 195, time.Date(2026, 12, 2, 5, 0, 0, 0, time.UTC)
	width, height := 36*length.Inch, 84*length.Inch+length.Inch/2
	for want, r := range map[string]models.FieldReport{
		"glaze 204 started":                             {Kind: models.ReportStart},
		"glaze 204 done":                                {Kind: models.ReportDone},
		"glaze 204 part done, 3 h 15 min left":          {Kind: models.ReportPartDone, RemainingMinutes: &left},
		"glaze 204 hours spent":                         {Kind: models.ReportHours},
		"glaze 204 held: no power, expected Wed 2 Dec":  {Kind: models.ReportHold, Cause: "no power", Until: &until},
		"glaze 204 held: no power":                      {Kind: models.ReportHold, Cause: "no power"},
		"glaze 204 hold lifted":                         {Kind: models.ReportReleaseHold},
		"glaze 204 damaged frame kit: bent in the dock": {Kind: models.ReportDamaged, ItemKind: pattern.FrameKit, Note: "bent in the dock"},
		`glaze 204 measured 3'-0" x 7'-0 1/2"`:          {Kind: models.ReportMeasured, Width: &width, Height: &height},
		"glaze 204 punch item: scratch on the head":     {Kind: models.ReportPunch, Note: "scratch on the head"},
	} {
		r.Task = models.Task{Kind: takeoff.Glaze, Opening: &models.Opening{Mark: "204"}}
		assert.Equal(t, want, planning.ReportWords(&r, planning.Locale{Zone: zone(t, "America/New_York")}))
	}
}

// An inch is 25.4 mm exactly (NIST SP 811, 2008, B.8): 36 in are 914.4 mm, 84.5 in 2146.3 mm.
func TestReportWords_WriteSizesInTheUnitsOfTheProject(t *testing.T) {
	t.Parallel()
	width, height, id := 36*length.Inch, 84*length.Inch+length.Inch/2, int64(4)
	r := models.FieldReport{
		Kind: models.ReportMeasured, Width: &width, Height: &height, Task: models.Task{Kind: takeoff.Frame, Opening: &models.Opening{Mark: "204"}},
	}
	metric := planning.Locale{Zone: time.UTC, Units: models.Metric}
	assert.Equal(t, "frame 204 measured 914.4 mm x 2146.3 mm", planning.ReportWords(&r, metric))
	r.Withdraws = &id
	assert.Equal(t, "frame 204 took back: measured 914.4 mm x 2146.3 mm", planning.ReportWords(&r, metric))
}

// Midnight of 2 December in Berlin is still the first in UTC.
func TestReportWords_NameTheDayOfTheProjectsZone(t *testing.T) {
	t.Parallel()
	berlin := zone(t, "Europe/Berlin")
	until := time.Date(2026, 12, 2, 0, 0, 0, 0, berlin).UTC()
	r := models.FieldReport{Kind: models.ReportHold, Cause: "walls", Until: &until, Task: models.Task{Kind: takeoff.Frame}}
	assert.Equal(t, "frame held: walls, expected Wed 2 Dec", planning.ReportWords(&r, planning.Locale{Zone: berlin}))
}

func TestDescribe_SaysWhatHandoverAndMaterialChangesSay(t *testing.T) {
	t.Parallel()
	chicago := zone(t, "America/Chicago")
	first, second := models.NewDate(2026, 12, 1), models.NewDate(2026, 12, 8)
	walls := models.Handover{Condition: pattern.WallsBoarded, Area: models.Area{Name: "East"}}
	const east = "Level 2 / East" // every level has an East
	release := models.Release{Code: "R3", Supplier: models.Supplier{Name: "Ninefold Glass"}}
	for want, n := range map[string]models.News{
		"walls boarded on Level 2 / East: promised date Tue 8 Dec, was Tue 1 Dec": {Area: east, Handover: &models.HandoverChange{
			Handover: walls, Field: models.FieldPromised, OldDate: &first, NewDate: &second,
		}},
		"walls boarded on Level 2 / East: forecast date not known, was Tue 1 Dec": {Area: east, Handover: &models.HandoverChange{
			Handover: walls, Field: models.FieldForecast, OldDate: &first,
		}},
		"walls boarded on Level 2 / East: handed over on Tue 1 Dec": {Area: east, Handover: &models.HandoverChange{
			Handover: walls, Field: models.FieldActual, NewDate: &first,
		}},
		// Eight in the evening on the site is past midnight in UTC.
		"release R3 from Ninefold Glass: received Tue 1 Dec": {Material: &models.MaterialChange{
			Release: &release, Field: "received", NewValue: "2026-12-02T02:00:00Z",
		}},
		"release R3 from Ninefold Glass: promised Tue 8 Dec, was Tue 1 Dec": {Material: &models.MaterialChange{
			Release: &release, Field: "promised", OldValue: "2026-12-01", NewValue: "2026-12-08",
		}},
		"Ines reported survey of Level 2 / East done": {Area: east, Report: &models.FieldReport{
			Reporter: "Ines", Kind: models.ReportDone, Task: models.Task{Kind: takeoff.Survey},
		}},
		"Ines reported order of release R3 done": {Report: &models.FieldReport{
			Reporter: "Ines", Kind: models.ReportDone, Task: models.Task{Kind: takeoff.Order, Release: &release},
		}},
		"Ines reported delivery of release R3 done": {Report: &models.FieldReport{
			Reporter: "Ines", Kind: models.ReportDone, Task: models.Task{Kind: takeoff.Deliver, Release: &release},
		}},
	} {
		assert.Equal(t, want, planning.Describe(n, planning.Locale{Zone: chicago}))
	}
}
