package pattern_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

func steps(kinds ...takeoff.Kind) (list []pattern.Step) {
	for _, k := range kinds {
		list = append(list, pattern.Step{Kind: k})
	}
	return list
}

func TestRing_ListsItsStepsInOrder(t *testing.T) {
	t.Parallel()
	all := steps(takeoff.Frame, takeoff.Glaze, takeoff.Hang, takeoff.Punch)
	for _, p := range pattern.DefaultPatterns(pattern.Settings{}) {
		assert.Nil(t, p.Ring(), "%s", p.Type)
	}
	back := pattern.Pattern{Steps: all, Links: []pattern.StepLink{{From: takeoff.Punch, To: takeoff.Glaze}}}
	assert.Equal(t, []takeoff.Kind{takeoff.Glaze, takeoff.Hang, takeoff.Punch, takeoff.Glaze}, back.Ring())
	start := pattern.Pattern{Steps: all, Links: []pattern.StepLink{{From: takeoff.Hang, To: takeoff.Frame, Type: problem.StartToStart}}}
	assert.Equal(t, []takeoff.Kind{takeoff.Frame, takeoff.Glaze, takeoff.Hang, takeoff.Frame}, start.Ring())
	itself := pattern.Pattern{Steps: all, Links: []pattern.StepLink{{From: takeoff.Frame, To: takeoff.Frame}}}
	assert.Equal(t, []takeoff.Kind{takeoff.Frame, takeoff.Frame}, itself.Ring())

	// Glazing is of openings with panes only: without them punch work follows framing at once, and the ring is shorter or none.
	some := pattern.Pattern{Steps: []pattern.Step{{Kind: takeoff.Frame}, {Kind: takeoff.Glaze, When: pattern.WithPanes}}, Links: []pattern.StepLink{
		{From: takeoff.Glaze, To: takeoff.Frame, When: pattern.WhenPowered},
	}}
	assert.Equal(t, []takeoff.Kind{takeoff.Frame, takeoff.Glaze, takeoff.Frame}, some.Ring())
}

// Whatever the pattern: where it has no ring a firm whose openings go by it is built, and where it has one the fault of it
// says so.
func TestRing_IsWhatTheDocumentRefuses(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		kinds := rapid.Permutation([]takeoff.Kind{takeoff.Frame, takeoff.Glaze, takeoff.Hang, takeoff.Punch}).Draw(t, "order")
		p := pattern.Pattern{Type: takeoff.HingedFront, Steps: steps(kinds[:rapid.IntRange(1, 4).Draw(t, "steps")]...)}
		for range rapid.IntRange(0, 3).Draw(t, "links") {
			from := rapid.SampledFrom(p.Steps).Draw(t, "from").Kind
			to := rapid.SampledFrom(p.Steps).Draw(t, "to").Kind
			p.Links = append(p.Links, pattern.StepLink{
				From: from, To: to, Type: rapid.SampledFrom([]problem.LinkType{"", problem.StartToStart, problem.FinishToFinish}).Draw(t, "type"),
				When: rapid.SampledFrom([]pattern.When{"", pattern.WithPanes, pattern.WhenPowered}).Draw(t, "when"),
			})
		}
		f := testFirm()
		f.Patterns = []pattern.Pattern{p}
		_, _, err := pattern.Build(f)
		if p.Ring() == nil {
			require.NoError(t, err)
			return
		}
		require.Error(t, err)
		var names []string
		for _, k := range p.Ring() {
			names = append(names, string(k))
		}
		require.Contains(t, err.Error(), "ring")
		require.Contains(t, err.Error(), names[0])
		require.True(t, slices.Contains(names, names[0]))
	})
}
