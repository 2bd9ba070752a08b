package intake_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/pattern"
	"jambwright/server/importing"
	"jambwright/server/intake"
)

const job = "Sallow Court"

func newStore(db *models.DB) *intake.Store {
	return intake.NewStore(db, models.Actor{Name: "test"}, models.NewProject{Zone: "America/Denver"})
}

// save imports a sheet as its preview shows it, rows with faults left out.
func save(t *testing.T, store *intake.Store, s *importing.Sheet) importing.Changes {
	t.Helper()
	preview, err := importing.NewPreview(t.Context(), store, job, s)
	require.NoError(t, err)
	saved, err := importing.Apply(t.Context(), store, preview, importing.Answers{LeaveOut: true, Of: importing.TakeAll(preview)})
	require.NoError(t, err)
	return saved
}

func TestStore_EveryBlankSheetReadTwiceChangesNothingTheSecondTime(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		store := newStore(db)
		for _, kind := range importing.Kinds() {
			name, data, err := importing.BlankSheet(kind, importing.CSV)
			require.NoError(t, err)
			text := strings.ReplaceAll(string(data), "Harrow Bend", job) // the crews' home site is this job's
			read := importing.Read(kind, name, []byte(text), importing.Options{})
			require.Empty(t, read.Faults)
			// The blank sheet of rates is the table that everybody starts from: nothing new even the first time.
			require.Equal(t, kind == importing.Rates, save(t, store, read).Empty(), kind)
			requireUnchanged(t, store, read)
		}
	})
}

// requireUnchanged checks that what is stored reads back as what the sheet says.
func requireUnchanged(t *testing.T, store *intake.Store, read *importing.Sheet) {
	t.Helper()
	again, err := importing.NewPreview(t.Context(), store, job, read)
	require.NoError(t, err)
	for _, c := range again.Openings.Changed {
		require.Empty(t, c.Fields, "opening %s", c.New.Mark)
	}
	for _, c := range again.Crews.Changed {
		require.Empty(t, c.Fields, "crew %s", c.New.Name)
	}
	for _, c := range again.Suppliers.Changed {
		require.Empty(t, c.Fields, "supplier %s", c.New.Name)
	}
	require.True(t, again.Empty(), "%s: %d new, %d gone openings", read.File, len(again.Openings.New), len(again.Openings.Gone))
}

// The corpus holds sheets as people really keep them; what was understood of each must survive storing.
func TestStore_TheCorpusOfDirtySheetsSurvivesStoring(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("../importing/testdata/sheets/*")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		kindName := strings.TrimPrefix(filepath.Ext(strings.TrimSuffix(file, filepath.Ext(file))), ".")
		kind, err := importing.ParseKind(kindName)
		if err != nil || kind == importing.Crews { // crews name sites that this database has not
			continue
		}
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		read := importing.Read(kind, filepath.Base(file), data, importing.Options{})
		if read.Rows() == 0 {
			continue
		}
		t.Run(filepath.Base(file), func(t *testing.T) {
			t.Parallel()
			store := newStore(dbtest.SQLite(t, dbtest.Clock))
			save(t, store, read)
			requireUnchanged(t, store, read)
		})
	}
}

func TestStore_ARevisedSheetChangesAndRemovesWhatItSays(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		store := newStore(db)
		first := "Mark,Level,Zone,Type,Width,Height\nA,Level 1,East,HM door and frame,3-0,7-0\nB,Level 1,East,Pair,6-0,7-0\n"
		save(t, store, importing.Read(importing.Openings, "a.csv", []byte(first), importing.Options{}))
		revised := "Mark,Level,Zone,Type,Width,Height\nA,Level 1,West,HM door and frame,3-6,7-0\nC,Level 2,,Pair,6-0,7-0\n"
		saved := save(t, store, importing.Read(importing.Openings, "b.csv", []byte(revised), importing.Options{}))
		added, changed, removed := saved.Counts()
		require.Equal(t, []int{1, 1, 1}, []int{added, changed, removed})
		project, err := models.ProjectByName(t.Context(), db, job)
		require.NoError(t, err)
		openings, err := models.OpeningsOf(t.Context(), db, project.ID)
		require.NoError(t, err)
		require.Len(t, openings, 2)
		require.Equal(t, "A", openings[0].Mark)
		require.Equal(t, "3'-6\"", openings[0].Width.FeetInches())
		require.Equal(t, "L1-West", openings[0].Area.Code)
		require.Equal(t, "L2", openings[1].Area.Code)
	})
}

