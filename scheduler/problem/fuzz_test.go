package problem_test

import (
	"bytes"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
)

// FuzzRead: no bytes make the reader panic, and what it accepts survives being written and read again.
func FuzzRead(f *testing.F) {
	document, err := os.ReadFile("testdata/every_field.json")
	require.NoError(f, err)
	f.Add(document)
	f.Add([]byte(`{"version":1,"zone":"UTC","data_date":"2026-01-01T00:00:00Z","tasks":[{"id":"a","kind":"k","duration_minutes":0,"calendar":"always"}]}`))
	f.Add([]byte(`{"version":1e400,"tasks":[[[]]],"tasks":{"\u0000":"\ud800"}}`))
	f.Fuzz(func(t *testing.T, document []byte) {
		p, err := problem.Read(bytes.NewReader(document))
		if err != nil {
			return
		}
		var first, second bytes.Buffer
		require.NoError(t, problem.Write(&first, p))
		again, err := problem.Read(bytes.NewReader(first.Bytes()))
		require.NoError(t, err, first.String())
		require.NoError(t, problem.Write(&second, again))
		require.Equal(t, first.String(), second.String())
	})
}

// FuzzReadPlan: no bytes make the reader panic, and what it accepts survives being written and read again.
func FuzzReadPlan(f *testing.F) {
	f.Add([]byte(`{"version":1,"tasks":[{"id":"a","crew":null,"start":"2026-01-01T00:00:00Z","finish":"2026-01-01T01:00:00Z",` +
		`"segments":[["2026-01-01T00:00:00Z","2026-01-01T01:00:00Z"]],"early_start":"2026-01-01T00:00:00Z","early_finish":"2026-01-01T00:00:00Z",` +
		`"late_start":"2026-01-01T00:00:00Z","late_finish":"2026-01-01T00:00:00Z","total_float_minutes":-5,"free_float_minutes":0,"critical":true,` +
		`"reason":{"kind":"data_date","ref":"","until":"2026-01-01T00:00:00Z"}}],` +
		`"gc_dates":[{"id":"g","forecast":null,"float_minutes":0,"late_days":0.5,"driving_chain":[]}],"unplanned":[{"task":"b","why":"waits"}],` +
		`"objective":{"lateness_cost":0,"changes":0,"travel_minutes":0,"idle_minutes":0,"makespan":"2026-01-01T01:00:00Z","total":0},` +
		`"lower_bound":{"lateness_cost":0,"makespan":"2026-01-01T01:00:00Z"},"run":{"seed":18446744073709551615}}`))
	f.Fuzz(func(t *testing.T, document []byte) {
		p, err := problem.ReadPlan(bytes.NewReader(document))
		if err != nil {
			return
		}
		var first, second bytes.Buffer
		require.NoError(t, problem.WritePlan(&first, p, "America/Chicago"))
		again, err := problem.ReadPlan(bytes.NewReader(first.Bytes()))
		require.NoError(t, err, first.String())
		require.NoError(t, problem.WritePlan(&second, again, "America/Chicago"))
		require.Equal(t, first.String(), second.String())
	})
}
