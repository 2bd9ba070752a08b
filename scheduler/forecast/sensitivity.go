package forecast

import (
	"cmp"
	"math"
	"slices"

	"jambwright/scheduler/calendar"
)

// Sources that cannot be told from chance are not shown. With no effect at all, a rank correlation of n samples is nearly
// normal with standard deviation 1/sqrt(n); the limit is the one that the largest of all sources' stays under with 95 %
// confidence (Bonferroni).
func leastCorrelation(samples, sources int) float64 {
	return score(1-0.025/float64(max(1, sources))) / math.Sqrt(float64(samples))
}

// mostSensitivities is how many sources are listed for a GC date.
const mostSensitivities = 20

// effect is the sums that one source's effect on one GC date is made of.
type effect struct {
	product   float64 // of its grade and the finish's rank, both about their middle
	high, low float64 // sums of the finish in the source's worst and best fifth
	highs     int
	lows      int
}

// sensitivities measures every source against every GC date. The draws are made anew from the seed, sample by sample, so
// that nothing but the finishes has to be kept. O(samples x sources x dates); the first exactSamples count.
func (r *run) sensitivities() [][]Sensitivity {
	v := r.v
	sources := make([]Source, 0, len(v.causes)+len(v.quantities))
	keys := make([]uint64, 0, cap(sources))
	sources, keys = append(sources, v.causes...), append(keys, v.causeKeys...)
	for i := range v.quantities {
		if q := &v.quantities[i]; q.own > 0 || len(q.causes) == 0 {
			sources, keys = append(sources, q.of), append(keys, q.key)
		}
	}
	ranks, positions, deviations := r.finishRanks()
	effects := make([][]effect, len(r.dates))
	for d := range effects {
		effects[d] = make([]effect, len(sources))
	}
	samples := min(r.made, exactSamples)
	for sample := range samples {
		draws := drawsOf(r.o.Seed, sample)
		for s, key := range keys {
			grade := draws.grade(key)
			for d := range effects {
				if deviations[d] > 0 {
					effects[d][s].add(grade, ranks[d][sample], positions[d][sample])
				}
			}
		}
	}
	const gradeDeviation = 0.28867513459481287 // of a uniform number in (0, 1): 1 / sqrt(12)
	least := leastCorrelation(samples, len(sources))
	all := make([][]Sensitivity, len(r.dates))
	for d := range all {
		for s := range sources {
			e := &effects[d][s]
			correlation := e.product / float64(samples) / gradeDeviation / deviations[d]
			if deviations[d] == 0 || !(math.Abs(correlation) >= least) {
				continue
			}
			one := Sensitivity{Source: sources[s], RankCorrelation: max(-1, min(1, correlation)), Days: e.days() / r.dates[d].workday}
			if s < len(v.causes) {
				one.OnChain = float64(r.tally.causes[d][s]) / float64(r.made)
			}
			all[d] = append(all[d], one)
		}
		slices.SortStableFunc(all[d], func(a, b Sensitivity) int {
			return cmp.Compare(math.Abs(b.RankCorrelation), math.Abs(a.RankCorrelation))
		})
		all[d] = all[d][:min(len(all[d]), mostSensitivities)]
	}
	return all
}

func (e *effect) add(grade, rank, position float64) {
	e.product += (grade - 0.5) * rank
	switch {
	case grade > 0.8:
		e.high += position
		e.highs++
	case grade < 0.2:
		e.low += position
		e.lows++
	}
}

// days is the difference of the two means, in working minutes.
func (e *effect) days() float64 {
	if e.highs == 0 || e.lows == 0 {
		return 0
	}
	return e.high/float64(e.highs) - e.low/float64(e.lows)
}

// finishRanks are, per GC date and kept sample, the rank of its finish about the mean rank (ties share theirs) and the
// finish in working minutes; and per date the standard deviation of the ranks, 0 where all finishes are the same.
func (r *run) finishRanks() (ranks, positions [][]float64, deviations []float64) {
	ranks, positions, deviations = make([][]float64, len(r.dates)), make([][]float64, len(r.dates)), make([]float64, len(r.dates))
	for d := range r.dates {
		date := &r.dates[d]
		f := &date.finishes
		n := len(f.inOrder)
		ranks[d], positions[d] = make([]float64, n), make([]float64, n)
		sum := 0.0
		for sample, at := range f.inOrder {
			first, _ := slices.BinarySearch(f.sorted, at)
			behind, _ := slices.BinarySearch(f.sorted, at+1)
			rank := float64(first+behind-1)/2 - float64(n-1)/2
			ranks[d][sample] = rank
			positions[d][sample] = float64(date.position(at))
			sum += rank * rank
		}
		if n > 0 {
			deviations[d] = math.Sqrt(sum / float64(n))
		}
	}
	return ranks, positions, deviations
}

// position is an instant on the axis of the date's working time; what is never reached counts as the end of the horizon.
func (d *gcDate) position(at calendar.Instant) calendar.WorkMinutes {
	if at == calendar.Never {
		return d.calendar.Total()
	}
	return d.calendar.Position(at)
}
