package check_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/check"
	"jambwright/scheduler/problem"
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
