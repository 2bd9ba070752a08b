// Package jobtest gives tests of use cases a small invented job to work on: two openings on one level, two crews, a
// supplier of everything, a handover and a GC date, imported from sheets as people would.
//
//	dbtest.Each(t, func(t *testing.T, db *models.DB) {
//		job := jobtest.Load(t, db)
//		job.Plan()
//		frame := job.Task("SC/A/frame")
//		...
//	})
//
// What this package does not do: it reports nothing, issues nothing and checks nothing.
package jobtest

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/server/importing"
	"jambwright/server/intake"
	"jambwright/server/planning"
)

// Name is the job's name; its code, the first part of its tasks' keys, is SC.
const Name = "Sallow Court"

// Zone is where the job is: at the clock of a test database it is Wednesday 25 November 2026, 12:00.
const Zone = "America/Denver"

// Sheet is one sheet to import, as text with commas.
type Sheet struct {
	Kind importing.Kind
	Text string
}

// sheets are read in this order, the suppliers first so that material finds its release.
func sheets() []Sheet {
	return []Sheet{
		{importing.Suppliers, "Supplier,Supplies,Lead time\nPellam Works,\"frame kits, glass, door leaves, hardware\",5 working days\n"},
		{importing.Openings, "Mark,Level,Type,Width,Height\nA,Level 1,HM door and frame,3-0,7-0\nB,Level 1,Fixed light,4-0,7-0\n"},
		{importing.Crews, "Crew,Heads,Skills\nAlder,3,\"survey, deliver, frame\"\nBirch,3,\"glaze, hang, punch\"\n"},
		{importing.Handovers, "Level,Condition,Trade,Promised\nLevel 1,Walls boarded,Partitions,2026-11-30\n"},
		{importing.GCDates, "Name,Level,Work complete,Date,Damages per day\nLevel 1 ready,Level 1,punch,2026-12-18,1200\n"},
	}
}

// Job is the loaded job.
type Job struct {
	t       testing.TB
	DB      *models.DB
	Project *models.Project
}

// Actor is who does things in the audit trail.
func Actor() models.Actor { return models.Actor{Name: "test"} }

// Load imports the job into a migrated database.
func Load(t testing.TB, db *models.DB) *Job {
	t.Helper()
	return LoadSheets(t, db, Name, sheets())
}

// LoadSheets imports another job at the same place, from its own sheets.
func LoadSheets(t testing.TB, db *models.DB, name string, sheets []Sheet) *Job {
	t.Helper()
	ctx := t.Context()
	store := intake.NewStore(db, Actor(), models.NewProject{Zone: Zone})
	for _, s := range sheets {
		read := importing.Read(s.Kind, string(s.Kind)+".csv", []byte(s.Text), importing.Options{})
		require.Empty(t, read.Faults, "%s", s.Kind)
		preview, err := importing.NewPreview(ctx, store, name, read)
		require.NoError(t, err)
		_, err = importing.Apply(ctx, store, preview, importing.Answers{})
		require.NoError(t, err)
	}
	project, err := models.ProjectByName(ctx, db, name)
	require.NoError(t, err)
	return &Job{t: t, DB: db, Project: project}
}

// Plan makes a plan as of the database's clock and saves it as a draft. Only planned work can be reported on.
func (j *Job) Plan() *models.Plan {
	j.t.Helper()
	_, row, err := planning.PlanNow(j.t.Context(), j.DB, planning.Options{Schedules: 1}, models.MadeByPerson, Actor())
	require.NoError(j.t, err)
	return row
}

// Task finds a task by its key, such as SC/A/frame.
func (j *Job) Task(key string) *models.Task {
	j.t.Helper()
	task, err := models.TaskByKey(j.t.Context(), j.DB, key)
	require.NoError(j.t, err)
	return task
}

// Count counts the rows of a table, to show that nothing was left behind.
func (j *Job) Count(table string) (n int) {
	j.t.Helper()
	row := j.DB.SQL().QueryRowContext(context.WithoutCancel(j.t.Context()), "SELECT count(*) FROM "+table)
	require.NoError(j.t, row.Scan(&n))
	return n
}
