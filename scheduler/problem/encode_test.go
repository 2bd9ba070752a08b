package problem_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
)

func TestWrite_GivesBackWhatWasRead(t *testing.T) {
	t.Parallel()
	first, err := problem.Read(strings.NewReader(fullDocument(t)))
	require.NoError(t, err)
	var text bytes.Buffer
	require.NoError(t, problem.Write(&text, first))
	second, err := problem.Read(bytes.NewReader(text.Bytes()))
	require.NoError(t, err, text.String())

	var again bytes.Buffer
	require.NoError(t, problem.Write(&again, second))
	assert.Equal(t, text.String(), again.String())
	assert.Equal(t, first.Tasks, second.Tasks)
	assert.Contains(t, text.String(), `"data_date": "2026-03-02T07:00:00-06:00"`, "times are in the document's zone")
}

func TestWritePlan_GivesBackWhatWasRead(t *testing.T) {
	t.Parallel()
	start := time.Date(2026, 7, 1, 12, 0, 0, 0, time.UTC)
	finish := start.Add(time.Hour)
	plan := &problem.Plan{
		Version: problem.Version,
		Tasks: []problem.PlannedTask{{
			ID: "a<b>", Crew: new("birch"), Start: start, Resume: &start, Finish: finish,
			Segments: [][2]time.Time{{start, finish}}, EarlyStart: start, EarlyFinish: finish, LateStart: start, LateFinish: finish,
			TotalFloatMinutes: -5, FreeFloatMinutes: 3, Critical: true,
			Reason: problem.Reason{Kind: problem.ReasonCrew, Ref: "birch", Until: start},
		}, {
			ID: "b", Start: start, Finish: start, Segments: [][2]time.Time{}, EarlyStart: start, EarlyFinish: start,
			LateStart: start, LateFinish: start, Reason: problem.Reason{Kind: problem.ReasonDataDate, Until: start},
		}},
		Unplanned:  []problem.Unplanned{{Task: "c", Why: "waits"}},
		GCDates:    []problem.PlannedDate{{ID: "d", Forecast: &finish, FloatMinutes: -1440, LateDays: 1, DrivingChain: []string{"a<b>"}}, {ID: "e", DrivingChain: []string{}}},
		Objective:  problem.Objective{LatenessCost: 1, Changes: 2, TravelMinutes: 3, IdleMinutes: 4, Makespan: finish, Total: 5},
		LowerBound: problem.LowerBound{LatenessCost: 1, LatenessCostProved: true, Makespan: finish, MakespanProved: true, Proved: true},
		Run:        problem.Run{Schedules: 10, Seed: 1<<64 - 1, StoppedBy: "budget", ElapsedMS: 7},
		Notes:      []string{problem.MovedNote("b", "pinned before the data date")},
	}
	var text bytes.Buffer
	require.NoError(t, problem.WritePlan(&text, plan, "America/Chicago"))
	got, err := problem.ReadPlan(bytes.NewReader(text.Bytes()))
	require.NoError(t, err, text.String())
	assert.Equal(t, plan, got)
	assert.Contains(t, text.String(), `"a<b>","crew":"birch","start":"2026-07-01T07:00:00-05:00"`)
}

func TestWritePlan_KeepsEmptyListsInTheDocument(t *testing.T) {
	t.Parallel()
	var text bytes.Buffer
	require.NoError(t, problem.WritePlan(&text, &problem.Plan{Version: 1}, "UTC"))
	assert.Contains(t, text.String(), `"tasks": []`)
	assert.NotContains(t, text.String(), "null")
}
