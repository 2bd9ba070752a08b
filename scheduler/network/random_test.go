package network_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/network"
	"jambwright/scheduler/problemtest"
)

// Documents as a contractor would have them: real zones and shifts, several crews a kind, limits with calendars,
// absence, statuses, pins and holds all at once.
func TestCompute_AgreesWithRepeatedRelaxationOnWholeDocuments(t *testing.T) {
	t.Parallel()
	for seed := range uint64(4) {
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
			t.Parallel()
			c := mustCompile(t, problemtest.Random(seed, problemtest.Everything(8)))
			var w network.Workspace
			d := w.Compute(c)
			require.Empty(t, w.Unplaced(), "the slow implementation would search for ever")
			o := solveSlowly(c, 8)
			require.Equal(t, o.begin, d.EarlyBegin, "early begin")
			require.Equal(t, o.finish, d.EarlyFinish, "early finish")
			require.Equal(t, o.first, d.FirstStart, "first start")
			require.Equal(t, o.lateBegin, d.LateBegin, "late begin")
			require.Equal(t, o.lateFinish, d.LateFinish, "late finish")
			require.Equal(t, o.latest, d.LastFinish, "last finish")
			require.Equal(t, o.total, d.TotalFloat, "total float")
			require.Equal(t, o.free, d.FreeFloat, "free float")
		})
	}
}
