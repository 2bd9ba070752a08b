package network_test

import (
	"fmt"
	"math/rand/v2"
	"runtime"
	"testing"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

// shape names how a benchmark's network hangs together: a task's predecessors lie between near and far places before it.
type shape struct {
	name      string
	near, far int
	minutes   int // longest task
}

var (
	layered = shape{name: "layered", near: 100, far: 200, minutes: 400} // layers of a hundred
	chain   = shape{name: "chain", near: 1, far: 2, minutes: 30}        // one after another
	wide    = shape{name: "wide", near: 5_000, far: 10_000, minutes: 400}
)

// problem makes n tasks with three links for every two tasks, one in ten not finish to start, a quarter with lags, on five
// calendars; two tasks of three are crew work with two eligible crews each.
func (s shape) problem(n int) *problem.Problem {
	random := rand.New(rand.NewPCG(7, uint64(n)))
	b := newBuilder().week("one shift", "07:00-12:00", "12:30-15:30").week("two shifts", "06:00-14:00", "14:00-22:00")
	b.week("short", "09:00-13:00").week("nights", "00:00-05:00", "21:00-24:00")
	calendars := []string{"one shift", "two shifts", "short", "nights", problem.Always}
	for i := range 8 {
		b.crew(fmt.Sprintf("crew %d", i), 2+i%2, func(crew *problem.Crew) {
			crew.Calendar = calendars[i/2]
			crew.Skills = []string{fmt.Sprintf("kind %d", i/2)}
		})
	}
	b.p.Tasks = make([]problem.Task, 0, n)
	b.p.Links = make([]problem.Link, 0, n*3/2)
	for i := range n {
		minutes := 5 + random.IntN(s.minutes)
		id := fmt.Sprintf("task %d", i)
		if i%3 == 0 {
			b.fixedOn(id, minutes, calendars[random.IntN(len(calendars))])
		} else {
			b.crewTask(id, minutes, nil)
			b.p.Tasks[i].Kind = fmt.Sprintf("kind %d", random.IntN(4))
		}
		for k := 0; k < 1+i%2 && i >= s.near; k++ {
			from := max(0, i-s.near-random.IntN(s.far-s.near))
			relation, lag := problem.FinishToStart, 0
			if random.IntN(10) == 0 {
				relation = []problem.LinkType{problem.StartToStart, problem.FinishToFinish, problem.StartToFinish}[random.IntN(3)]
			}
			if random.IntN(4) == 0 {
				lag = random.IntN(s.minutes/2) - s.minutes/8
			}
			b.relate(b.p.Tasks[from].ID, id, relation, lag, calendars[random.IntN(len(calendars))])
		}
	}
	return b.problem()
}

func BenchmarkCompile(b *testing.B) {
	forSizes(b, func(b *testing.B, p *problem.Problem) {
		for b.Loop() {
			if _, err := network.Compile(p); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func BenchmarkCompute(b *testing.B) {
	forSizes(b, func(b *testing.B, p *problem.Problem) {
		var w network.Workspace
		w.Compute(mustCompile(b, p))
		c := w.Compiled()
		for b.Loop() {
			w.Compute(c)
		}
		reportHeap(b)
		runtime.KeepAlive(&w)
	})
}

func BenchmarkUpdate_OneTask(b *testing.B) {
	forSizes(b, func(b *testing.B, p *problem.Problem) {
		var w network.Workspace
		w.Compute(mustCompile(b, p))
		t := w.Compiled().Order[w.Compiled().Tasks()*9/10]
		for i := 0; b.Loop(); i++ {
			w.SetRelease(t, w.Compiled().DataDate+calendar.Instant(i%2*600))
			w.Update()
		}
	})
}

func forSizes(b *testing.B, run func(*testing.B, *problem.Problem)) {
	for _, n := range []int{1_000, 10_000, 100_000, 1_000_000} {
		for _, s := range []shape{layered, chain, wide} {
			if n == 1_000_000 && s != layered {
				continue // a chain of a million tasks outlasts every horizon
			}
			b.Run(fmt.Sprintf("%s/%d", s.name, n), func(b *testing.B) {
				p := s.problem(n)
				b.ReportAllocs()
				b.ResetTimer()
				run(b, p)
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/task")
			})
		}
	}
}

// reportHeap reports all memory in use in megabytes, the problem document included.
func reportHeap(b *testing.B) {
	runtime.GC()
	var stats runtime.MemStats
	runtime.ReadMemStats(&stats)
	b.ReportMetric(float64(stats.HeapAlloc)/1e6, "heap-MB")
}
