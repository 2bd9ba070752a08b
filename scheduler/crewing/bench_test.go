package crewing_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/crewing"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

func modelOf(t testing.TB, p *problem.Problem) *crewing.Model {
	compiled, err := network.Compile(p)
	require.NoError(t, err)
	return crewing.NewModel(compiled)
}

// BenchmarkGenerate measures serial generation in tasks a second, on documents with every feature and on plain ones.
func BenchmarkGenerate(b *testing.B) {
	for _, tasks := range []int{100, 1_500, 20_000, 85_000} {
		everything := problemtest.Everything(tasks)
		everything.Crews = max(4, min(60, tasks/150))
		plain := problemtest.Plain(tasks)
		plain.Crews = everything.Crews
		for name, options := range map[string]problemtest.Options{"everything": everything, "plain": plain} {
			b.Run(fmt.Sprintf("%s/%d", name, tasks), func(b *testing.B) {
				m := modelOf(b, problemtest.Random(1, options))
				w := crewing.NewWorkspace(m)
				list := w.Settle(crewing.DocumentOrder(m)).List()
				b.ReportAllocs()
				for b.Loop() {
					w.Generate(list)
				}
				b.ReportMetric(float64(len(list))*float64(b.N)/b.Elapsed().Seconds(), "tasks/s")
			})
		}
	}
}
