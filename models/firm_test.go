package models_test

import (
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

func TestSnapshot_ReadsLimitsTravelWeightsAndSettings(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		w := 2.5
		write(t, db, func(tx *models.Tx) error {
			ctx := t.Context()
			other := models.Site{Code: "mill", Name: "Mill Street", Zone: "America/New_York"}
			desk := models.Limit{Code: "desk", Name: "Buyer's desk", Kind: models.Buyer, Capacity: 1, CalendarID: &j.calendar.ID}
			hoist := models.Limit{Code: "hoist", Name: "Hoist", Kind: models.Hoist, SiteID: &j.site.ID, Capacity: 2}
			err := errors.Join(
				models.CreateSite(ctx, tx, &other, console),
				models.CreateLimit(ctx, tx, &desk, console),
				models.CreateLimit(ctx, tx, &hoist, console),
				models.SetTravel(ctx, tx, j.site.ID, other.ID, 30, console),
				models.SetTravel(ctx, tx, j.site.ID, other.ID, 45, console),
			)
			if err != nil {
				return err
			}
			settings, err := models.Settings(ctx, tx)
			if err != nil {
				return err
			}
			settings.BuyerLimitID, settings.BuyerCalendarID, settings.FrozenDays = &desk.ID, &j.calendar.ID, 0
			settings.WeightLateness, settings.WeightChange, settings.WeightTravel, settings.WeightEarly = &w, &w, &w, &w
			settings.SurveyNeeds = models.List[pattern.Condition]{pattern.WallsBoarded}
			settings.TakeoffRules.V.ScrewSpacing = 16 * length.Inch
			if err := models.SaveSettings(ctx, tx, settings, console); err != nil {
				return err
			}
			j.project.HoistID, j.project.OutOfOrder = &hoist.ID, problem.KeepOrder
			return models.UpdateProject(ctx, tx, &j.project, console)
		})
		firm := j.firm()
		assert.Equal(t, []problem.Limit{{ID: "desk", Capacity: 1, Calendar: "day"}, {ID: "hoist", Capacity: 2}}, firm.Limits)
		assert.Equal(t, []problem.Travel{{From: "harbor", To: "mill", Minutes: 45}}, firm.Travel)
		assert.Equal(t, "desk", firm.BuyerDesk)
		assert.Equal(t, "day", firm.BuyerCalendar)
		assert.Nil(t, firm.FrozenUntil)
		assert.Equal(t, &problem.Weights{Lateness: 2.5, Change: 2.5, Travel: 2.5, Early: 2.5}, firm.Weights)
		assert.Equal(t, []pattern.Condition{pattern.WallsBoarded}, firm.Settings.SurveyNeeds)
		assert.Equal(t, 16*length.Inch, firm.Rules.ScrewSpacing)
		assert.Equal(t, "hoist", firm.Projects[0].Hoist)
		assert.Equal(t, problem.KeepOrder, firm.Projects[0].OutOfOrder)
	})
}

func TestSaveSettings_RefusesAStaleVersion(t *testing.T) {
	t.Parallel()
	db := dbtest.SQLite(t, dbtest.Clock)
	newJob(t, db)
	old, err := models.Settings(t.Context(), db)
	require.NoError(t, err)
	save := func() error {
		return db.Write(t.Context(), func(tx *models.Tx) error { return models.SaveSettings(t.Context(), tx, old, console) })
	}
	require.NoError(t, save())
	var stale *models.ErrStale
	require.ErrorAs(t, save(), &stale)
	assert.Equal(t, "the firm was changed meanwhile: version 1 was read, version 2 is stored", stale.Error())
}

func TestUpdateCrew_ReplacesSkillsSitesAndAbsences(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		crew, err := models.CrewByName(t.Context(), db, "NORTH")
		require.NoError(t, err)
		crew.Heads, crew.Skills, crew.Absences = 4, []models.CrewSkill{{Kind: takeoff.Hang, Productivity: 0.9}}, nil
		write(t, db, func(tx *models.Tx) error { return models.UpdateCrew(t.Context(), tx, crew, console) })
		crews, err := models.Crews(t.Context(), db)
		require.NoError(t, err)
		require.Len(t, crews, 2)
		assert.Equal(t, 4, crews[0].Heads)
		assert.Equal(t, takeoff.Hang, crews[0].Skills[0].Kind)
		assert.Empty(t, crews[0].Absences)
		assert.Len(t, crews[1].Skills, 4, "the other crew keeps its own")
		_, err = models.CrewByName(t.Context(), db, "nobody")
		require.ErrorIs(t, err, models.ErrNotFound)
		assert.Equal(t, j.north.ID, crew.ID)
	})
}

func TestUpdateSupplier_ReplacesItsItems(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		newJob(t, db)
		rows, err := models.Suppliers(t.Context(), db)
		require.NoError(t, err)
		require.Len(t, rows[0].Items, 2)
		rows[0].Items = []models.SupplierItem{{ItemKind: pattern.Leaf, LeastDays: 1, LikelyDays: 2, MostDays: 3}}
		write(t, db, func(tx *models.Tx) error { return models.UpdateSupplier(t.Context(), tx, &rows[0], console) })
		rows, err = models.Suppliers(t.Context(), db)
		require.NoError(t, err)
		require.Len(t, rows[0].Items, 1)
		assert.Equal(t, 2, rows[0].Items[0].LikelyDays)

		rows[0].Items[0].MostDays = 1 // less than likely
		err = db.Write(t.Context(), func(tx *models.Tx) error { return models.UpdateSupplier(t.Context(), tx, &rows[0], console) })
		require.ErrorIs(t, err, models.ErrRefused)
	})
}

