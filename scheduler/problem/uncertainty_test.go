package problem_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
)

func TestRead_NamesTheFaultsOfTheUncertaintyBlockAllAtOnce(t *testing.T) {
	t.Parallel()
	document := edit(t,
		`"pert": {"least": 10000, "likely": 14000, "most": 30000}`, `"pert": {"least": 10000, "likely": 9000, "most": 30000, "mode": 1}`,
		`"sigma": 0.25`, `"sigma": -0.25`,
		`"chances": [0.1, 0.6, 0.3]`, `"chances": [0.1, 0.6]`,
		`"chance": 0.04`, `"chance": 4`,
		`"causes": {"weather": 1}`, `"causes": {"wether": 1}`,
	)
	assert.Equal(t, []string{
		"uncertainty.spreads[0].minutes.pert.mode: unknown field; known here: least, likely, most",
		"uncertainty.spreads[0].minutes.pert: 10000, 9000, 30000 is not in the order least, likely, most",
		"uncertainty.spreads[1].factor.log_normal.sigma: -0.25 must lie in 0 to 3",
		"uncertainty.spreads[4].slip_minutes: 3 values and 2 chances; give each value its chance",
		`uncertainty.spreads[4].causes.wether: unknown cause "wether"; did you mean "weather"?`,
		"uncertainty.damages[0].chance: 4 must lie in 0 to 1",
	}, faultsOf(t, document))
}

