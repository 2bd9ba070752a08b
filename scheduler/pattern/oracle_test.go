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

// links is the set of a problem's links, by their ends.
func links(p *problem.Problem) map[[2]string]bool {
	set := map[[2]string]bool{}
	for _, l := range p.Links {
		set[[2]string{l.From, l.To}] = true
	}
	return set
}

// handoverOver finds the handover that holds for an area the slow way: by asking every area around it, from the inside out.
func handoverOver(pr *pattern.Project, area string, c pattern.Condition) (string, bool) {
	for area != "" {
		for _, h := range pr.Handovers {
			if h.Area == area && h.Condition == c {
				return area, true
			}
		}
		parent := ""
		for _, a := range pr.Areas {
			if a.ID == area {
				parent = a.Parent
			}
		}
		area = parent
	}
	return "", false
}

// Every need, item and step of every opening, asked one by one of the firm's own rows, is a link of the problem.
func TestBuild_LinksWhatTheRowsSay(t *testing.T) {
	t.Parallel()
	needs := map[takeoff.Type]map[takeoff.Kind][]pattern.Condition{}
	for _, p := range pattern.DefaultPatterns(pattern.Settings{}) {
		needs[p.Type] = map[takeoff.Kind][]pattern.Condition{}
		for _, s := range p.Steps {
			for _, n := range s.Needs {
				if n.When == "" {
					needs[p.Type][s.Kind] = append(needs[p.Type][s.Kind], n.Condition)
				}
			}
		}
	}
	stepOf := map[pattern.Item]takeoff.Kind{
		pattern.FrameKit: takeoff.Frame, pattern.Glass: takeoff.Glaze, pattern.Leaf: takeoff.Hang, pattern.Hardware: takeoff.Hang,
	}
	rapid.Check(t, func(t *rapid.T) {
		f := aFirm(t)
		pr := &f.Projects[0]
		pr.Handovers = append(pr.Handovers,
			pattern.Handover{Area: "L2", Condition: pattern.CeilingClosed, Promised: ptr(at("2026-12-20 07:00"))},
			pattern.Handover{Area: "L2-E", Condition: pattern.WallsBoarded, Promised: ptr(at("2026-12-22 07:00"))})
		p, x, err := pattern.Build(f)
		require.NoError(t, err)
		set := links(p)
		for _, o := range pr.Openings {
			steps := x.OfOpening("NC", o.Mark)
			for i, e := range steps {
				if i > 0 && !e.Remake && !steps[i-1].Remake {
					assert.True(t, set[[2]string{string(steps[i-1].Key), string(e.Key)}], "%s follows %s", e.Key, steps[i-1].Key)
				}
				for _, c := range needs[o.Takeoff.Type][e.Kind] {
					if area, listed := handoverOver(pr, o.Area, c); listed && !e.Remake {
						assert.True(t, set[[2]string{string(pattern.HandoverTask("NC", area, c)), string(e.Key)}], "%s needs %s of %s", e.Key, c, area)
					}
				}
				for _, m := range o.Material {
					if stepOf[m.Item] == e.Kind && slices.Contains(e.Items, m.Item) && !e.Remake {
						assert.True(t, set[[2]string{string(pattern.DeliverTask("NC", m.Release, m.Drop)), string(e.Key)}], "%s needs %s by %s", e.Key, m.Item, m.Release)
					}
				}
			}
		}
		// And nothing else: every link between two openings' work joins steps of one opening.
		for _, l := range p.Links {
			from, _ := x.Find(l.From)
			to, _ := x.Find(l.To)
			if from.Opening != "" && to.Opening != "" {
				assert.Equal(t, from.Opening, to.Opening)
			}
		}
	})
}

// A date's tasks are those of the openings whose area, or an area around it, is the date's.
func TestBuild_GCDatesHoldTheOpeningsOfTheirArea(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f := aFirm(t)
		pr := &f.Projects[0]
		pr.Remakes = nil
		pr.GCDates = nil
		for _, area := range []string{"", "B", "L1", "L2", "L2-E"} {
			pr.GCDates = append(pr.GCDates, pattern.GCDate{ID: "in " + area, Area: area, Kind: takeoff.Frame, Date: at("2027-03-01 15:30")})
		}
		inside := map[string][]string{"": {"L1", "L2", "L2-E"}, "B": {"L1", "L2", "L2-E"}, "L1": {"L1"}, "L2": {"L2", "L2-E"}, "L2-E": {"L2-E"}}
		p, _, err := pattern.Build(f)
		require.NoError(t, err)
		for _, d := range pr.GCDates {
			var want []string
			for _, o := range pr.Openings {
				if slices.Contains(inside[d.Area], o.Area) {
					want = append(want, string(pattern.OpeningTask("NC", o.Mark, takeoff.Frame)))
				}
			}
			i := slices.IndexFunc(p.GCDates, func(g problem.GCDate) bool { return g.ID == pattern.GCDateID("NC", d.ID) })
			if len(want) == 0 {
				assert.Equal(t, -1, i, "a date without work is not planned for")
				continue
			}
			require.NotEqual(t, -1, i)
			assert.ElementsMatch(t, want, p.GCDates[i].Tasks)
		}
	})
}

// Every type has a usual pattern; each ends with the punch list, starts with the frame, and orders its steps as the trade does.
func TestDefaultPatterns_FollowTheOrderOfTheTrade(t *testing.T) {
	t.Parallel()
	patterns := pattern.DefaultPatterns(pattern.Settings{SealantCureMinutes: 2880})
	require.Len(t, patterns, len(takeoff.Types()))
	for i, p := range patterns {
		assert.Equal(t, takeoff.Types()[i], p.Type)
		last := -1
		for _, s := range p.Steps {
			at := slices.Index(takeoff.Kinds(), s.Kind)
			assert.Greater(t, at, last, "%s: %s", p.Type, s.Kind)
			last = at
		}
		assert.Equal(t, takeoff.Frame, p.Steps[0].Kind)
		assert.Equal(t, takeoff.Punch, p.Steps[len(p.Steps)-1].Kind)
		assert.Equal(t, 2880, p.Links[0].LagMinutes, "the firm's own cure time")
		covered := map[pattern.Item]bool{}
		for _, s := range p.Steps {
			for _, item := range s.Items {
				covered[item] = true
			}
		}
		assert.Len(t, covered, len(pattern.Items()), "%s needs every item somewhere", p.Type)
	}
}
