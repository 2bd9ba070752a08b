package pattern_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
)

// troubledFirm is the test firm on a bad day: a late handover and one without a date, a promise that has passed, a broken pane
// before and one after glazing, holds with and without a date, a pane too heavy for the crews, work out of order, a pin and an
// issued line that no longer fit.
func troubledFirm() pattern.Firm {
	f := testFirm()
	pr := &f.Projects[0]
	pr.Handovers[1].Promised = ptr(at("2026-11-23 07:00")) // ceiling: overdue
	pr.Handovers[3].Promised = nil                         // power: no date at all
	pr.Releases[0].Ordered = ptr(at("2026-11-02 09:00"))
	pr.Releases[0].Drops = []pattern.Drop{
		{Number: 1, Promised: ptr(at("2026-11-20 07:00")), Received: ptr(at("2026-11-23 10:00"))},
		{Number: 2, Promised: ptr(at("2026-11-24 07:00"))},
	}
	for i := range pr.Openings {
		pr.Openings[i].Measured = ptr(at("2026-11-20 11:00"))
	}
	pr.Openings[0].Powered = true
	for i := range pr.Openings[5].Material {
		if m := &pr.Openings[5].Material[i]; m.Release == "R1" {
			m.Drop = 2
		}
	}
	pr.Remakes = []pattern.Remake{
		{ID: "D-101-glass-1", Opening: "D-101", Item: pattern.Glass, Supplier: "ice", Reported: at("2026-11-24 14:00"), Cause: "broken at unloading"},
		{ID: "W-103-glass-1", Opening: "W-103", Item: pattern.Glass, Reported: at("2026-11-24 15:00"), Cause: "scratched"},
	}
	for i := range pr.Openings[2].Material {
		if m := &pr.Openings[2].Material[i]; m.Item == pattern.Glass {
			*m = pattern.Material{Item: pattern.Glass, OnSite: true}
		}
	}
	f.States = map[pattern.TaskKey]pattern.State{
		"NC/D-101/frame": {Started: ptr(at("2026-11-23 11:30")), Finished: ptr(at("2026-11-24 09:00")), Crew: "birch"},
		"NC/D-101/glaze": {Started: ptr(at("2026-11-24 12:00")), RemainingMinutes: ptr(30), Crew: "birch"},
		"NC/W-103/frame": {Started: ptr(at("2026-11-23 11:30")), Finished: ptr(at("2026-11-23 13:00")), Crew: "alder"},
		"NC/W-103/glaze": {Started: ptr(at("2026-11-23 13:00")), Finished: ptr(at("2026-11-23 15:00")), Crew: "birch"},
		"NC/D-104/frame": {Started: ptr(at("2026-11-24 13:00")), Crew: "alder", RemainingMinutes: ptr(40), Held: true, HeldUntil: ptr(at("2026-11-27 07:00")), HoldCause: "stud missing at the hinge side", HoldParty: "drywall"},
		"NC/D-105/frame": {Held: true, HoldCause: "wrong swing on the drawings", HoldParty: "architect"},
		"NC/D-102/frame": {Started: ptr(at("2026-11-24 13:00")), Crew: "birch", RemainingMinutes: ptr(25)},
	}
	f.Pins = map[pattern.TaskKey]problem.Pin{
		"NC/D-102/glaze": {Crew: "alder"},
		"NC/D-102/hang":  {Crew: "birch"},
		"NC/X-1/hang":    {Crew: "birch"},
	}
	f.Issued = []problem.Issued{
		{Task: "NC/gone/frame", Crew: "birch", Start: at("2026-11-25 07:00")},
		{Task: "NC/D-102/hang", Crew: "left the firm", Start: at("2026-12-25 07:00")},
	}
	return f
}

// built is a built firm that a test asks about.
type built struct {
	t *testing.T
	p *problem.Problem
	x *pattern.Index
}

func build(t *testing.T, f pattern.Firm) built {
	t.Helper()
	p, x, err := pattern.Build(f)
	require.NoError(t, err)
	return built{t, p, x}
}

// task returns a task of the problem with its entry.
func (b built) task(id string) (*problem.Task, *pattern.Entry) {
	b.t.Helper()
	for i := range b.p.Tasks {
		if b.p.Tasks[i].ID == id {
			e, ok := b.x.Find(id)
			require.True(b.t, ok)
			require.Equal(b.t, pattern.TaskKey(id), e.Key)
			return &b.p.Tasks[i], e
		}
	}
	require.Failf(b.t, "no such task", "%s", id)
	return nil, nil
}

func (b built) linked(from, to string) bool {
	for _, l := range b.p.Links {
		if l.From == from && l.To == to {
			return true
		}
	}
	return false
}

// notes returns the texts of one kind of note.
func (b built) notes(kind pattern.NoteKind) []string {
	var list []string
	for _, n := range b.x.Notes {
		if n.Kind == kind {
			list = append(list, n.Text)
		}
	}
	return list
}
