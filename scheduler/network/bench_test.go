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

// layered makes n tasks in layers of a hundred with three links for every two tasks, of all four relations, on five
// calendars; two tasks of three are crew work with two eligible crews each.
func layered(n int) *problem.Problem {
	const width = 100
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
		minutes := 30 + random.IntN(400)
		id := fmt.Sprintf("task %d", i)
		if i%3 == 0 {
			b.fixedOn(id, minutes, calendars[random.IntN(len(calendars))])
		} else {
			b.crewTask(id, minutes, nil)
			b.p.Tasks[i].Kind = fmt.Sprintf("kind %d", random.IntN(4))
		}
		for k := 0; k < 1+i%2 && i >= width; k++ {
			relation := problem.FinishToStart
			if random.IntN(10) == 0 {
				relation = []problem.LinkType{problem.StartToStart, problem.FinishToFinish, problem.StartToFinish}[random.IntN(3)]
			}
			lag := 0
			if random.IntN(4) == 0 {
				lag = random.IntN(200) - 50
			}
			from := max(0, i-width-random.IntN(width))
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
		b.Run(fmt.Sprintf("layered/%d", n), func(b *testing.B) {
			p := layered(n)
			b.ReportAllocs()
			b.ResetTimer()
			run(b, p)
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/task")
		})
	}
}

// reportHeap reports all memory in use, the problem document included.
func reportHeap(b *testing.B) {
	runtime.GC()
	var stats runtime.MemStats
	runtime.ReadMemStats(&stats)
	b.ReportMetric(float64(stats.HeapAlloc)/(1<<20), "heap-MB")
}
