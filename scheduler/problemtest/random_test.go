package problemtest_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

func TestRandom_MakesValidDocumentsThatSurviveWriting(t *testing.T) {
	t.Parallel()
	for _, tasks := range []int{0, 1, 2, 7, 30, 200} {
		for seed := range uint64(20) {
			for name, o := range map[string]problemtest.Options{
				"everything": problemtest.Everything(tasks), "harsh": problemtest.Harsh(tasks), "plain": problemtest.Plain(tasks), "tiny": problemtest.Tiny(tasks),
			} {
				p := problemtest.Random(seed, o)
				require.Empty(t, problem.Validate(p), "%s, seed %d, %d tasks", name, seed, tasks)
				var text bytes.Buffer
				require.NoError(t, problem.Write(&text, p))
				read, err := problem.Read(bytes.NewReader(text.Bytes()))
				require.NoError(t, err)
				var again bytes.Buffer
				require.NoError(t, problem.Write(&again, read))
				require.Equal(t, text.String(), again.String())
			}
		}
	}
}

func TestRandom_IsTheSameForTheSameSeed(t *testing.T) {
	t.Parallel()
	assert.Equal(t, problemtest.Random(7, problemtest.Everything(300)), problemtest.Random(7, problemtest.Everything(300)))
	assert.NotEqual(t, problemtest.Random(7, problemtest.Everything(300)), problemtest.Random(8, problemtest.Everything(300)))
}

func TestRandom_UsesEveryFeature(t *testing.T) {
	t.Parallel()
	p := problemtest.Random(1, problemtest.Everything(3000))
	seen := map[string]bool{}
	for _, task := range p.Tasks {
		seen["crew work"] = seen["crew work"] || task.IsCrewWork()
		seen["fixed work"] = seen["fixed work"] || !task.IsCrewWork()
		seen["waits"] = seen["waits"] || task.Waits
		seen["finished"] = seen["finished"] || task.IsFinished()
		seen["started"] = seen["started"] || task.IsStarted()
		seen["pin"] = seen["pin"] || task.Pin != nil
		seen["uses"] = seen["uses"] || len(task.Uses) > 0
		seen["not before"] = seen["not before"] || task.NotBefore != nil
		seen["deadline"] = seen["deadline"] || task.Deadline != nil
	}
	for _, l := range p.Links {
		seen[string(l.Relation())] = true
		seen["negative lag"] = seen["negative lag"] || l.LagMinutes < 0
		seen["lag calendar"] = seen["lag calendar"] || l.LagCalendar != ""
	}
	for _, s := range p.Uncertainty.Spreads {
		seen["slip"] = seen["slip"] || s.SlipMinutes != nil
		seen["crew pace"] = seen["crew pace"] || len(s.Crews) > 0
		seen["common cause"] = seen["common cause"] || len(s.Causes) > 0
		for _, d := range []*problem.Distribution{s.Minutes, s.Factor} {
			if d == nil {
				continue
			}
			seen["triangular"] = seen["triangular"] || d.Triangular != nil
			seen["pert"] = seen["pert"] || d.Pert != nil
			seen["uniform"] = seen["uniform"] || d.Uniform != nil
			seen["log-normal"] = seen["log-normal"] || d.LogNormal != nil
			seen["values"] = seen["values"] || d.Values != nil
		}
	}
	seen["damage"] = len(p.Uncertainty.Damages) > 0
	for _, feature := range []string{
		"slip", "crew pace", "common cause", "triangular", "pert", "uniform", "log-normal", "values", "damage",
		"crew work", "fixed work", "waits", "finished", "started", "pin", "uses", "not before", "deadline",
		"FS", "SS", "FF", "SF", "negative lag", "lag calendar",
	} {
		assert.True(t, seen[feature], feature)
	}
}

func BenchmarkRead_85000Tasks(b *testing.B) {
	var text bytes.Buffer
	require.NoError(b, problem.Write(&text, problemtest.Random(1, problemtest.Everything(85_000))))
	b.SetBytes(int64(text.Len()))
	b.ReportAllocs()
	for b.Loop() {
		_, err := problem.Read(bytes.NewReader(text.Bytes()))
		require.NoError(b, err)
	}
}

// A few crews with decades of work still get a valid document: no date of it lies further ahead than a document may name.
func TestRandom_NamesNoDateTooFarAhead(t *testing.T) {
	t.Parallel()
	o := problemtest.Harsh(1_000)
	o.LongestLabour *= 100
	assert.Empty(t, problem.Validate(problemtest.Random(1, o)))
}