func TestValidate_NamesTheFaultOfTheUncertaintyBlock(t *testing.T) {
	t.Parallel()
	one := func() *problem.Distribution {
		return &problem.Distribution{Values: []float64{1}, Chances: []float64{1}}
	}
	for _, row := range []struct {
		name   string
		change func(u *problem.Uncertainty)
		want   string
	}{
		{"cause twice", func(u *problem.Uncertainty) { u.Causes[1].ID = "Northlight" }, `uncertainty.causes[1].id: cause "Northlight" is already uncertainty.causes[0]`},
		{"spread twice", func(u *problem.Uncertainty) { u.Spreads[1].ID = "orders" }, `uncertainty.spreads[1].id: spread "orders" is already uncertainty.spreads[0]`},
		{"damage without a name", func(u *problem.Uncertainty) { u.Damages[0].ID = "" }, "uncertainty.damages[0].id: must not be blank"},
		{"of nothing", func(u *problem.Uncertainty) { u.Spreads[0].Tasks = nil }, `uncertainty.spreads[0]: "orders" is of nothing; say of which tasks or kinds it is`},
		{"unknown task", func(u *problem.Uncertainty) { u.Spreads[0].Tasks[0] = "ordre" }, `uncertainty.spreads[0].tasks[0]: unknown task "ordre"`},
		{"unknown kind", func(u *problem.Uncertainty) { u.Spreads[1].Kinds[0] = "frames" }, `uncertainty.spreads[1].kinds[0]: unknown kind of task "frames"; did you mean "frame"?`},
		{"unknown crew", func(u *problem.Uncertainty) { u.Spreads[3].Crews[0] = "birk" }, `uncertainty.spreads[3].crews[0]: unknown crew "birk"`},
		{"two quantities", func(u *problem.Uncertainty) { u.Spreads[0].Factor = one() }, `uncertainty.spreads[0]: spread "orders" gives 2 of them; give exactly one of minutes, factor and slip_minutes`},
		{"no quantity", func(u *problem.Uncertainty) { u.Spreads[0].Minutes = nil }, `uncertainty.spreads[0]: spread "orders" gives 0 of them; give exactly one of minutes, factor and slip_minutes`},
		{"crews and tasks", func(u *problem.Uncertainty) { u.Spreads[3].Tasks = []string{"cure"} }, `uncertainty.spreads[3].crews: "pace" is of crews and of tasks; write two entries`},
		{"minutes of a crew", func(u *problem.Uncertainty) { u.Spreads[3].Factor, u.Spreads[3].Minutes = nil, one() }, `uncertainty.spreads[3].crews: spread "pace" is of crews and varies minutes; give the pace of a crew as a factor`},
		{"task varied twice", func(u *problem.Uncertainty) { u.Spreads[2].Tasks = []string{"order"} }, `uncertainty.spreads[2].tasks[0]: task "order" is already in uncertainty.spreads[0]; one quantity has one entry`},
		{"kind varied twice", func(u *problem.Uncertainty) { u.Spreads[2].Kinds = []string{"glaze"} }, `uncertainty.spreads[2].kinds[0]: kind "glaze" is already in uncertainty.spreads[1]; one quantity has one entry`},
		{"nothing to slip", func(u *problem.Uncertainty) { u.Spreads[4].Tasks[0] = "glaze" }, `uncertainty.spreads[4].tasks[0]: task "glaze" has no not_before that could slip; give the task a not_before`},
		{"shares above 1", func(u *problem.Uncertainty) { u.Damages[0].Causes["weather"] = 0.9 }, "uncertainty.damages[0].causes: the shares add up to 1.1; all of a spread is 1"},
		{"share negative", func(u *problem.Uncertainty) { u.Spreads[0].Causes["Northlight"] = -1 }, "uncertainty.spreads[0].causes.Northlight: -1 must lie in 0 to 1"},
		{"length negative", func(u *problem.Uncertainty) { u.Spreads[0].Minutes.Pert.Least = -1 }, "uncertainty.spreads[0].minutes.pert.least: -1 must lie in 0 to 1.05408e+07"},
		{"factor too large", func(u *problem.Uncertainty) { u.Spreads[2].Factor.Triangular.Most = 2e6 }, "uncertainty.spreads[2].factor.triangular.most: 2e+06 must lie in 0 to 1e+06"},
		{"no number", func(u *problem.Uncertainty) { u.Spreads[3].Factor.Uniform.Most = math.NaN() }, "uncertainty.spreads[3].factor.uniform.most: NaN must lie in 0 to 1e+06"},
		{"turned round", func(u *problem.Uncertainty) { u.Spreads[3].Factor.Uniform.Most = 0.5 }, "uncertainty.spreads[3].factor.uniform: least 0.9 is more than most 0.5"},
		{"median 0", func(u *problem.Uncertainty) { u.Spreads[1].Factor.LogNormal.Median = 0 }, "uncertainty.spreads[1].factor.log_normal.median: 0 must be more than 0"},
		{"chances", func(u *problem.Uncertainty) { u.Spreads[4].SlipMinutes.Chances[0] = 0.2 }, "uncertainty.spreads[4].slip_minutes.chances: they add up to 1.1, not 1"},
		{"chance negative", func(u *problem.Uncertainty) { u.Spreads[4].SlipMinutes.Chances = []float64{-0.5, 1, 0.5} }, "uncertainty.spreads[4].slip_minutes.chances[0]: -0.5 must lie in 0 to 1"},
		{"two forms", func(u *problem.Uncertainty) { u.Spreads[4].SlipMinutes.Uniform = &problem.Range{} }, "uncertainty.spreads[4].slip_minutes: a distribution of 2 forms; give exactly one of triangular, pert, uniform, log_normal, and values with chances"},
		{"no form", func(u *problem.Uncertainty) { u.Spreads[3].Factor.Uniform = nil }, "uncertainty.spreads[3].factor: a distribution of 0 forms; give exactly one of triangular, pert, uniform, log_normal, and values with chances"},
		{"remake missing", func(u *problem.Uncertainty) { u.Damages[0].RemakeMinutes = nil }, "uncertainty.damages[0].remake_minutes: required field is missing"},
		{"remake calendar", func(u *problem.Uncertainty) { u.Damages[0].RemakeCalendar = "day" }, `uncertainty.damages[0].remake_calendar: unknown calendar "day"; did you mean "days"?`},
		{"rework", func(u *problem.Uncertainty) { u.Damages[0].Rework = new(-1.0) }, "uncertainty.damages[0].rework: -1 must lie in 0 to 1000000"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			p := fullProblem(t)
			row.change(p.Uncertainty)
			assert.Contains(t, texts(problem.Validate(p)), row.want)
		})
	}
}

func TestGoverning_NamesComeBeforeKinds(t *testing.T) {
	t.Parallel()
	p := fullProblem(t)
	entries := []problem.Spread{{Kinds: []string{"glaze", "frame"}}, {Tasks: []string{"glaze"}}}
	got := p.Governing(len(entries), func(i int) (tasks, kinds []string) { return entries[i].Tasks, entries[i].Kinds })
	want := map[string]int{"frame": 0, "glaze": 1}
	for i := range p.Tasks {
		entry, named := want[p.Tasks[i].ID]
		if !named {
			entry = -1
		}
		require.Equal(t, entry, got[i], p.Tasks[i].ID)
	}
}
