package importing

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Stored is what a project holds of one kind of sheet, in an order that does not change from call to call. Only the slice
// of that kind is filled.
type Stored struct {
	Openings  []OpeningRow
	Crews     []CrewRow
	Handovers []HandoverRow
	Suppliers []SupplierRow
	GCDates   []GCDateRow
	Rates     []RateRow
	// HasWork marks the keys of rows that work has been done on, ordered or reported for.
	HasWork map[string]bool
}

// Store keeps what sheets are imported into. Project names a project, existing or new; crews and suppliers belong to the
// firm, and a store may ignore it for them.
type Store interface {
	// Stored returns what is stored of a kind. A project that does not exist yet holds nothing.
	Stored(ctx context.Context, project string, kind Kind) (Stored, error)
	// Apply reads what is stored of a kind, hands it to decide and saves the changes that decide returns, all in one
	// transaction; an error of decide ends it with nothing saved. It makes the project if need be.
	Apply(ctx context.Context, project string, kind Kind, decide func(Stored) (Changes, error)) error
}

// Changes are rows to save. Only the parts of one kind are filled. Changed rows come with the rows they replace, so that a
// store writes the columns that differ.
type Changes struct {
	Openings  RowChanges[OpeningRow]
	Crews     RowChanges[CrewRow]
	Handovers RowChanges[HandoverRow]
	Suppliers RowChanges[SupplierRow]
	GCDates   RowChanges[GCDateRow]
	Rates     RowChanges[RateRow]
}

// RowChanges are the changes of one kind.
type RowChanges[R Row] struct {
	Add    []R
	Change []Changed[R]
	Remove []R
}

// Empty reports whether there is nothing to save.
func (c Changes) Empty() bool {
	return c.Openings.empty() && c.Crews.empty() && c.Handovers.empty() && c.Suppliers.empty() && c.GCDates.empty() && c.Rates.empty()
}

// Counts is how many rows are added, changed and removed.
func (c Changes) Counts() (added, changed, removed int) {
	for _, n := range [][3]int{c.Openings.counts(), c.Crews.counts(), c.Handovers.counts(), c.Suppliers.counts(), c.GCDates.counts(), c.Rates.counts()} {
		added, changed, removed = added+n[0], changed+n[1], removed+n[2]
	}
	return added, changed, removed
}

// String says how much changed, as a note to the person who imported.
func (c Changes) String() string {
	added, changed, removed := c.Counts()
	return fmt.Sprintf("%d new, %d changed, %d taken out", added, changed, removed)
}

func (c RowChanges[R]) counts() [3]int { return [3]int{len(c.Add), len(c.Change), len(c.Remove)} }

func (c RowChanges[R]) empty() bool { return len(c.Add)+len(c.Change)+len(c.Remove) == 0 }

// Preview is what a sheet would do to a project. Only the difference of its kind is filled.
type Preview struct {
	Project   string
	Sheet     *Sheet
	Openings  Difference[OpeningRow]
	Crews     Difference[CrewRow]
	Handovers Difference[HandoverRow]
	Suppliers Difference[SupplierRow]
	GCDates   Difference[GCDateRow]
	Rates     Difference[RateRow]
	Questions []Question
	// State names the stored state that the preview was made from. A page sends it back with the answers, so that changes
	// of somebody else between looking and saving are noticed even when the preview is made anew.
	State string
}

// Empty reports whether the sheet would change nothing.
func (p *Preview) Empty() bool {
	return p.Openings.Empty() && p.Crews.Empty() && p.Handovers.Empty() && p.Suppliers.Empty() && p.GCDates.Empty() && p.Rates.Empty()
}

// Answer is a person's decision on a question.
type Answer string

// The answers.
const (
	Take Answer = "take" // do what the sheet says: change, or remove what is gone
	Keep Answer = "keep" // leave what is stored as it is
)

// Answers are a person's decisions on a preview. LeaveOut accepts that rows with faults are left out. Of is asked by
// question ID. Seen is the State of the preview that the person looked at; "" means the one handed to Apply.
type Answers struct {
	LeaveOut bool
	Of       map[string]Answer
	Seen     string
}

// TakeAll answers every question of a preview by doing what the sheet says.
func TakeAll(p *Preview) map[string]Answer {
	all := map[string]Answer{}
	for _, q := range p.Questions {
		all[q.ID] = Take
	}
	return all
}

// KeepAll answers every question of a preview by leaving what is stored as it is.
func KeepAll(p *Preview) map[string]Answer {
	all := map[string]Answer{}
	for _, q := range p.Questions {
		all[q.ID] = Keep
	}
	return all
}

// Refusals of Apply. In each case nothing was saved.
var (
	// ErrFaults means that rows could not be read and nobody accepted to leave them out.
	ErrFaults = errors.New("rows that cannot be read are neither corrected nor left out")
	// ErrUnanswered means that a question has no answer.
	ErrUnanswered = errors.New("questions are not answered")
	// ErrStale means that what is stored has changed since the preview was made.
	ErrStale = errors.New("what is stored has changed since the preview; look at it again")
)

// NewPreview compares a sheet with what a project holds. It saves nothing.
func NewPreview(ctx context.Context, store Store, project string, s *Sheet) (*Preview, error) {
	stored, err := store.Stored(ctx, project, s.Kind)
	if err != nil {
		return nil, fmt.Errorf("reading the stored %s of project %s: %w", s.Kind, project, err)
	}
	return compareSheet(project, s, stored), nil
}

