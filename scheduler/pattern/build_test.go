package pattern_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/check"
	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

func TestBuild_EveryTypeHasItsSteps(t *testing.T) {
	t.Parallel()
	b := build(t, testFirm())
	for typ, want := range map[takeoff.Type][]takeoff.Kind{
		takeoff.SlidingFront: {takeoff.Frame, takeoff.Glaze, takeoff.Hang, takeoff.Punch},
		takeoff.HingedFront:  {takeoff.Frame, takeoff.Glaze, takeoff.Hang, takeoff.Punch},
		takeoff.FixedLight:   {takeoff.Frame, takeoff.Glaze, takeoff.Punch},
		takeoff.DoorFrame:    {takeoff.Frame, takeoff.Hang, takeoff.Punch},
		takeoff.Pair:         {takeoff.Frame, takeoff.Hang, takeoff.Punch},
		takeoff.Storefront:   {takeoff.Frame, takeoff.Glaze, takeoff.Punch},
	} {
		mark := marks[slices.Index(takeoff.Types(), typ)]
		var kinds []takeoff.Kind
		for _, e := range b.x.OfOpening("NC", mark) {
			kinds = append(kinds, e.Kind)
			assert.Equal(t, typ, e.Takeoff.Type)
			assert.Equal(t, *b.taskMinutes(string(e.Key)), e.Hours.Minutes)
		}
		assert.Equal(t, want, kinds, typ)
	}
}

func (b built) taskMinutes(id string) *int {
	t, _ := b.task(id)
	return t.LabourMinutes
}

func TestBuild_ADoorWithASidelightIsGlazedToo(t *testing.T) {
	t.Parallel()
	f := testFirm()
	o := &f.Projects[0].Openings[3]
	o.Takeoff.Sidelights = []takeoff.Sidelight{{Width: 18 * length.Inch}}
	o.Takeoff.Glass = glass()
	o.Material = append(o.Material, pattern.Material{Item: pattern.Glass, Release: "R2"})
	b := build(t, f)
	assert.True(t, b.linked("NC/D-104/frame", "NC/D-104/glaze"))
	assert.True(t, b.linked("NC/D-104/glaze", "NC/D-104/hang"))
	assert.False(t, b.linked("NC/D-104/frame", "NC/D-104/hang"), "the chain runs through the step that is there")
}

// The plan of a built firm satisfies the independent checker, and its dates follow from lead times and handovers.
func TestBuild_IsPlannedEndToEnd(t *testing.T) {
	t.Parallel()
	for name, firm := range map[string]pattern.Firm{"calm": testFirm(), "troubled": troubledFirm()} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p, x, err := pattern.Build(firm)
			require.NoError(t, err)
			made, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 30})
			require.NoError(t, err)
			assert.Empty(t, check.Plan(p, made))
			for _, u := range made.Unplanned {
				assert.Contains(t, u.Why, "wait", "%s", u.Task)
			}
			if name == "calm" {
				assert.Empty(t, made.Unplanned)
			}
			for i := range made.Tasks {
				task := &made.Tasks[i]
				e, ok := x.Find(task.ID)
				require.True(t, ok)
				if e.Kind == takeoff.Frame && task.Reason.Kind == problem.ReasonPredecessor {
					assert.NotContains(t, task.Reason.Ref, "/deliver", "a delivery is material, not a predecessor")
				}
			}
		})
	}
}

