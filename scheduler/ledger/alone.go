package ledger

import (
	"cmp"
	"slices"
)

// maxPairs bounds how many pairs of lines are planned together.
const maxPairs = 60

// told is the number of lines that can stand alone: all but the three of the rest.
func (w *window) told() int { return len(w.lines) - 3 }

// applied plans the earlier problem with some lines applied and nothing else.
func (w *window) applied(lines ...int) (forecasts, error) {
	s := w.earlierState()
	for _, i := range lines {
		for _, p := range w.patches[i] {
			p.apply(s)
		}
	}
	return w.planApplied(s, lines...)
}

// compareAlone plans every line alone, and together every two that move a date alone.
func (w *window) compareAlone() error {
	for i := range w.told() {
		found, err := w.applied(i)
		if err != nil {
			return err
		}
		w.alone = append(w.alone, found)
	}
	for _, pair := range w.candidates() {
		found, err := w.applied(pair[0], pair[1])
		if err != nil {
			return err
		}
		w.pairs[pair] = found
	}
	return nil
}

// effect is how far a plan of some lines moves a date from the earlier plan made again; 0 where either is unknown.
func (w *window) effect(id string, found forecasts) int {
	before, had := w.base[id]
	after, has := found[id]
	if !had || !has {
		return 0
	}
	return minutesBetween(before, after)
}

// candidates are the pairs of lines of different causes that both move some date later alone: those first that matter most.
func (w *window) candidates() [][2]int {
	type weighed struct {
		pair   [2]int
		weight int
	}
	var list []weighed
	for i := range w.told() {
		for k := i + 1; k < w.told(); k++ {
			if w.lines[i].Cause == w.lines[k].Cause {
				continue
			}
			weight := 0
			for _, id := range w.dateIDs {
				weight = max(weight, min(w.effect(id, w.alone[i]), w.effect(id, w.alone[k])))
			}
			if weight > 0 {
				list = append(list, weighed{[2]int{i, k}, weight})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b weighed) int { return cmp.Compare(b.weight, a.weight) })
	pairs := make([][2]int, 0, min(len(list), maxPairs))
	for _, c := range list[:min(len(list), maxPairs)] {
		pairs = append(pairs, c.pair)
	}
	return pairs
}

// concurrent lists the lines that could have moved a date over the same days as one line.
func (w *window) concurrent(id string, line int) (list []int) {
	for pair, together := range w.pairs {
		if pair[0] != line && pair[1] != line {
			continue
		}
		one, other := w.effect(id, w.alone[pair[0]]), w.effect(id, w.alone[pair[1]])
		if one > 0 && other > 0 && w.effect(id, together) < one+other {
			list = append(list, pair[0]+pair[1]-line)
		}
	}
	slices.Sort(list)
	return list
}
