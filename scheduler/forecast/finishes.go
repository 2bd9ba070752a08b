package forecast

import (
	"math"
	"slices"

	"jambwright/scheduler/calendar"
)

// exactSamples is how many finishes of a GC date are kept one by one. Later ones are counted between those.
const exactSamples = 16_384

// finishes is the distribution of one GC date's finish over the samples so far, in bounded memory. The first exactSamples are
// kept, so that percentiles are exact order statistics. Those after are counted into the steps between the kept ones: a
// percentile is then the upper end of the step that holds it, which is wrong by one part in exactSamples of the samples at most.
type finishes struct {
	inOrder []calendar.Instant // of the first samples, by sample
	sorted  []calendar.Instant // the same, ascending
	counts  []int64            // later samples: by place in sorted, those at or before it and after the one before
	beyond  int64              // later samples after all kept ones
	latest  calendar.Instant   // of those
	fresh   []calendar.Instant // scratch
	total   int

	onTime      int
	unfinished  int
	lateMinutes int64 // sum over samples that are reached
}

// add takes the finishes of further samples, in the order of the samples. due is the GC date itself.
func (f *finishes) add(batch []calendar.Instant, due calendar.Instant) {
	for _, at := range batch {
		switch {
		case at == calendar.Never:
			f.unfinished++
		case at <= due:
			f.onTime++
		default:
			f.lateMinutes += int64(at - due)
		}
	}
	f.total += len(batch)
	kept := min(len(batch), exactSamples-len(f.sorted))
	f.keep(batch[:kept])
	for _, at := range batch[kept:] {
		f.count(at)
	}
}

// keep merges finishes into the sorted ones.
func (f *finishes) keep(batch []calendar.Instant) {
	if len(batch) == 0 {
		return
	}
	f.inOrder = append(f.inOrder, batch...)
	f.fresh = append(f.fresh[:0], batch...)
	slices.Sort(f.fresh)
	f.sorted = append(f.sorted, f.fresh...)
	i, j := len(f.sorted)-len(batch)-1, len(batch)-1
	for k := len(f.sorted) - 1; j >= 0; k-- {
		if i >= 0 && f.sorted[i] > f.fresh[j] {
			f.sorted[k] = f.sorted[i]
			i--
		} else {
			f.sorted[k] = f.fresh[j]
			j--
		}
	}
}

func (f *finishes) count(at calendar.Instant) {
	if f.counts == nil {
		f.counts = make([]int64, len(f.sorted))
	}
	place, _ := slices.BinarySearch(f.sorted, at)
	if place == len(f.sorted) {
		f.beyond++
		f.latest = max(f.latest, at)
		return
	}
	f.counts[place]++
}

// ranked is the finish of a rank, 1 the earliest.
func (f *finishes) ranked(rank int) calendar.Instant {
	rank = min(max(rank, 1), f.total)
	if f.counts == nil && f.beyond == 0 {
		return f.sorted[rank-1]
	}
	upTo := int64(0)
	for i, at := range f.sorted {
		if upTo += 1 + f.counts[i]; upTo >= int64(rank) {
			return at
		}
	}
	return f.latest
}

// percentile is the least finish by which at least the part p of the samples has finished.
func (f *finishes) percentile(p float64) calendar.Instant { return f.ranked(rankOf(f.total, p)) }

func rankOf(samples int, p float64) int { return int(math.Ceil(p*float64(samples) - 1e-9)) }

// interval is where the percentile p of the finish itself lies with 95 % confidence, whatever its distribution: the number of
// samples before it is binomial, so two order statistics enclose it (David and Nagaraja 2003, "Order statistics", section 7.1).
func (f *finishes) interval(p float64) (low, high calendar.Instant) {
	first, last := confidenceRanks(f.total, p)
	return f.ranked(first), f.ranked(last)
}

// confidenceRanks are the ranks whose order statistics enclose the percentile p with at least 95 % confidence where there
// are samples enough: at most 2.5 % of the chance lies on either side.
func confidenceRanks(samples int, p float64) (first, last int) {
	const tail = 0.025
	first, last = 1, samples
	sum := 0.0 // chance that fewer than k+1 samples lie before the percentile
	for k := 0; k < samples; k++ {
		sum += binomial(samples, k, p)
		if sum <= tail {
			first = k + 1
		}
		if sum >= 1-tail {
			return first, k + 1
		}
	}
	return first, last
}

// binomial is the chance of k successes of chance p in n tries.
func binomial(n, k int, p float64) float64 {
	ways, _ := math.Lgamma(float64(n + 1))
	hits, _ := math.Lgamma(float64(k + 1))
	misses, _ := math.Lgamma(float64(n - k + 1))
	return math.Exp(ways - hits - misses + float64(k)*math.Log(p) + float64(n-k)*math.Log1p(-p))
}
