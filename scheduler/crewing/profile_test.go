package crewing

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/calendar"
)

// The second implementation counts minute by minute.
func TestProfile_AgreesWithACountOfMinutes(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		const span = 60
		const capacity = 3
		var p profile
		p.reset()
		var used [span]int32
		type held struct {
			from, to calendar.Instant
			units    int32
		}
		var all []held
		for range rapid.IntRange(0, 25).Draw(t, "operations") {
			if len(all) > 0 && rapid.IntRange(0, 3).Draw(t, "give back") == 0 {
				last := all[len(all)-1]
				all = all[:len(all)-1]
				p.add(last.from, last.to, -last.units)
				for at := last.from; at < last.to; at++ {
					used[at] -= last.units
				}
				continue
			}
			from := calendar.Instant(rapid.IntRange(0, span-1).Draw(t, "from"))
			to := from + calendar.Instant(rapid.IntRange(0, int(span-from)).Draw(t, "minutes"))
			units := int32(rapid.IntRange(1, capacity).Draw(t, "units"))

			wantUntil, wantFrom := from, to
			for at := from; at < to; at++ {
				if used[at]+units > capacity {
					for end := at; end < span && used[end] == used[at]; end++ {
						wantUntil = end + 1
					}
					if wantFrom == to {
						for wantFrom = at; wantFrom > 0 && used[wantFrom-1] == used[at]; wantFrom-- {
						}
					}
				}
			}
			require.Equal(t, wantUntil, p.blockedUntil(from, to, units, capacity))
			require.Equal(t, wantFrom, p.blockedFrom(from, to, units, capacity))
			if wantUntil == from {
				p.add(from, to, units)
				all = append(all, held{from, to, units})
				for at := from; at < to; at++ {
					used[at] += units
				}
			}
		}
		for i := 1; i < len(p.times); i++ {
			require.Less(t, p.times[i-1], p.times[i])
			require.NotEqual(t, p.used[i-1], p.used[i], "equal neighbours are merged")
		}
	})
}
