package importing_test

import (
	"context"
	"errors"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/server/importing"
)

// memory is a Store that keeps rows in memory and can be told to fail while saving.
type memory struct {
	mu     sync.Mutex
	kept   map[importing.Kind]importing.Stored
	fail   error
	writes int
}

func newMemory() *memory { return &memory{kept: map[importing.Kind]importing.Stored{}} }

func (m *memory) Stored(_ context.Context, _ string, kind importing.Kind) (importing.Stored, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.kept[kind], nil
}

func (m *memory) Apply(_ context.Context, _ string, kind importing.Kind, decide func(importing.Stored) (importing.Changes, error)) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	stored := m.kept[kind]
	changes, err := decide(stored)
	if err != nil {
		return err
	}
	if m.fail != nil {
		return m.fail
	}
	if !changes.Empty() {
		m.writes++
	}
	stored.Openings = saved(stored.Openings, changes.Openings)
	stored.Crews = saved(stored.Crews, changes.Crews)
	stored.Handovers = saved(stored.Handovers, changes.Handovers)
	stored.Suppliers = saved(stored.Suppliers, changes.Suppliers)
	stored.GCDates = saved(stored.GCDates, changes.GCDates)
	m.kept[kind] = stored
	return nil
}

func saved[R importing.Row](rows []R, changes importing.RowChanges[R]) []R {
	rows = slices.Clone(rows)
	for _, gone := range changes.Remove {
		rows = slices.DeleteFunc(rows, func(r R) bool { return r.Key() == gone.Key() })
	}
	for _, c := range changes.Change {
		i := slices.IndexFunc(rows, func(r R) bool { return r.Key() == c.Old.Key() })
		rows[i] = c.New
	}
	return append(rows, changes.Add...)
}

func (m *memory) work(kind importing.Kind, keys ...string) {
	stored := m.kept[kind]
	stored.HasWork = map[string]bool{}
	for _, k := range keys {
		stored.HasWork[k] = true
	}
	m.kept[kind] = stored
}

func preview(t *testing.T, store importing.Store, kind importing.Kind, text string) *importing.Preview {
	t.Helper()
	p, err := importing.NewPreview(t.Context(), store, "Harrow Bend", importing.Read(kind, "sheet.csv", []byte(text), importing.Options{}))
	require.NoError(t, err)
	return p
}

func apply(t *testing.T, store importing.Store, p *importing.Preview, answers importing.Answers) importing.Changes {
	t.Helper()
	changes, err := importing.Apply(t.Context(), store, p, answers)
	require.NoError(t, err)
	return changes
}

const first = `mark,type,level,width,height,notes
101,sliding front,1,5-0,8-0,
102,sliding front,1,5-0,8-0,
103,fixed light,1,4-0,4-0,
104,fixed light,1,4-0,4-0,
`

func TestApply_TheSameSheetAgainChangesNothing(t *testing.T) {
	t.Parallel()
	for kind, text := range map[importing.Kind]string{
		importing.Openings:  first,
		importing.Crews:     "crew,heads,skills,away\nAlder,3,frame,2026-11-30 to 2026-12-02\nBirch,2,glaze,\n",
		importing.Handovers: "condition,level,promised\nwalls boarded,1,2026-12-01\npower live,1,2026-12-05\n",
		importing.Suppliers: "supplier,supplies,lead time\nNinefold Glass,glass,3 weeks\n",
		importing.GCDates:   "name,level,date,damages\nLevel 1 done,1,2027-01-15,1200\n",
	} {
		store := newMemory()
		p := preview(t, store, kind, text)
		require.Empty(t, p.Sheet.Faults, kind)
		require.False(t, p.Empty(), kind)
		require.False(t, apply(t, store, p, importing.Answers{}).Empty(), kind)
		again := preview(t, store, kind, text)
		assert.True(t, again.Empty(), kind)
		assert.Empty(t, again.Questions, kind)
		assert.True(t, apply(t, store, again, importing.Answers{}).Empty(), kind)
		assert.Equal(t, 1, store.writes, kind)
	}
}

