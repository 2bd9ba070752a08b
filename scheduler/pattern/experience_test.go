package pattern_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// hangTable is a table by which a leaf takes two labour hours and nothing else counts.
var hangTable = takeoff.Rates{Rates: []takeoff.Rate{{Kind: takeoff.Hang, Driver: takeoff.PerLeaf, Hours: 2}}}

func hung(crew string, pace float64, leaves float64, minutes int) pattern.Finished {
	return pattern.Finished{
		Kind: takeoff.Hang, Crew: crew, Pace: pace, ActualMinutes: minutes,
		Basis: takeoff.Basis{Type: takeoff.HingedFront, Quantities: map[takeoff.Driver]float64{takeoff.PerLeaf: leaves}},
	}
}

func learnFrom(t require.TestingT, finished []pattern.Finished, accepted ...pattern.Pace) []pattern.Experience {
	list, _, err := pattern.LearnFrom(takeoff.Prior{}, hangTable, finished, accepted)
	require.NoError(t, err)
	return list
}

func TestLearnFrom_NothingFinishedTeachesNothing(t *testing.T) {
	t.Parallel()
	assert.Empty(t, learnFrom(t, nil))
	list, skipped, err := pattern.LearnFrom(takeoff.Prior{}, hangTable, []pattern.Finished{hung("a", 1, 1, 0), {Kind: takeoff.Glaze, ActualMinutes: 60}}, nil)
	require.NoError(t, err)
	assert.Empty(t, list)
	assert.Equal(t, 2, skipped, "no hours reported; none expected")
}

// The normal model with known weights is a weighted mean of logarithms (A. Gelman et al., Bayesian Data Analysis, section 2.5,
// normal mean; formula from memory). Prior weight 5 at ln 1 = 0, ten tasks at ln 1.5: factor 1.5^(10/15). A crew that did
// none of them would start there; one that did all ten goes on from there to (5 x ln F + 10 x ln 1.5) / 15.
func TestLearnFrom_EqualsTheWeightedMeanOfLogarithms(t *testing.T) {
	t.Parallel()
	var finished []pattern.Finished
	for range 10 {
		finished = append(finished, hung("a", 1, 1, 180)) // 3 h where the table says 2
	}
	list := learnFrom(t, finished)
	require.Len(t, list, 2)
	kind, crew := list[0], list[1]
	assert.Empty(t, kind.Crew)
	assert.InDelta(t, math.Pow(1.5, 10.0/15), kind.Learned.Factor, 1e-12)
	assert.Equal(t, "a", crew.Crew)
	assert.InDelta(t, math.Exp((5*math.Log(kind.Learned.Factor)+10*math.Log(1.5))/15), crew.Learned.Factor, 1e-12)
	assert.InDelta(t, math.Log(kind.Learned.Factor), kind.Bias(), 1e-12, "plans reckon with the table")
	assert.Positive(t, kind.Learned.Predictive())
}

// A crew stated to work at 0.8 of the table's pace and that does so teaches nothing: its kind stays at 1, and plans are right.
func TestLearnFrom_TheStatedPaceIsNotLearnedTwice(t *testing.T) {
	t.Parallel()
	var finished []pattern.Finished
	for range 40 {
		finished = append(finished, hung("slow", 0.8, 2, 300)) // 4 h / 0.8 = 5 h
	}
	list := learnFrom(t, finished)
	require.Len(t, list, 2)
	assert.InDelta(t, 1, list[0].Learned.Factor, 1e-12)
	assert.InDelta(t, 1/0.8, list[1].Learned.Factor, 1e-12)
	assert.InDelta(t, 0, list[1].Bias(), 1e-12)
}

func TestLearnFrom_WhatWasAcceptedIsWhatPlansReckonWith(t *testing.T) {
	t.Parallel()
	rates := hangTable
	rates.Accepted = []takeoff.Accepted{{Kind: takeoff.Hang, Factor: 1.25}}
	finished := []pattern.Finished{hung("a", 1, 1, 150), hung("b", 1, 1, 150)}
	list, _, err := pattern.LearnFrom(takeoff.Prior{}, rates, finished, []pattern.Pace{{Kind: takeoff.Hang, Crew: "b", Factor: 1.4}})
	require.NoError(t, err)
	require.Len(t, list, 3)
	assert.InDelta(t, math.Pow(1.25, 2.0/7), list[0].Learned.Factor, 1e-12, "observations are held against the table alone")
	assert.Equal(t, []float64{1.25, 1.25, 1.4}, []float64{list[0].Planned, list[1].Planned, list[2].Planned})
}