func TestStore_ACrewOfASiteThatIsNotThereIsRefusedWhole(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		store := newStore(db)
		save(t, store, importing.Read(importing.Openings, "a.csv",
			[]byte("Mark,Level,Type,Width,Height\nA,Level 1,HM door and frame,3-0,7-0\n"), importing.Options{}))
		sheet := "Crew,Heads,Skills,Home site\nAlder,3,frame,Sallow Court\nBirch,2,glaze,Nowhere\n"
		read := importing.Read(importing.Crews, "crews.csv", []byte(sheet), importing.Options{})
		preview, err := importing.NewPreview(t.Context(), store, job, read)
		require.NoError(t, err)
		_, err = importing.Apply(t.Context(), store, preview, importing.Answers{})
		var refused *intake.RefusedError
		require.ErrorAs(t, err, &refused)
		require.Equal(t, "Nowhere", refused.Faults[0].Value)
		crews, err := models.Crews(t.Context(), db)
		require.NoError(t, err)
		require.Empty(t, crews)
	})
}

// A supplier's lead times count days of the clock or working days, whichever the latest sheet says.
func TestStore_ASupplierChangesFromDaysOfTheClockToWorkingDaysAndBack(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		store := newStore(db)
		for _, lead := range []string{"3 weeks", "15 working days", "21 calendar days", "15 working days"} {
			sheet := "Supplier,Item,Lead time\nNinefold Glass,Glass," + lead + "\n"
			read := importing.Read(importing.Suppliers, "s.csv", []byte(sheet), importing.Options{})
			require.Empty(t, read.Faults, lead)
			save(t, store, read)
			requireUnchanged(t, store, read)
		}
	})
}

// A crew that works for two jobs keeps its days off, whichever job the sheet is imported into. Its calendar is that of
// the first, in Denver; midnight there is three in the morning in Halifax.
func TestStore_DaysOffAreThoseOfTheCrewsOwnCalendar(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		crews := importing.Read(importing.Crews, "crews.csv",
			[]byte("Crew,Heads,Skills,Shift,Away from,Away to\nAlder,3,frame,6:00-14:00,2026-12-01,2026-12-03\nBirch,2,glaze,6:00-14:00,,\n"), importing.Options{})
		require.Empty(t, crews.Faults)
		save(t, newStore(db), crews)

		east := intake.NewStore(db, models.Actor{Name: "test"}, models.NewProject{Zone: "America/Halifax"})
		const other = "Fen Wharf"
		openings := importing.Read(importing.Openings, "o.csv", []byte("Mark,Level,Type,Width,Height\nA,Level 1,HM door and frame,3-0,7-0\n"), importing.Options{})
		revised := importing.Read(importing.Crews, "crews.csv",
			[]byte("Crew,Heads,Skills,Away from,Away to\nAlder,4,frame,2026-12-01,2026-12-04\nBirch,2,glaze,,\n"), importing.Options{})
		require.Empty(t, revised.Faults)
		for _, sheet := range []*importing.Sheet{openings, revised} {
			preview, err := importing.NewPreview(t.Context(), east, other, sheet)
			require.NoError(t, err)
			_, err = importing.Apply(t.Context(), east, preview, importing.Answers{Of: importing.TakeAll(preview)})
			require.NoError(t, err)
		}
		again, err := importing.NewPreview(t.Context(), east, other, revised)
		require.NoError(t, err)
		for _, c := range again.Crews.Changed {
			require.Empty(t, c.Fields)
		}
		require.True(t, again.Empty())
		stored, err := models.Crews(t.Context(), db)
		require.NoError(t, err)
		require.Len(t, stored, 2)
		require.Equal(t, "2026-12-01T07:00:00Z", stored[0].Absences[0].StartsAt.Format(time.RFC3339), "midnight in Denver")
		require.Equal(t, "2026-12-05T07:00:00Z", stored[0].Absences[0].FinishesAt.Format(time.RFC3339))
		require.Equal(t, stored[0].CalendarID, stored[1].CalendarID, "one calendar for the same hours")
	})
}

