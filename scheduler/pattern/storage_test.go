package pattern_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/check"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// crowded is the firm of the tests with n door frames on level 1 whose frames come in as many drops of a few each, all
// promised for one day, so that nothing but room on the floor keeps them apart.
func crowded(n, each, room int) pattern.Firm {
	f := testFirm()
	pr := &f.Projects[0]
	rel := pattern.Release{ID: "R9", Supplier: "bay", Basis: pattern.FromDrawings, Ordered: ptr(at("2026-11-02 08:00"))}
	for i := range n {
		drop := i/each + 1
		if i%each == 0 {
			rel.Drops = append(rel.Drops, pattern.Drop{Number: drop, Promised: ptr(at("2026-12-07 07:00"))})
		}
		pr.Openings = append(pr.Openings, pattern.Opening{
			Mark: fmt.Sprintf("X-%02d", i), Area: "L1", WalkOrder: 100 + i, Takeoff: geometry(takeoff.DoorFrame),
			Material: []pattern.Material{
				{Item: pattern.FrameKit, Release: "R9", Drop: drop}, {Item: pattern.Leaf, OnSite: true}, {Item: pattern.Hardware, OnSite: true},
			},
		})
	}
	pr.Releases = append(pr.Releases, rel)
	for i := range pr.Areas {
		if pr.Areas[i].ID == "L1" && room > 0 {
			pr.Areas[i].MaxStored = ptr(room)
		}
	}
	return f
}

// alone leaves out all openings but those of crowded.
func alone(f pattern.Firm) pattern.Firm {
	pr := &f.Projects[0]
	pr.Openings = slices.DeleteFunc(pr.Openings, func(o pattern.Opening) bool { return !strings.HasPrefix(o.Mark, "X-") })
	pr.GCDates = nil
	return f
}

// planOf plans a firm and holds the plan against its checker.
func planOf(t *testing.T, f pattern.Firm) (*problem.Problem, *pattern.Index, *problem.Plan) {
	t.Helper()
	p, index, err := pattern.Build(f)
	require.NoError(t, err)
	made, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 4, Seed: 1})
	require.NoError(t, err)
	require.Empty(t, check.Plan(p, made))
	return p, index, made
}

func things(s pattern.Storage) []check.Stored {
	list := make([]check.Stored, len(s.Items))
	for i, item := range s.Items {
		list[i] = check.Stored{Delivery: string(item.Delivery), Use: string(item.Use)}
	}
	return list
}

func TestStorage_DropsWaitUntilThereIsRoom(t *testing.T) {
	t.Parallel()
	// Without a limit all four drops come on the promised day, and twelve frames and more lie there at once.
	_, index, free := planOf(t, crowded(12, 3, 0))
	require.Empty(t, index.Storage)
	starts := map[string]problem.PlannedTask{}
	for _, task := range free.Tasks {
		starts[task.ID] = task
	}

	p, index, tight := planOf(t, crowded(12, 3, 30))
	require.Len(t, index.Storage, 1)
	require.Empty(t, check.Storage("L1", 30, things(index.Storage[0]), p, tight))
	require.Equal(t, len(free.Tasks), len(tight.Tasks), "while there is room for all, nothing is linked")
	for _, task := range tight.Tasks {
		require.Equal(t, starts[task.ID].Start, task.Start, task.ID)
	}

	p, index, full := planOf(t, alone(crowded(12, 3, 6)))
	require.True(t, index.Storage[0].Kept)
	require.Len(t, index.Storage[0].Items, 12)
	require.Empty(t, check.Storage("L1", 6, things(index.Storage[0]), p, full))
	require.NotEmpty(t, check.Storage("L1", 5, things(index.Storage[0]), p, full), "the limit is used as far as it goes, so that the check can fail")
	at := map[string]problem.PlannedTask{}
	for _, task := range full.Tasks {
		at[task.ID] = task
	}
	third := at["NC/R9/deliver.3"]
	for _, mark := range []string{"X-00", "X-01", "X-02"} {
		require.False(t, at["NC/"+mark+"/frame"].Finish.After(third.Start), "the third drop finds room when the first is used: %s", mark)
	}
	require.True(t, third.Start.After(at["NC/R9/deliver.2"].Start))
}

func TestStorage_WhatCannotBeKeptIsTold(t *testing.T) {
	t.Parallel()
	_, index, _ := planOf(t, crowded(8, 4, 3))
	require.False(t, index.Storage[0].Kept)
	told := false
	for _, n := range index.Notes {
		told = told || n.Kind == pattern.NoteStorage && strings.Contains(n.Text, "bring it in several drops")
	}
	require.True(t, told)
	bad := crowded(1, 1, 1)
	bad.Projects[0].Areas[1].MaxStored = ptr(0)
	_, _, err := pattern.Build(bad)
	require.ErrorContains(t, err, "at most 0 items may be stored")
}

// Whatever the numbers, a plan that is made under a limit which is said to be kept keeps it, by the checker's own count.
func TestStorage_PlansKeepTheLimit(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(16, 4))
	kept := 0
	for range 25 {
		n, each := 4+random.IntN(12), 1+random.IntN(4)
		firm := alone(crowded(n, each, each+random.IntN(10)))
		rel := &firm.Projects[0].Releases[len(firm.Projects[0].Releases)-1]
		for i := range rel.Drops {
			switch random.IntN(4) {
			case 0:
				rel.Drops[i].Promised = ptr(at("2026-12-07 07:00").AddDate(0, 0, random.IntN(20)))
			case 1:
				rel.Drops[i].Promised = nil
			}
		}
		if random.IntN(2) == 0 {
			rel.Drops[0].Received = ptr(at("2026-11-20 08:00"))
		}
		p, index, made := planOf(t, firm)
		s := index.Storage[0]
		if !s.Kept {
			continue
		}
		kept++
		require.Empty(t, check.Storage(s.Area, s.Most, things(s), p, made), "%d openings in drops of %d, room for %d", n, each, s.Most)
	}
	require.Greater(t, kept, 10)
}
