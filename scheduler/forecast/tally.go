package forecast

import (
	"jambwright/scheduler/crewing"
)

// tally counts what lies on the driving chains of a worker's samples. Counts of several workers add up to the same whatever
// sample went to which.
type tally struct {
	v         *varied
	m         *crewing.Model
	originals []crewing.TaskIndex // by task of the widened problem: the document's task that it belongs to
	tasks     [][]int32           // by GC date and task of the document: samples in which it drives the date
	causes    [][]int32           // by GC date and cause: samples in which something that it moves does

	turn      int32   // of the chain that is being counted
	seenTask  []int32 // by task: the last turn it was counted in
	seenCause []int32
}

func newTally(v *varied, m *crewing.Model, originals []crewing.TaskIndex, tasks int) *tally {
	t := &tally{
		v: v, m: m, originals: originals,
		tasks: make([][]int32, len(m.GCDates)), causes: make([][]int32, len(m.GCDates)),
		seenTask: make([]int32, tasks), seenCause: make([]int32, len(v.causes)),
	}
	for i := range t.tasks {
		t.tasks[i], t.causes[i] = make([]int32, tasks), make([]int32, len(v.causes))
	}
	return t
}

// chain counts the tasks and causes behind the finish of a GC date, back to the data date.
func (t *tally) chain(date int, last crewing.TaskIndex, s *crewing.Schedule) {
	t.turn++
	for task := last; task != crewing.None && t.m.StateOf(task) != crewing.Done; task = t.m.Driver(s, task) {
		if original := t.originals[task]; t.seenTask[original] != t.turn {
			t.seenTask[original] = t.turn
			t.tasks[date][original]++
		}
		t.count(date, t.v.causesOf[task])
		if crew := s.Crew[task]; crew != crewing.None {
			t.count(date, t.v.crewCauses[crew])
		}
	}
}

func (t *tally) count(date int, causes []int) {
	for _, c := range causes {
		if t.seenCause[c] != t.turn {
			t.seenCause[c] = t.turn
			t.causes[date][c]++
		}
	}
}

// add takes the counts of another worker.
func (t *tally) add(o *tally) {
	for date := range t.tasks {
		for i, n := range o.tasks[date] {
			t.tasks[date][i] += n
		}
		for i, n := range o.causes[date] {
			t.causes[date][i] += n
		}
	}
}