func TestStore_WhatARevisedSheetLeavesOutIsTakenOut(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		store := newStore(db)
		for _, c := range []struct {
			kind           importing.Kind
			first, revised string
		}{
			{
				importing.Handovers,
				"Level,Condition,Trade,Promised\nLevel 1,Walls boarded,Partitions,2026-12-01\nLevel 1,Ceiling closed,Ceilings,2026-12-03\n",
				"Level,Condition,Trade,Promised\nLevel 1,Walls boarded,Partitions,2026-12-08\n",
			},
			{
				importing.GCDates,
				"Name,Level,Work complete,Date\nLevel 1 ready,Level 1,punch,2026-12-18\nLevel 1 glazed,Level 1,glaze,2026-12-11\n",
				"Name,Level,Work complete,Date\nLevel 1 ready,Level 1,punch,2026-12-22\n",
			},
			{
				importing.Crews,
				"Crew,Heads,Skills,Home site\nAlder,3,frame,Sallow Court\nBirch,2,glaze,Sallow Court\n",
				"Crew,Heads,Skills,Home site\nAlder,4,frame,Sallow Court\n",
			},
		} {
			first := importing.Read(c.kind, "first.csv", []byte(c.first), importing.Options{})
			require.Empty(t, first.Faults)
			save(t, store, first)
			revised := importing.Read(c.kind, "revised.csv", []byte(c.revised), importing.Options{})
			saved := save(t, store, revised)
			added, changed, removed := saved.Counts()
			require.Equal(t, []int{0, 1, 1}, []int{added, changed, removed}, "%s", c.kind)
			requireUnchanged(t, store, revised)
		}
		project, err := models.ProjectByName(t.Context(), db, job)
		require.NoError(t, err)
		handovers, err := models.Handovers(t.Context(), db, project.ID)
		require.NoError(t, err)
		require.Len(t, handovers, 1)
		require.Equal(t, "2026-12-08", handovers[0].Promised.String())
		dates, err := models.GCDates(t.Context(), db, project.ID)
		require.NoError(t, err)
		require.Len(t, dates, 1)
		require.Equal(t, "2026-12-22", dates[0].Due.String())
		crews, err := models.Crews(t.Context(), db)
		require.NoError(t, err)
		require.Len(t, crews, 2, "what a crew did stays its own")
		require.Equal(t, []bool{true, false}, []bool{crews[0].Active, crews[1].Active})

		back := importing.Read(importing.Crews, "back.csv", []byte("Crew,Heads,Skills,Home site\nAlder,4,frame,"+job+"\nBirch,2,glaze,"+job+"\n"), importing.Options{})
		save(t, store, back)
		crews, err = models.Crews(t.Context(), db)
		require.NoError(t, err)
		require.Len(t, crews, 2, "a crew that comes back is the one it was")
		require.True(t, crews[1].Active)
	})
}

func TestStore_OpeningsWithoutASuppliersSheetGetGuessedLeadTimesUntilItComes(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		store := newStore(db)
		openings := "Mark,Level,Zone,Type,Width,Height\nA,Level 1,East,HM door and frame,3-0,7-0\n"
		save(t, store, importing.Read(importing.Openings, "a.csv", []byte(openings), importing.Options{}))
		require.Equal(t, []string{models.UnnamedSupplier, models.UnnamedSupplier, models.UnnamedSupplier}, furnishers(t, db))
		stored, err := store.Stored(t.Context(), job, importing.Suppliers)
		require.NoError(t, err)
		require.Empty(t, stored.Suppliers, "nobody's sheet names it")

		suppliers := "Supplier,Supplies,Lead days least,Lead days likely,Lead days most\nPellam,frame kits,8,10,14\n"
		save(t, store, importing.Read(importing.Suppliers, "s.csv", []byte(suppliers), importing.Options{}))
		require.Equal(t, []string{"Pellam", models.UnnamedSupplier, models.UnnamedSupplier}, furnishers(t, db))
		rest := suppliers + "Dorrow,\"door leaves, hardware\",12,15,20\n"
		save(t, store, importing.Read(importing.Suppliers, "s.csv", []byte(rest), importing.Options{}))
		require.Equal(t, []string{"Pellam", "Dorrow", "Dorrow"}, furnishers(t, db))
	})
}

// furnishers are the codes of who furnishes frame kit, leaf and hardware of the first opening.
func furnishers(t *testing.T, db *models.DB) []string {
	t.Helper()
	project, err := models.ProjectByName(t.Context(), db, job)
	require.NoError(t, err)
	releases, err := models.Releases(t.Context(), db, project.ID)
	require.NoError(t, err)
	byID := map[int64]string{}
	for _, r := range releases {
		byID[r.ID] = r.Supplier.Code
	}
	openings, err := models.OpeningsOf(t.Context(), db, project.ID)
	require.NoError(t, err)
	var codes []string
	for _, kind := range []pattern.Item{pattern.FrameKit, pattern.Leaf, pattern.Hardware} {
		for _, item := range openings[0].Items {
			if item.Kind == kind {
				require.NotNil(t, item.ReleaseID)
				codes = append(codes, byID[*item.ReleaseID])
			}
		}
	}
	return codes
}