// Worked by hand for the sliding front alone. Data date Wednesday 25 November 2026, 06:00; all shifts 07:00-11:00 and
// 11:30-15:30. Survey 45 labour minutes by birch's three: 07:00 to 07:15. Order 36 minutes: 07:51. Lead 15 days of the shop:
// Wednesday 16 December 07:51. Unloading two bundles of frame, a leaf and a box of hardware at 3 minutes each after 30: 42 minutes,
// 08:33. Frame 435 labour minutes by three: 145 minutes, to 10:58. The glass follows framing: order 36 minutes around the
// half hour off to 12:04, lead 21 days of the clock to Wednesday 6 January 12:04.
func TestBuild_PlansTheFrontAsWorkedByHand(t *testing.T) {
	t.Parallel()
	f := oneFront()
	f.Crews = f.Crews[:1]
	p, _, err := pattern.Build(f)
	require.NoError(t, err)
	made, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 10})
	require.NoError(t, err)
	finish := map[string]string{}
	for _, task := range made.Tasks {
		finish[task.ID] = local(task.Finish)
	}
	for id, want := range map[string]string{
		"NC/L1/survey":   "Wed 2026-11-25 07:15",
		"NC/R1/order":    "Wed 2026-11-25 07:51",
		"NC/R1/lead":     "Wed 2026-12-16 07:51",
		"NC/R1/deliver":  "Wed 2026-12-16 08:33",
		"NC/D-101/frame": "Wed 2026-12-16 10:58",
		"NC/R2/order":    "Wed 2026-12-16 12:04",
		"NC/R2/lead":     "Wed 2027-01-06 12:04",
	} {
		assert.Equal(t, want, finish[id], id)
	}
	for _, task := range made.Tasks {
		switch task.ID {
		case "NC/D-101/frame":
			assert.Equal(t, problem.Reason{Kind: problem.ReasonMaterial, Ref: "NC/R1/deliver", Until: at("2026-12-16 08:33")}, utc(task.Reason))
		case "NC/L1/floor_finished":
			assert.Equal(t, problem.ReasonHandover, task.Reason.Kind)
		}
	}
}

func utc(r problem.Reason) problem.Reason {
	r.Until = r.Until.UTC()
	return r
}

func TestBuild_DoesNotDependOnTheOrderOfRows(t *testing.T) {
	t.Parallel()
	want, wantIndex, err := pattern.Build(troubledFirm())
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		f := troubledFirm()
		shuffle(&f, rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0)))
		got, index, err := pattern.Build(f)
		require.NoError(t, err)
		assert.Equal(t, want, got)
		assert.Equal(t, wantIndex, index)
	})
}

func shuffle(f *pattern.Firm, r *rand.Rand) {
	mix(r, f.Calendars)
	mix(r, f.Crews)
	mix(r, f.Limits)
	mix(r, f.Issued)
	pr := &f.Projects[0]
	mix(r, pr.Areas)
	mix(r, pr.Handovers)
	mix(r, pr.Suppliers)
	mix(r, pr.Releases)
	mix(r, pr.Remakes)
	mix(r, pr.Openings)
	mix(r, pr.GCDates)
	for i := range pr.Releases {
		mix(r, pr.Releases[i].Drops)
	}
}

func mix[T any](r *rand.Rand, rows []T) {
	r.Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
}

func TestBuild_LeavesTheFirmAsItWas(t *testing.T) {
	t.Parallel()
	f := troubledFirm()
	p, x, err := pattern.Build(f)
	require.NoError(t, err)
	p.Crews[0].Skills[0] = "changed"
	*p.Areas[0].MaxCrews = 99
	x.Tasks[0].Openings[0] = "changed"
	assert.Equal(t, troubledFirm(), f)
}