func TestLearnFrom_PropertiesOfLearning(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		one := rapid.Custom(func(t *rapid.T) pattern.Finished {
			crew := rapid.SampledFrom([]string{"a", "b", ""}).Draw(t, "crew")
			return hung(crew, map[string]float64{"a": 1.25, "b": 0.8}[crew],
				float64(rapid.IntRange(1, 4).Draw(t, "leaves")), rapid.IntRange(10, 2000).Draw(t, "minutes"))
		})
		finished := rapid.SliceOfN(one, 1, 30).Draw(t, "finished")
		list := learnFrom(t, finished)
		assert.Equal(t, list, learnFrom(t, rapid.Permutation(finished).Draw(t, "shuffled")), "the order does not matter")

		// One wild task moves the kind's logarithm by no more than ln 3 + what there is, over the weight: the bound of the prior.
		wild := append(slices.Clone(finished), hung("", 1, 1, 100_000))
		moved := math.Log(learnFrom(t, wild)[0].Learned.Factor / list[0].Learned.Factor)
		assert.LessOrEqual(t, moved, 2*math.Log(3)/float64(5+len(wild))+1e-9)

		// Much data is the data: two thousand tasks that take 1.7 of the table end close to it.
		var many []pattern.Finished
		for range 2000 {
			many = append(many, hung("a", 1.25, 1, 204))
		}
		for _, e := range learnFrom(t, append(many, finished...)) {
			if e.Crew == "" || e.Crew == "a" {
				pace := map[string]float64{"": 1, "a": 1.25}[e.Crew]
				assert.InEpsilon(t, 1.7*1.25/pace, e.Learned.Factor, 0.05)
			}
		}
	})
}

// Accepting 1.5 for the kind and 1.2 for one crew: a 2-hour leaf is 180 labour minutes for all, and the crew of two does it in
// 2 h x 1.2 / 2 = 72 minutes, whatever its stated pace and the room it finds.
func TestBuild_AcceptedPacesReplaceTheStatedOnes(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.Rates = hangTable
	f.Rates.Accepted = []takeoff.Accepted{{Kind: takeoff.Hang, Factor: 1.5, Source: "accepted"}}
	f.Settings.Crowding = []pattern.Crowding{{Kind: takeoff.Hang, Room: 1, Extra: 0.5}}
	i := slices.IndexFunc(f.Crews, func(c problem.Crew) bool { return c.ID == "birch" })
	f.Crews[i].Productivity = map[string]float64{"hang": 0.7}
	f.Crews[i].Heads = 2
	f.Paces = []pattern.Pace{{Kind: takeoff.Hang, Crew: "birch", Factor: 1.2}}
	b := build(t, f)
	hang, _ := b.task("NC/D-104/hang")
	require.Equal(t, 180, *hang.LabourMinutes)
	at := slices.IndexFunc(b.p.Crews, func(c problem.Crew) bool { return c.ID == "birch" })
	assert.Equal(t, 72, b.p.Crews[at].MinutesFor(hang))

	f.Paces[0].Factor = 0
	_, _, err := pattern.Build(f)
	assert.ErrorContains(t, err, "pace of crew birch")
}

// A factor that was learned and accepted multiplies the hours of work that openings share as it does those of any other work: of a
// survey by labour, of an order and of unloading by the time they take. By hand, with a table of whole hours: six openings at an
// hour each and an hour of set-up are 7 h; accepted at 1.5, 10 h 30 min.
func TestBuild_AcceptedFactorsMultiplySharedWork(t *testing.T) {
	t.Parallel()
	f := testFirm()
	for _, kind := range []takeoff.Kind{takeoff.Survey, takeoff.Order, takeoff.Deliver} {
		f.Rates.Rates = append(f.Rates.Rates, takeoff.Rate{Kind: kind, Driver: takeoff.PerTask, Hours: 1}, takeoff.Rate{Kind: kind, Driver: takeoff.PerOpening, Hours: 1})
	}
	minutes := func() (survey, order, unload int) {
		b := build(t, f)
		order1, _ := b.task("NC/R1/order")
		unload1, _ := b.task("NC/R1/deliver")
		return *b.taskMinutes("NC/L1/survey"), *order1.DurationMinutes, *unload1.DurationMinutes
	}
	survey, order, unload := minutes()
	assert.Equal(t, []int{420, 420, 420}, []int{survey, order, unload})
	for _, kind := range []takeoff.Kind{takeoff.Survey, takeoff.Order, takeoff.Deliver} {
		f.Rates.Accepted = append(f.Rates.Accepted, takeoff.Accepted{Kind: kind, Factor: 1.5})
	}
	survey, order, unload = minutes()
	assert.Equal(t, []int{630, 630, 630}, []int{survey, order, unload})

	b := build(t, f)
	bases := b.x.Bases()
	assert.Equal(t, takeoff.SharedBasis(6, 0), bases["NC/L1/survey"])
	assert.Positive(t, bases["NC/R1/deliver"].Quantities[takeoff.PerPiece])
	assert.NotContains(t, bases, "NC/D-104/frame", "work on one opening is remembered by its takeoff")
	company := f.Rates.Company()
	for key, basis := range bases {
		k, err := pattern.TaskKey(key).Parse()
		require.NoError(t, err)
		e, _ := b.x.Find(key)
		assert.InDelta(t, e.Hours.Sum, company.HoursOn(k.Kind, basis).Hours, 1e-12, "by the table, what was learned left out")
	}

	// A crew that surveys in twice the table's hours is planned so, whatever its stated pace.
	f.Crews[0].Productivity = map[string]float64{"survey": 1.25}
	f.Paces = []pattern.Pace{{Kind: takeoff.Survey, Crew: "birch", Factor: 2}}
	p := build(t, f).p
	i := slices.IndexFunc(p.Crews, func(c problem.Crew) bool { return c.ID == "birch" })
	assert.InDelta(t, 0.75, p.Crews[i].ProductivityOf("survey"), 1e-9, "630 minutes / 0.75 = 840, twice 420")
}