func TestCompanyRates_AreEmptyUntilSomebodyEntersThem(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		rates, err := models.CompanyRates(t.Context(), db)
		require.NoError(t, err)
		assert.Equal(t, takeoff.Rates{}, rates)
	})
}

// Every field of the planner's geometry that is stored comes back as it was.
func TestOpening_TakeoffSurvivesStorage(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		want := takeoff.Opening{
			Type: takeoff.Storefront, Width: 240 * length.Inch, Height: 96*length.Inch + 3*length.Sixteenth,
			Leaves: 1, LeafWidth: 36 * length.Inch, Sidelights: []takeoff.Sidelight{{Side: takeoff.Right, Width: 1}},
			Lights: 4, LightWidths: []length.Length{1, 2, 3, 4}, DoorLight: 2, Transom: 18 * length.Inch, ButtJoints: true, GlassLeaf: true,
			Glass: takeoff.Glass{
				Kind: takeoff.Laminated, Thickness: 6 * length.Millimetre, Lites: 2, Interlayer: 15_200, AirSpace: 5, Safety: true,
			},
			HardwarePoints: 7, Head: takeoff.Concrete, Jambs: takeoff.Stud, Floor: takeoff.Wood, SillHeight: 12 * length.Inch,
			Conditions: []takeoff.Condition{takeoff.Ladder, "windy"},
		}
		row := models.Opening{Mark: "S1"}
		row.SetTakeoff(want)
		write(t, db, func(tx *models.Tx) error {
			return models.SaveOpenings(t.Context(), tx, j.project.ID, []models.OpeningInput{{Row: row}}, console)
		})
		rows, err := models.OpeningsOf(t.Context(), db, j.project.ID)
		require.NoError(t, err)
		for i := range rows {
			if rows[i].Mark == "S1" {
				assert.Equal(t, want, rows[i].Takeoff())
				return
			}
		}
		t.Fatal("the opening is gone")
	})
}

func TestSavePlan_KeepsWhatIsLeftOutAndWhy(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		p := j.build()
		plan := anyPlan(p, 0)
		last := plan.Tasks[len(plan.Tasks)-1].ID
		plan.Tasks = plan.Tasks[:len(plan.Tasks)-1]
		plan.Unplanned = []problem.Unplanned{{Task: last, Why: "no crew with 9 hands"}}
		plan.GCDates[0].Forecast = nil
		var saved *models.Plan
		write(t, db, func(tx *models.Tx) (err error) {
			saved, err = models.SavePlan(t.Context(), tx, models.PlanToSave{Problem: p, Plan: plan, Because: models.MadeByDemo, Actor: console})
			return err
		})
		left, err := models.UnplannedOf(t.Context(), db, saved.ID, j.project.ID)
		require.NoError(t, err)
		require.Len(t, left, 1)
		assert.Equal(t, "no crew with 9 hands", left[0].Why)
		byDate, err := models.UnplannedByDate(t.Context(), db, saved.ID)
		require.NoError(t, err)
		assert.Len(t, byDate[j.date.ID], 1)
		write(t, db, func(tx *models.Tx) error {
			b := models.Baseline{ProjectID: j.project.ID, PlanID: saved.ID, Name: "as agreed"}
			return models.SetBaseline(t.Context(), tx, &b, console)
		})
	})
}

func TestDate_ReadsWhatEitherDatabaseHandsOver(t *testing.T) {
	t.Parallel()
	want := models.NewDate(2026, 7, 1)
	for _, source := range []any{
		"2026-07-01", []byte("2026-07-01"), "2026-07-01T00:00:00Z", "2026-07-01 00:00:00+00:00",
		time.Date(2026, 7, 1, 0, 0, 0, 0, time.UTC),
	} {
		var got models.Date
		require.NoError(t, got.Scan(source), "%T", source)
		assert.Equal(t, want, got)
	}
	var d models.Date
	require.Error(t, d.Scan(7))
	require.Error(t, d.Scan("yesterday"))
	parsed, err := models.ParseDate("2026-12-31")
	require.NoError(t, err)
	assert.Equal(t, models.NewDate(2027, 1, 1), parsed.AddDays(1))
	assert.Equal(t, time.Thursday, parsed.Weekday())
	assert.True(t, parsed.Before(parsed.AddDays(1)))
}

func TestForecastSettings_AreKeptForPlans(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx := t.Context()
		none, err := models.ForecastSettingsOf(ctx, db)
		require.NoError(t, err)
		assert.Zero(t, none.Version)
		assert.Equal(t, pattern.DefaultRisk(), none.Risk())
		risk := pattern.DefaultRisk()
		risk.Breakage, risk.Late = 0, []pattern.DayChance{{Days: 0, Chance: 0.25}, {Days: 5, Chance: 0.75}}
		save := func(version int64) error {
			return db.Write(ctx, func(tx *models.Tx) error {
				return models.SaveForecastSettings(ctx, tx, version, risk, models.Actor{Name: "A"})
			})
		}
		require.NoError(t, save(0))
		risk.LeadMost = 2
		var stale *models.ErrStale
		require.ErrorAs(t, save(0), &stale, "somebody saved the first ones meanwhile")
		require.NoError(t, save(1))
		require.ErrorAs(t, save(1), &stale)
		firm, err := models.Snapshot(ctx, db, dbtest.Now)
		require.NoError(t, err)
		assert.Equal(t, risk, *firm.Risk)
	})
}