func compareSheet(project string, s *Sheet, stored Stored) *Preview {
	p := &Preview{Project: project, Sheet: s, State: fingerprint(s.Kind, stored)}
	switch s.Kind {
	case Openings:
		p.Openings, p.Questions = difference(stored.Openings, s.Openings, s, stored.HasWork)
	case Crews:
		p.Crews, p.Questions = difference(stored.Crews, s.Crews, s, stored.HasWork)
	case Handovers:
		p.Handovers, p.Questions = difference(stored.Handovers, s.Handovers, s, stored.HasWork)
	case Suppliers:
		p.Suppliers, p.Questions = difference(stored.Suppliers, s.Suppliers, s, stored.HasWork)
	case GCDates:
		p.GCDates, p.Questions = difference(stored.GCDates, s.GCDates, s, stored.HasWork)
	case Rates:
		p.Rates, p.Questions = difference(comparedRates(stored.Rates, s), s.Rates, s, stored.HasWork)
	}
	return p
}

func difference[R Row](existing, incoming []R, s *Sheet, hasWork map[string]bool) (Difference[R], []Question) {
	d := Compare(existing, incoming, hasWork, s.Has, s.Unread)
	return d, d.Questions
}

// Apply saves what a preview showed, as far as the answers take it, in one transaction. Applied twice, the second time
// changes nothing or is refused as stale. It returns what was saved.
func Apply(ctx context.Context, store Store, p *Preview, answers Answers) (Changes, error) {
	if len(p.Sheet.Faults) > 0 && !answers.LeaveOut {
		return Changes{}, fmt.Errorf("%s: %d %w", p.Sheet.File, len(p.Sheet.Faults), ErrFaults)
	}
	if open := unanswered(p.Questions, answers); len(open) > 0 {
		return Changes{}, fmt.Errorf("%w: %s", ErrUnanswered, strings.Join(open, "; "))
	}
	var saved Changes
	err := store.Apply(ctx, p.Project, p.Sheet.Kind, func(stored Stored) (Changes, error) {
		now := fingerprint(p.Sheet.Kind, stored)
		if now != p.State || answers.Seen != "" && answers.Seen != now {
			return Changes{}, fmt.Errorf("project %s: %w", p.Project, ErrStale)
		}
		saved = p.changes(answers)
		return saved, nil
	})
	if err != nil {
		return Changes{}, fmt.Errorf("importing %s into project %s: %w", p.Sheet.File, p.Project, err)
	}
	return saved, nil
}

func unanswered(questions []Question, answers Answers) []string {
	var open []string
	for _, q := range questions {
		if a := answers.Of[q.ID]; a != Take && a != Keep {
			open = append(open, q.Text)
		}
	}
	return open
}

func (p *Preview) changes(answers Answers) Changes {
	return Changes{
		Openings:  decided(p.Openings, answers),
		Crews:     decided(p.Crews, answers),
		Handovers: decided(p.Handovers, answers),
		Suppliers: decided(p.Suppliers, answers),
		GCDates:   decided(p.GCDates, answers),
		Rates:     decided(p.Rates, answers),
	}
}

// decided takes what no question stands against, and of the rest what the answers take.
func decided[R Row](d Difference[R], answers Answers) RowChanges[R] {
	asked := map[string]bool{}
	for _, q := range d.Questions {
		asked[q.ID] = true
	}
	taken := func(id string) bool { return !asked[id] || answers.Of[id] == Take }
	c := RowChanges[R]{Add: d.New}
	for _, change := range d.Changed {
		if taken("changed:" + change.New.Key()) {
			c.Change = append(c.Change, change)
		}
	}
	for _, gone := range d.Gone {
		id := "gone:" + gone.Key()
		if !asked[id] {
			id = AllGone
		}
		if taken(id) {
			c.Remove = append(c.Remove, gone)
		}
	}
	return c
}

// fingerprint is a hash of a stored state: equal, for all that matters, only for equal states.
func fingerprint(kind Kind, stored Stored) string {
	var b strings.Builder
	switch kind {
	case Openings:
		writeRows(&b, stored.Openings, stored.HasWork)
	case Crews:
		writeRows(&b, stored.Crews, stored.HasWork)
	case Handovers:
		writeRows(&b, stored.Handovers, stored.HasWork)
	case Suppliers:
		writeRows(&b, stored.Suppliers, stored.HasWork)
	case GCDates:
		writeRows(&b, stored.GCDates, stored.HasWork)
	case Rates:
		writeRows(&b, stored.Rates, stored.HasWork)
	}
	return fmt.Sprintf("%x", sha256.Sum256([]byte(b.String())))
}

func writeRows[R Row](b *strings.Builder, rows []R, hasWork map[string]bool) {
	lines := make([]string, len(rows))
	fields := fieldsOf[R]()
	for i := range rows {
		var line strings.Builder
		fmt.Fprintf(&line, "%q %t", rows[i].Key(), hasWork[rows[i].Key()])
		for _, f := range fields {
			fmt.Fprintf(&line, " %q", f.text(&rows[i]))
		}
		lines[i] = line.String()
	}
	slices.Sort(lines)
	b.WriteString(strings.Join(lines, "\n"))
}