// aFirm draws a firm of some size: several levels, openings of all types, releases on every basis, states.
func aFirm(t *rapid.T) pattern.Firm {
	f := testFirm()
	pr := &f.Projects[0]
	pr.Releases[0].Basis = rapid.SampledFrom([]pattern.OrderBasis{pattern.FromDrawings, pattern.FromSurvey}).Draw(t, "frames from")
	pr.Releases[1].Basis = rapid.SampledFrom([]pattern.OrderBasis{pattern.FromDrawings, pattern.FromSurvey, pattern.AfterFraming}).Draw(t, "glass from")
	pr.Openings = nil
	n := rapid.IntRange(1, 30).Draw(t, "openings")
	for i := range n {
		typ := rapid.SampledFrom(takeoff.Types()).Draw(t, "type")
		o := pattern.Opening{
			Mark: fmt.Sprintf("O-%d", i), Area: rapid.SampledFrom([]string{"L1", "L2", "L2-E"}).Draw(t, "area"), Takeoff: geometry(typ),
			Powered:  rapid.Bool().Draw(t, "powered"),
			Material: []pattern.Material{{Item: pattern.FrameKit, Release: "R1"}, {Item: pattern.Leaf, Release: "R1"}, {Item: pattern.Hardware, Release: "R1"}, {Item: pattern.Glass, Release: "R2"}},
		}
		if rapid.Bool().Draw(t, "measured") {
			o.Measured = ptr(at("2026-11-20 11:00"))
		}
		pr.Openings = append(pr.Openings, o)
	}
	if rapid.Bool().Draw(t, "remake") {
		pr.Remakes = append(pr.Remakes, pattern.Remake{ID: "again", Opening: "O-0", Item: pattern.FrameKit, Supplier: "bay", Reported: at("2026-11-24 08:00")})
	}
	f.States = map[pattern.TaskKey]pattern.State{}
	for i := range n {
		switch rapid.IntRange(0, 4).Draw(t, "state") {
		case 0:
			f.States[pattern.OpeningTask("NC", fmt.Sprintf("O-%d", i), takeoff.Frame)] = pattern.State{Started: ptr(at("2026-11-24 08:00")), Crew: "birch"}
		case 1:
			f.States[pattern.OpeningTask("NC", fmt.Sprintf("O-%d", i), takeoff.Frame)] = pattern.State{Started: ptr(at("2026-11-24 08:00")), Finished: ptr(at("2026-11-24 10:00")), Crew: "alder"}
		case 2:
			f.States[pattern.OpeningTask("NC", fmt.Sprintf("O-%d", i), takeoff.Punch)] = pattern.State{Held: true, HoldCause: "no light"}
		}
	}
	return f
}

// Every opening has each of its steps; every task but those nothing can follow leads on to another one, and every task but
// those nothing precedes follows one; the problem is valid, which includes that no tasks wait for one another in a ring.
func TestBuild_LeavesNothingDangling(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f := aFirm(t)
		p, x, err := pattern.Build(f)
		require.NoError(t, err)
		require.Empty(t, problem.Validate(p))
		require.Len(t, x.Tasks, len(p.Tasks))
		follows, leads := map[string]bool{}, map[string]bool{}
		for _, l := range p.Links {
			leads[l.From], follows[l.To] = true, true
		}
		for _, e := range x.Tasks {
			id := string(e.Key)
			assert.True(t, leads[id] || e.Kind == takeoff.Punch, "%s leads to nothing", id)
			assert.True(t, follows[id] || e.Kind == pattern.Handovers || e.Kind == takeoff.Order || e.Kind == takeoff.Survey, "%s follows nothing", id)
		}
		for _, o := range f.Projects[0].Openings {
			steps := x.OfOpening("NC", o.Mark)
			for _, kind := range []takeoff.Kind{takeoff.Frame, takeoff.Punch} {
				assert.True(t, slices.ContainsFunc(steps, func(e *pattern.Entry) bool { return e.Kind == kind }), "%s has no %s", o.Mark, kind)
			}
		}
	})
}

