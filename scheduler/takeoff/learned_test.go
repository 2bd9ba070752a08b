package takeoff

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func learn(t require.TestingT, p Prior, o ...Observation) Learned {
	l, err := Learn(p, o)
	require.NoError(t, err)
	return l
}

func TestLearn_WithoutObservationsIsThePrior(t *testing.T) {
	t.Parallel()
	l := learn(t, Prior{})
	assert.Equal(t, 0, l.Count)
	assert.InDelta(t, 1, l.Factor, 1e-12)
	assert.InDelta(t, 0.3, l.Spread, 1e-12)
	assert.InDelta(t, 0.3/math.Sqrt(5), l.FactorSpread, 1e-12)
}

// Worked by hand after the conjugate update of Gelman et al., Bayesian Data Analysis, section 3.3 (formulas from memory):
// prior mean 0, weight 5, spread 0.3 of weight 5; observations of twice and four times the hours, so logarithms ln 2 and
// 2 ln 2, mean 1.5 ln 2 = 1.039721, squares 2 x (0.5 ln 2)^2 = 0.240227.
//
//	weight 7, centre 2 x 1.039721 / 7 = 0.297063, factor 1.345900
//	sum 5 x 0.09 + 0.240227 + 5 x 2 / 7 x 1.039721^2 = 0.45 + 0.240227 + 1.544313 = 2.234540
//	freedom 7, spread sqrt(2.234540 / 7) = 0.564997; of the factor 0.564997 / sqrt(7) = 0.213549
func TestLearn_EqualsTheHandCalculation(t *testing.T) {
	t.Parallel()
	l := learn(t, Prior{Bound: 10}, Observation{Actual: 8, Planned: 4}, Observation{Actual: 8, Planned: 2})
	assert.InDelta(t, math.Sqrt(8), l.Mean, 1e-9)
	assert.InDelta(t, 1.345900, l.Factor, 1e-5)
	assert.InDelta(t, 0.564997, l.Spread, 1e-5)
	assert.InDelta(t, 0.213549, l.FactorSpread, 1e-5)
	assert.Equal(t, 7.0, l.Freedom)
}

// The closed form against brute force: the posterior of mean and variance summed over a fine grid, by the normal density of
// each observation and the densities of the prior.
func TestLearn_AgreesWithThePosteriorSummedOverAGrid(t *testing.T) {
	t.Parallel()
	prior := Prior{Factor: 1.2, Weight: 3, Spread: 0.25, SpreadWeight: 6, Bound: 100}
	observations := []Observation{{3, 2}, {5, 4}, {1, 1.3}, {7, 4}}
	l := learn(t, prior, observations...)

	var total, meanSum, inverseSum float64
	for mu := -1.5; mu < 2; mu += 0.005 {
		for logVariance := -7.0; logVariance < 2; logVariance += 0.01 {
			variance := math.Exp(logVariance)
			// inverse gamma of shape SpreadWeight/2 and scale SpreadWeight x Spread^2 / 2, by d(log variance)
			density := -(prior.SpreadWeight/2)*logVariance - prior.SpreadWeight*prior.Spread*prior.Spread/2/variance
			density += normalLog(mu, math.Log(prior.Factor), variance/prior.Weight)
			for _, o := range observations {
				density += normalLog(math.Log(o.Actual/o.Planned), mu, variance)
			}
			w := math.Exp(density)
			total += w
			meanSum += w * mu
			inverseSum += w / variance
		}
	}
	assert.InDelta(t, meanSum/total, math.Log(l.Factor), 1e-3)
	// Of an inverse gamma the mean of 1/variance is shape/scale: one over the learned spread squared.
	assert.InEpsilon(t, inverseSum/total, 1/(l.Spread*l.Spread), 1e-3)
}

func normalLog(x, mean, variance float64) float64 {
	return -0.5*math.Log(variance) - (x-mean)*(x-mean)/(2*variance)
}

func TestLearn_BoundsWhatOneTaskCanDo(t *testing.T) {
	t.Parallel()
	wild := learn(t, Prior{}, Observation{Actual: 900, Planned: 3})
	atBound := learn(t, Prior{}, Observation{Actual: 9, Planned: 3})
	assert.Equal(t, 1, wild.Bounded)
	assert.Equal(t, 0, atBound.Bounded)
	assert.InDelta(t, atBound.Factor, wild.Factor, 1e-12)
	assert.Less(t, wild.Factor, 1.21, "3 to the power of 1/6")
}

func TestLearn_ACrewStartsFromWhatTheFirmLearned(t *testing.T) {
	t.Parallel()
	slow := []Observation{{6, 4}, {6, 4}, {6, 4}, {6, 4}, {6, 4}, {6, 4}, {6, 4}, {6, 4}, {6, 4}, {6, 4}}
	firm := learn(t, Prior{}, slow...)
	crew := learn(t, firm.Prior(Prior{}))
	assert.InDelta(t, firm.Factor, crew.Factor, 1e-12)
	assert.InDelta(t, math.Pow(1.5, 10.0/15), firm.Factor, 1e-12)
	quick := learn(t, firm.Prior(Prior{}), Observation{Actual: 3, Planned: 4})
	assert.Less(t, quick.Factor, firm.Factor)
	assert.Greater(t, quick.Factor, 0.75)
}

func TestLearn_RefusesWhatIsNoObservation(t *testing.T) {
	t.Parallel()
	for _, o := range []Observation{{0, 1}, {1, 0}, {-1, 2}, {math.NaN(), 1}, {math.Inf(1), 1}} {
		_, err := Learn(Prior{}, []Observation{{1, 1}, o})
		assert.ErrorContains(t, err, "observation 2")
	}
	_, err := Learn(Prior{Weight: -1}, nil)
	assert.Error(t, err)
	_, err = Learn(Prior{Bound: 0.5}, nil)
	assert.Error(t, err)
}

func TestLearn_ShrinksBetweenPriorAndDataAndIgnoresTheirOrder(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		hours := rapid.Float64Range(0.1, 40)
		observations := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Observation {
			return Observation{Actual: hours.Draw(t, "actual"), Planned: hours.Draw(t, "planned")}
		}), 1, 40).Draw(t, "observations")
		l := learn(t, Prior{}, observations...)
		const hair = 1e-9
		assert.GreaterOrEqual(t, l.Factor, min(1, l.Mean)-hair)
		assert.LessOrEqual(t, l.Factor, max(1, l.Mean)+hair)
		assert.Equal(t, l, learn(t, Prior{}, rapid.Permutation(observations).Draw(t, "shuffled")...))

		// More weight on the table keeps the factor nearer to it.
		steadfast := learn(t, Prior{Weight: 50}, observations...)
		assert.LessOrEqual(t, math.Abs(math.Log(steadfast.Factor)), math.Abs(math.Log(l.Factor))+hair)
	})
}
