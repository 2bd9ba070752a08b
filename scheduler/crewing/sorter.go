package crewing

// sorter orders tasks by keys as far as links allow: again and again the ready task with the least key, ties by task
// index. It owns its scratch memory. O(tasks log tasks + links).
type sorter struct {
	waiting []int32     // per task: links from tasks that are not in yet
	heap    []TaskIndex // ready tasks, least key first
	list    []TaskIndex
}

// sort lists the model's open and started tasks. Tasks on a cycle are left out. The list is valid until the next call.
func (s *sorter) sort(m *Model, keys []int64) []TaskIndex {
	return s.sortLinked(m, keys, m.inFrom, m.outFrom, m.out)
}

// sortAhead is the same with regard to firm links only.
func (s *sorter) sortAhead(m *Model, keys []int64) []TaskIndex {
	return s.sortLinked(m, keys, m.firm.inFrom, m.firm.outFrom, m.firm.out)
}

// sortBackward is the same with every link turned round: followers come first.
func (s *sorter) sortBackward(m *Model, keys []int64) []TaskIndex {
	return s.sortLinked(m, keys, m.outFrom, m.inFrom, m.in)
}

func (s *sorter) sortLinked(m *Model, keys []int64, waitFrom, nextFrom []int32, next []link) []TaskIndex {
	n := m.Tasks()
	if cap(s.waiting) < n {
		s.waiting = make([]int32, n)
		s.heap = make([]TaskIndex, 0, n)
		s.list = make([]TaskIndex, 0, n)
	}
	s.waiting, s.heap, s.list = s.waiting[:n], s.heap[:0], s.list[:0]
	for t := range TaskIndex(n) {
		s.waiting[t] = waitFrom[t+1] - waitFrom[t]
		if s.waiting[t] == 0 {
			s.push(t, keys)
		}
	}
	for len(s.heap) > 0 {
		t := s.pop(keys)
		if m.state[t] == Open || m.state[t] == Started {
			s.list = append(s.list, t)
		}
		for i := nextFrom[t]; i < nextFrom[t+1]; i++ {
			other := next[i].task
			if s.waiting[other]--; s.waiting[other] == 0 {
				s.push(other, keys)
			}
		}
	}
	return s.list
}

func before(a, b TaskIndex, keys []int64) bool {
	return keys[a] < keys[b] || keys[a] == keys[b] && a < b
}

func (s *sorter) push(t TaskIndex, keys []int64) {
	s.heap = append(s.heap, t)
	i := len(s.heap) - 1
	for i > 0 {
		parent := (i - 1) / 2
		if !before(t, s.heap[parent], keys) {
			break
		}
		s.heap[i] = s.heap[parent]
		i = parent
	}
	s.heap[i] = t
}

func (s *sorter) pop(keys []int64) TaskIndex {
	top := s.heap[0]
	last := s.heap[len(s.heap)-1]
	s.heap = s.heap[:len(s.heap)-1]
	n := len(s.heap)
	if n == 0 {
		return top
	}
	i := 0
	for {
		child := 2*i + 1
		if child >= n {
			break
		}
		if child+1 < n && before(s.heap[child+1], s.heap[child], keys) {
			child++
		}
		if !before(s.heap[child], last, keys) {
			break
		}
		s.heap[i] = s.heap[child]
		i = child
	}
	s.heap[i] = last
	return top
}