func TestBuild_ReportsEveryFaultAtOnce(t *testing.T) {
	t.Parallel()
	f := testFirm()
	pr := &f.Projects[0]
	pr.Dock = "quay"
	pr.Areas[2].Parent = "roof"
	pr.Areas[2].MaxCrews = ptr(0)
	pr.Handovers[0].Area = "L9"
	pr.Handovers = append(pr.Handovers, pattern.Handover{Area: "L1", Condition: "survey"}, pr.Handovers[1])
	pr.Suppliers[0].Lead = pattern.LeadTime{Least: 5, Likely: 3, Most: 9}
	pr.Suppliers[1].Calendar = "moon"
	pr.Releases[0].Supplier = "nobody"
	pr.Releases[1].Basis = "by heart"
	pr.Releases = append(pr.Releases, pattern.Release{ID: "R1", Supplier: "ice"}, pattern.Release{ID: "R3", Supplier: "ice", Basis: pattern.AfterFraming})
	pr.Openings[0].Area = "L7"
	pr.Openings[1].Takeoff.Type = "trapdoor"
	pr.Openings[3].Material = []pattern.Material{{Item: pattern.FrameKit, Release: "R3"}, {Item: "putty", Release: "R1"}, {Item: pattern.Leaf, Release: "R8"}, {Item: pattern.Leaf, Release: "R1", Drop: 4}}
	pr.Openings[4].Mark = "D-104"
	pr.GCDates[0].Area = "L8"
	pr.GCDates[1].Kind = "paint"
	pr.Remakes = []pattern.Remake{{ID: "R1", Opening: "none", Supplier: "ice"}, {ID: "again", Opening: "D-104", Item: pattern.Glass, Supplier: "who"}}
	f.States = map[pattern.TaskKey]pattern.State{"no key": {}}
	f.Patterns = []pattern.Pattern{{Type: takeoff.Pair, Steps: []pattern.Step{{Kind: takeoff.Order}, {Kind: takeoff.Frame, When: "full moon"}}}}
	f.Rates.Rates = []takeoff.Rate{{Kind: takeoff.Hang, Driver: "mood"}}
	f.Rules.HeadRows = -1

	_, _, err := pattern.Build(f)
	var faults problem.Faults
	require.True(t, errors.As(err, &faults))
	text := faults.Error()
	for _, part := range []string{
		`its dock is the limit "quay"`, `inside "roof"`, `at most 0 crews`, `area "L9" does not exist`, `"survey" cannot name a condition`, `listed twice`,
		`lead time of 5, 3, 9 days`, `calendar "moon"`, `supplier "nobody"`, `basis "by heart"`, `NC release R1: two rows`,
		`area "L7"`, `"trapdoor" has no work pattern`, `item "putty"`, `release "R8"`, `drop 4 of release "R1"`,
		`NC opening D-104: two rows`, `area "L8"`, `kind "paint"`,
		`a release has the same name`, `opening "none"`, `supplier "who"`, `task key "no key"`, `step "order"`, `"full moon"`, `driver "mood"`, `head rows is -1`,
	} {
		assert.Contains(t, text, part)
	}
}

func TestBuild_NamesTheTaskOfAFaultThatOnlyTheDocumentShows(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.States = map[pattern.TaskKey]pattern.State{"NC/D-104/frame": {Started: ptr(at("2026-11-24 08:00")), Crew: "birch", RemainingMinutes: ptr(-5)}}
	_, _, err := pattern.Build(f)
	require.ErrorContains(t, err, "NC/D-104/frame status.remaining_minutes")
}

func TestBuild_AnEmptyFirmIsAnEmptyProblem(t *testing.T) {
	t.Parallel()
	p, x, err := pattern.Build(pattern.Firm{Zone: "America/Chicago", DataDate: at("2026-11-25 06:00")})
	require.NoError(t, err)
	assert.Empty(t, p.Tasks)
	assert.Empty(t, x.Tasks)
}

func TestBuild_OwnPatternsReplaceTheUsualOnes(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.Patterns = []pattern.Pattern{{
		Type: takeoff.DoorFrame,
		Steps: []pattern.Step{
			{Kind: takeoff.Frame, Items: []pattern.Item{pattern.FrameKit}},
			{Kind: takeoff.Hang, When: pattern.WithLeaves, Needs: []pattern.Need{{Condition: "paint_dry"}}, Items: []pattern.Item{pattern.Leaf}},
		},
		Links: []pattern.StepLink{{From: takeoff.Frame, To: takeoff.Hang, Type: problem.StartToStart, LagMinutes: 60, LagCalendar: pattern.SiteCalendar}},
	}}
	f.Projects[0].Handovers = append(f.Projects[0].Handovers, pattern.Handover{Area: "L1", Condition: "paint_dry", Promised: ptr(at("2027-01-04 07:00"))})
	b := build(t, f)
	assert.Contains(t, b.p.Links, problem.Link{From: "NC/D-104/frame", To: "NC/D-104/hang", Type: problem.StartToStart, LagMinutes: 60, LagCalendar: "site"})
	assert.NotContains(t, b.p.Links, problem.Link{From: "NC/D-104/frame", To: "NC/D-104/hang"}, "the pattern's own link replaces the chain's")
	assert.True(t, b.linked("NC/L1/paint_dry", "NC/D-104/hang"))
	_, punched := b.x.Find("NC/D-104/punch")
	assert.False(t, punched)
	assert.Contains(t, b.p.GCDates[0].Tasks, "NC/D-104/hang", "its last step stands for the whole")
}

