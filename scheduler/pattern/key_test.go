package pattern_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

func TestTaskKey_ReadsAsTheTradeWritesIt(t *testing.T) {
	t.Parallel()
	for want, got := range map[pattern.TaskKey]pattern.TaskKey{
		"NC/L2/survey":          pattern.SurveyTask("NC", "L2"),
		"NC/L2/walls_boarded":   pattern.HandoverTask("NC", "L2", pattern.WallsBoarded),
		"NC/R3/order":           pattern.OrderTask("NC", "R3"),
		"NC/R3/lead":            pattern.LeadTask("NC", "R3", 1),
		"NC/R3/deliver":         pattern.DeliverTask("NC", "R3", 0),
		"NC/R3/deliver.2":       pattern.DeliverTask("NC", "R3", 2),
		"NC/D-204/frame":        pattern.OpeningTask("NC", "D-204", takeoff.Frame),
		"A%2FB/100%25%2F2/hang": pattern.OpeningTask("A/B", "100%/2", takeoff.Hang),
	} {
		assert.Equal(t, want, got)
	}
}

func TestTaskKey_ParsesBackToWhatItWasMadeOf(t *testing.T) {
	t.Parallel()
	kinds := append(takeoff.Kinds(), pattern.Lead)
	rapid.Check(t, func(t *rapid.T) {
		k := pattern.Key{
			Project: rapid.StringN(1, 8, -1).Draw(t, "project"),
			Subject: rapid.StringN(1, 8, -1).Draw(t, "subject"),
			Kind:    rapid.SampledFrom(kinds).Draw(t, "kind"),
		}
		if k.Kind == pattern.Lead || k.Kind == takeoff.Deliver {
			k.Drop = rapid.IntRange(1, 99).Draw(t, "drop")
		}
		got, err := k.Task().Parse()
		require.NoError(t, err)
		assert.Equal(t, k, got)
	})
}

func TestTaskKey_RefusesWhatIsNone(t *testing.T) {
	t.Parallel()
	for _, key := range []pattern.TaskKey{"", "NC", "NC/D-1", "NC/D-1/", "/D-1/frame", "NC/D-1/frame/again", "NC/R1/deliver.1", "NC/R1/deliver.x", "NC/R1/order.2", "NC/R1/deliver.02"} {
		_, err := key.Parse()
		assert.Error(t, err, "%q", key)
	}
}

func FuzzTaskKey(f *testing.F) {
	for _, seed := range []string{"NC/D-204/frame", "NC/R3/deliver.2", "A%2FB/L1/power_live", "%/%25/x"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		k, err := pattern.TaskKey(text).Parse()
		if err != nil {
			return
		}
		again, err := k.Task().Parse()
		if err != nil || again != k {
			t.Fatalf("%q reads as %+v and writes as %q", text, k, k.Task())
		}
	})
}
