package ledger

import "maps"

// planApplied plans a state after some lines were applied. Staying with the plan in force gives no days back when something came
// sooner: the work behind it holds its places. So where a line eases something, the work behind that is planned a second time
// without its issued places, and what it wins is the line's, if no GC date loses by it. Such work then stays released.
func (w *window) planApplied(s *state, lines ...int) (forecasts, error) {
	found, err := w.measure(s.problem())
	if err != nil || found == nil {
		return found, err
	}
	behind := w.behind(s, lines)
	if len(behind) == 0 {
		return found, nil
	}
	held := s.released
	s.released = maps.Clone(held)
	maps.Copy(s.released, behind)
	freed, err := w.measure(s.problem())
	if err != nil {
		return nil, err
	}
	if !w.wins(found, freed) {
		s.released = held
		return found, nil
	}
	return freed, nil
}

// behind are the tasks that the lines ease, and all that follow them by links.
func (w *window) behind(s *state, lines []int) map[string]bool {
	reached := map[string]bool{}
	var next []string
	reach := func(id string) {
		if !reached[id] {
			reached[id] = true
			next = append(next, id)
		}
	}
	for _, i := range lines {
		for _, p := range w.patches[i] {
			if p.eases {
				reach(p.about)
			}
		}
	}
	if len(next) == 0 {
		return nil
	}
	followers := map[string][]string{}
	for _, l := range w.in.Earlier.Links {
		followers[l.From] = append(followers[l.From], l.To)
	}
	for _, l := range s.links() {
		followers[l.From] = append(followers[l.From], l.To)
	}
	for len(next) > 0 {
		id := next[len(next)-1]
		next = next[:len(next)-1]
		for _, to := range followers[id] {
			reach(to)
		}
	}
	return reached
}

// wins reports whether a plan wins time on some GC date and loses none.
func (w *window) wins(before, after forecasts) bool {
	better := false
	for _, id := range w.dateIDs {
		was, had := before[id]
		is, has := after[id]
		if had && (!has || is.After(was)) {
			return false
		}
		better = better || had && is.Before(was)
	}
	return better
}