func TestPreview_ARevisedSheetShowsNewChangedAndGone(t *testing.T) {
	t.Parallel()
	store := newMemory()
	apply(t, store, preview(t, store, importing.Openings, first), importing.Answers{})
	store.work(importing.Openings, "101", "102", "104")
	p := preview(t, store, importing.Openings, `mark,type,level,width,height
101,sliding front,1,5-6,8-0
102,sliding front,1,5-0,8-0
105,fixed light,1,4-0,4-0
`)
	d := p.Openings
	require.Len(t, d.New, 1)
	assert.Equal(t, "105", d.New[0].Mark)
	require.Len(t, d.Changed, 1)
	assert.Equal(t, []importing.FieldChange{{Field: "width", Old: `5'-0"`, New: `5'-6"`}}, d.Changed[0].Fields)
	require.Len(t, d.Same, 1)
	require.Len(t, d.Gone, 2)
	var ids []string
	for _, q := range p.Questions {
		ids = append(ids, q.ID)
	}
	assert.Equal(t, []string{"changed:101", "gone:104", importing.AllGone}, ids)
	assert.Equal(t, `101 has work on it and the sheet changes width 5'-0" to 5'-6"`, p.Questions[0].Text)

	_, err := importing.Apply(t.Context(), store, p, importing.Answers{Of: map[string]importing.Answer{"changed:101": importing.Keep}})
	require.ErrorIs(t, err, importing.ErrUnanswered)
	changes := apply(t, store, p, importing.Answers{Of: map[string]importing.Answer{
		"changed:101": importing.Keep, "gone:104": importing.Keep, importing.AllGone: importing.Take,
	}})
	assert.Empty(t, changes.Openings.Change)
	require.Len(t, changes.Openings.Remove, 1)
	assert.Equal(t, "103", changes.Openings.Remove[0].Mark)
	assert.Len(t, store.kept[importing.Openings].Openings, 4)
}

func TestCompare_KeepsWhatTheSheetHasNoColumnFor(t *testing.T) {
	t.Parallel()
	store := newMemory()
	apply(t, store, preview(t, store, importing.Openings, "mark,type,width,height,finish\n101,sliding front,5-0,8-0,bronze\n"), importing.Answers{})
	without := preview(t, store, importing.Openings, "mark,type,width,height\n101,sliding front,5-6,8-0\n")
	require.Len(t, without.Openings.Changed, 1)
	assert.Equal(t, "bronze", without.Openings.Changed[0].New.Finish)
	emptied := preview(t, store, importing.Openings, "mark,type,width,height,finish\n101,sliding front,5-0,8-0,\n")
	require.Len(t, emptied.Openings.Changed, 1)
	assert.Equal(t, []importing.FieldChange{{Field: "finish", Old: "bronze", New: ""}}, emptied.Openings.Changed[0].Fields)
}

func TestApply_SavesNothingOfAFaultySheetUnlessRowsAreLeftOut(t *testing.T) {
	t.Parallel()
	store := newMemory()
	apply(t, store, preview(t, store, importing.Openings, first), importing.Answers{})
	p := preview(t, store, importing.Openings, `mark,type,level,width,height
101,sliding front,1,wide,8-0
102,sliding front,1,5-0,8-0
103,fixed light,1,4-0,4-0
104,fixed light,1,4-0,4-6
`)
	_, err := importing.Apply(t.Context(), store, p, importing.Answers{})
	require.ErrorIs(t, err, importing.ErrFaults)
	assert.Empty(t, p.Openings.Gone, "101 stands in the sheet, though it cannot be read")
	changes := apply(t, store, p, importing.Answers{LeaveOut: true})
	require.Len(t, changes.Openings.Change, 1)
	assert.Equal(t, "104", changes.Openings.Change[0].New.Mark)
}

func TestApply_RefusesAPreviewOfAnotherState(t *testing.T) {
	t.Parallel()
	store := newMemory()
	p := preview(t, store, importing.Openings, first)
	apply(t, store, preview(t, store, importing.Openings, "mark,type,width,height\n900,fixed light,4-0,4-0\n"), importing.Answers{})
	_, err := importing.Apply(t.Context(), store, p, importing.Answers{})
	require.ErrorIs(t, err, importing.ErrStale)
	assert.Len(t, store.kept[importing.Openings].Openings, 1)

	seen := p.State
	_, err = importing.Apply(t.Context(), store, preview(t, store, importing.Openings, first), importing.Answers{
		Seen: seen, Of: map[string]importing.Answer{importing.AllGone: importing.Keep},
	})
	require.ErrorIs(t, err, importing.ErrStale, "the person looked at the older state")
}

func TestApply_ReportsTheStoresError(t *testing.T) {
	t.Parallel()
	store := newMemory()
	store.fail = errors.New("disk full")
	_, err := importing.Apply(t.Context(), store, preview(t, store, importing.Openings, first), importing.Answers{})
	require.ErrorContains(t, err, "importing sheet.csv into project Harrow Bend: disk full")
	assert.Empty(t, store.kept[importing.Openings].Openings)
}
