package pattern_test

import (
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/check"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// garbage draws rows with dates in any order that contradict one another as they like. Unless they are sound, some refer to
// what does not exist, and some numbers are below zero.
type garbage struct {
	t     *rapid.T
	sound bool
}

func (g garbage) name(what string, names ...string) string {
	if !g.sound {
		names = append(names, "", "nowhere")
	}
	return rapid.SampledFrom(names).Draw(g.t, what)
}

// date is nil, or a day before or after the data date.
func (g garbage) date(what string) *time.Time {
	if rapid.Bool().Draw(g.t, what+" known") {
		return nil
	}
	return ptr(at("2026-11-25 07:00").Add(time.Duration(rapid.IntRange(-60, 60).Draw(g.t, what)) * 24 * time.Hour))
}

func (g garbage) number(what string) int {
	if g.sound {
		return rapid.IntRange(1, 4).Draw(g.t, what)
	}
	return rapid.IntRange(-1, 4).Draw(g.t, what)
}

// rename gives rows names of their own where the rows must be sound, and may repeat them where not.
func (g garbage) rename(prefix string, i int) string {
	if g.sound {
		return prefix + strconv.Itoa(i)
	}
	return g.name(prefix, prefix+"0", "R1", "D-101")
}

func (g garbage) drop() int {
	if g.sound {
		return 1
	}
	return g.number("drop")
}

func (g garbage) firm() pattern.Firm {
	f := testFirm()
	pr := &f.Projects[0]
	marks := []string{"D-101", "W-103", "S-106"}
	areas := []string{"B", "L1", "L2", "L2-E"}
	if g.sound {
		pr.Handovers = nil
	}
	for i := range g.number("handovers") {
		area, condition := areas[i], "walls_boarded"
		if !g.sound {
			area, condition = g.name("area", areas...), g.name("condition", "walls_boarded", "frame", "dry", "deliver.2")
		}
		pr.Handovers = append(pr.Handovers, pattern.Handover{
			Area: area, Condition: pattern.Condition(condition),
			Promised: g.date("promised"), Forecast: g.date("forecast"), Actual: g.date("actual"),
		})
	}
	for i := range g.number("releases") {
		pr.Releases = append(pr.Releases, pattern.Release{
			ID: g.rename("S", i), Supplier: g.name("supplier", "bay", "ice"), Basis: pattern.OrderBasis(g.name("basis", "survey", "after_framing")),
			Ordered: g.date("ordered"), Drops: []pattern.Drop{{Number: g.drop(), Promised: g.date("arrival"), Received: g.date("received")}},
		})
	}
	for i := range g.number("remakes") {
		pr.Remakes = append(pr.Remakes, pattern.Remake{
			ID: g.rename("again", i), Opening: g.name("opening", marks...), Item: pattern.Item(g.name("item", "glass", "leaf", "frame_kit")),
			Supplier: g.name("supplier", "bay"), Reported: at("2026-11-24 08:00"), Ordered: g.date("ordered"), Promised: g.date("promised"), Received: g.date("received"),
		})
	}
	for i := range pr.Openings {
		o := &pr.Openings[i]
		o.Area = g.name("area", areas...)
		o.Takeoff.Leaves, o.Takeoff.Lights = g.number("leaves"), g.number("lights")
		o.Material = append(o.Material, pattern.Material{
			Item: pattern.Item(g.name("item", "glass", "leaf")), Release: g.name("release", "R1", "R2", "S0"), Drop: g.drop(), OnSite: rapid.Bool().Draw(g.t, "on site"),
		})
	}
	f.States, f.Pins = map[pattern.TaskKey]pattern.State{}, map[pattern.TaskKey]problem.Pin{}
	for range g.number("states") {
		key := pattern.OpeningTask("NC", g.name("mark", marks...), takeoff.Kind(g.name("kind", "frame", "glaze", "punch")))
		f.States[key] = pattern.State{
			Started: g.date("started"), Finished: g.date("finished"), Crew: g.name("crew", "birch"), RemainingMinutes: ptr(g.number("left")),
			Held: rapid.Bool().Draw(g.t, "held"), HeldUntil: g.date("until"),
		}
		f.Pins[key] = problem.Pin{Crew: g.name("crew", "birch", "alder"), Start: g.date("pin")}
	}
	return f
}

// Whatever rows come in, building them ends in faults or in a valid problem, never in a panic.
func TestBuild_TakesAnyRowsToFaultsOrToAValidProblem(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p, x, err := pattern.Build(garbage{t: t}.firm())
		if err != nil {
			require.Nil(t, p)
			require.NotEmpty(t, err.Error())
			return
		}
		require.Empty(t, problem.Validate(p))
		require.Len(t, x.Tasks, len(p.Tasks))
	})
}

// As long as every name leads somewhere, no report, no date and no size stops the plan of the firm.
func TestBuild_NoReportStopsThePlan(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		p, _, err := pattern.Build(garbage{t: rt, sound: true}.firm())
		require.NoError(rt, err)
		made, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 2})
		require.NoError(rt, err)
		require.Empty(rt, check.Plan(p, made))
	})
}
