package forecast

import (
	"context"
	"sync"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/crewing"
)

// sample makes samples in batches until the stopping rule is met. Workers share out a batch; what they made is taken in the
// order of the samples, so their number shows nowhere.
func (r *run) sample(ctx context.Context) error {
	workers := make([]*worker, r.o.Workers)
	for i := range workers {
		workers[i] = &worker{
			v: r.v, m: r.m, trial: crewing.NewTrial(r.m), policies: r.policies, seed: r.o.Seed, spread: r.o.Spread,
			causeScores: make([]float64, len(r.v.causes)), drawn: make([]chance, len(r.v.quantities)),
			tally: newTally(r.v, r.m, r.originals, len(r.p.Tasks)),
		}
	}
	batch := make([][]calendar.Instant, batchSize) // by sample: the finish of each date
	for i := range batch {
		batch[i] = make([]calendar.Instant, len(r.dates))
	}
	column := make([]calendar.Instant, 0, batchSize)
	for r.stopped == "" {
		n := min(batchSize, r.o.Most-r.made)
		if err := r.makeBatch(ctx, workers, batch[:n]); err != nil {
			return err
		}
		for d := range r.dates {
			column = column[:0]
			for i := range n {
				column = append(column, batch[i][d])
			}
			r.dates[d].finishes.add(column, r.dates[d].due)
		}
		r.made += n
		if r.o.Progress != nil {
			r.o.Progress(r.made, r.o.Most)
		}
		r.decide()
	}
	for _, w := range workers {
		r.tally.add(w.tally)
	}
	return nil
}

// makeBatch shares a batch out among the workers, each n-th sample to the same one. A cancelled context leaves it unfinished.
func (r *run) makeBatch(ctx context.Context, workers []*worker, batch [][]calendar.Instant) error {
	work := func(w int) {
		for i := w; i < len(batch) && ctx.Err() == nil; i += len(workers) {
			workers[w].make(r.made+i, batch[i])
		}
	}
	if len(workers) == 1 {
		work(0)
		return ctx.Err()
	}
	var all sync.WaitGroup
	for w := range workers {
		all.Go(func() { work(w) })
	}
	all.Wait()
	return ctx.Err()
}

// decide stops when every P80 is settled, or when there are samples enough.
func (r *run) decide() {
	if r.made >= r.o.Least {
		settled := true
		for d := range r.dates {
			if _, ok := r.dates[d].p80Width(); !ok {
				settled = false
				break
			}
		}
		if settled {
			r.stopped = Settled
			return
		}
	}
	if r.made >= r.o.Most {
		r.stopped = AllSamples
	}
}

// p80Width is how far apart the ends of the P80's confidence interval are, in working minutes, and whether that is half a
// working day at most. A date that the plan does not finish has nothing to settle.
func (d *gcDate) p80Width() (minutes calendar.WorkMinutes, settled bool) {
	if !d.planned {
		return 0, true
	}
	low, high := d.finishes.interval(0.8)
	if high == calendar.Never {
		return 0, low == calendar.Never
	}
	minutes = d.calendar.Count(low, high)
	return minutes, 2*float64(minutes) <= d.workday
}