// Four people where two find room and each further one is worth half: (2 + 2 x 0.5) / 4 = 0.75 of their pace. 300 labour
// minutes take 100 minutes, not 75.
func TestBuild_CrowdingSlowsLargeCrews(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.Crews[0].Heads = 4
	f.Crews[0].Productivity = map[string]float64{"frame": 1.2}
	f.Settings.Crowding = []pattern.Crowding{{Kind: takeoff.Hang, Room: 2, Extra: 0.5}, {Kind: takeoff.Frame, Room: 2, Extra: 0.5}}
	b := build(t, f)
	i := slices.IndexFunc(b.p.Crews, func(c problem.Crew) bool { return c.ID == "birch" })
	assert.Equal(t, map[string]float64{"frame": 0.9, "hang": 0.75}, b.p.Crews[i].Productivity)
	hang, _ := b.task("NC/D-104/hang")
	assert.Equal(t, 100, b.p.Crews[i].MinutesFor(hang))
	j := slices.IndexFunc(b.p.Crews, func(c problem.Crew) bool { return c.ID == "alder" })
	assert.Empty(t, b.p.Crews[j].Productivity, "two people have room")
	assert.Equal(t, map[string]float64{"frame": 1.2}, f.Crews[0].Productivity, "the firm is left as it was")

	f.Settings.Crowding = append(f.Settings.Crowding, pattern.Crowding{Kind: takeoff.Hang, Room: 0, Extra: 2})
	_, _, err := pattern.Build(f)
	assert.ErrorContains(t, err, "crowding of hang")
}

// Whatever is reported, the firm's problem can be planned and the independent checker agrees with the plan.
func TestBuild_RandomFirmsArePlannedAsTheCheckerWants(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		p, _, err := pattern.Build(aFirm(rt))
		require.NoError(rt, err)
		made, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 2})
		require.NoError(rt, err)
		require.Empty(rt, check.Plan(p, made))
	})
}

func TestBuild_AGCDateWithoutWorkIsNoted(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.Projects[0].GCDates = append(f.Projects[0].GCDates, pattern.GCDate{ID: "L2", Area: "L2", Date: at("2027-03-01 15:30")})
	b := build(t, f)
	assert.Len(t, b.p.GCDates, 2)
	assert.Contains(t, strings.Join(b.notes(pattern.NoteDropped), "\n"), "GC date L2 has no work in its area yet")
}

// BenchmarkBuild builds firms of up to 20 projects with 1,000 openings each.
func BenchmarkBuild(b *testing.B) {
	for _, projects := range []int{1, 20} {
		b.Run(fmt.Sprintf("%d_projects_of_1000", projects), func(b *testing.B) {
			f := testFirm()
			base := f.Projects[0]
			f.Projects = nil
			for i := range projects {
				pr := base
				pr.Code = fmt.Sprintf("P%02d", i)
				pr.Openings = nil
				for j := range 1000 {
					o := base.Openings[j%len(base.Openings)]
					o.Mark = fmt.Sprintf("O-%04d", j)
					pr.Openings = append(pr.Openings, o)
				}
				f.Projects = append(f.Projects, pr)
			}
			b.ReportAllocs()
			for b.Loop() {
				p, _, err := pattern.Build(f)
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(len(p.Tasks)), "tasks")
			}
		})
	}
}
