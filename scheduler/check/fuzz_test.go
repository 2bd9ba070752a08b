package check_test

import (
	"bytes"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/check"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

// FuzzPlan: no plan document makes the checker panic or run on for long.
func FuzzPlan(f *testing.F) {
	var text bytes.Buffer
	require.NoError(f, problem.WritePlan(&text, goodPlan(), "America/Chicago"))
	f.Add(text.Bytes())
	f.Add(bytes.ReplaceAll(text.Bytes(), []byte("2026-03-04"), []byte("2199-03-04")))
	f.Add(bytes.ReplaceAll(text.Bytes(), []byte("2026-03-02"), []byte("1901-03-02")))
	f.Fuzz(func(t *testing.T, document []byte) {
		plan, err := problem.ReadPlan(bytes.NewReader(document))
		if err != nil {
			return
		}
		p := scenario(t)
		for _, v := range check.Plan(p, plan) {
			require.NotEmpty(t, v.String())
		}
	})
}

// FuzzProblem: every problem document that is accepted gets a plan that the checker accepts.
func FuzzProblem(f *testing.F) {
	text, err := os.ReadFile("testdata/two_crews_problem.json")
	require.NoError(f, err)
	f.Add(text)
	for seed := range uint64(8) {
		var document bytes.Buffer
		require.NoError(f, problem.Write(&document, problemtest.Random(seed, problemtest.Harsh(6))))
		f.Add(document.Bytes())
	}
	f.Fuzz(func(t *testing.T, document []byte) {
		p, err := problem.Read(bytes.NewReader(document))
		if err != nil {
			return
		}
		result, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 3})
		require.NoError(t, err)
		for _, v := range check.Plan(p, result) {
			t.Error(v)
		}
	})
}
