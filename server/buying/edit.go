package buying

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"jambwright/models"
	"jambwright/scheduler/leadtime"
	"jambwright/scheduler/pattern"
)

// Action is what a person does with material.
type Action string

// The actions.
const (
	Order       Action = "order"        // it was ordered at At
	Promise     Action = "promise"      // the supplier acknowledged it for Date
	Ship        Action = "ship"         // it left the supplier at At
	Receive     Action = "receive"      // all of the drop came at At
	ReceivePart Action = "receive_part" // Items of the drop came at At, the rest is promised for Date or nobody knows
	TakeBack    Action = "take_back"    // the last date of the drop was entered by mistake
	Terms       Action = "terms"        // name, supplier, basis, lead time
	Move        Action = "move"         // Items go to another drop or release
)

// Actions lists the actions in the order in which material goes.
func Actions() []Action {
	return []Action{Order, Promise, Ship, Receive, ReceivePart, TakeBack, Terms, Move}
}

// Edit is what a person asks for: of a drop of a release, or of a remake.
type Edit struct {
	Action    Action
	ReleaseID int64
	RemakeID  int64 // instead of ReleaseID
	Version   int64 // of the row as the person saw it; a newer one is refused
	Drop      int

	At    time.Time
	Date  *models.Date
	Items []int64

	Name       string
	SupplierID int64
	Basis      pattern.OrderBasis
	Lead       *leadtime.Days // nil: the supplier's

	Target Target // of Move

	Cause  string
	Source string
}

// Target says where items go: to a drop of a release, 0 for a new one; without a release, to a new release of the same
// supplier called Name.
type Target struct {
	ReleaseID int64
	Drop      int
}

// Fault is what is wrong with one field of an edit; Field is the name of the form's field.
type Fault struct{ Field, Message string }

// Faults are all faults of an edit.
type Faults []Fault

// Error lists the faults on one line.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, fault := range f {
		lines[i] = fault.Message
	}
	return "the change cannot be made: " + strings.Join(lines, "; ")
}

func (f *Faults) add(field, format string, values ...any) {
	*f = append(*f, Fault{field, fmt.Sprintf(format, values...)})
}

// subject is what an edit is about, as it is stored.
type subject struct {
	release *models.Release
	remake  *models.MaterialItem
	items   []models.MaterialItem // of the release
	project *models.Project
	target  *models.Release // of Move; nil for a new release
}

// find reads what the edit is about.
func (e *Edit) find(ctx context.Context, r models.Reader) (s *subject, err error) {
	s = &subject{}
	projectID := int64(0)
	if e.RemakeID != 0 {
		if s.remake, err = models.RemakeByID(ctx, r, e.RemakeID); err != nil {
			return nil, err
		}
		projectID = s.remake.Opening.ProjectID
	} else {
		if s.release, err = models.ReleaseByID(ctx, r, e.ReleaseID); err != nil {
			return nil, err
		}
		if s.items, err = models.ReleaseItems(ctx, r, e.ReleaseID); err != nil {
			return nil, err
		}
		projectID = s.release.ProjectID
	}
	if e.Action == Move && e.Target.ReleaseID != 0 {
		if s.target, err = models.ReleaseByID(ctx, r, e.Target.ReleaseID); err != nil {
			return nil, err
		}
	}
	s.project, err = models.ProjectByID(ctx, r, projectID)
	return s, err
}

// code is the planner's name of the release or remake.
func (s *subject) code() string {
	if s.remake != nil {
		return s.remake.Code
	}
	return s.release.Code
}

func (s *subject) drop(n int) *models.ReleaseDrop {
	if s.release == nil {
		return nil
	}
	for i := range s.release.Drops {
		if s.release.Drops[i].Number == n {
			return &s.release.Drops[i]
		}
	}
	return nil
}

// dates are the dates of the drop or remake that the edit is about.
func (s *subject) dates(drop int) (ordered *time.Time, promised *models.Date, shipped, received *time.Time) {
	if s.remake != nil {
		return s.remake.OrderedAt, s.remake.Promised, s.remake.ShippedAt, s.remake.ReceivedAt
	}
	if d := s.drop(drop); d != nil {
		return s.release.OrderedAt, d.Promised, d.ShippedAt, d.ReceivedAt
	}
	return s.release.OrderedAt, nil, nil, nil
}

const maxText = 500 // characters of a cause or a name

// check finds everything that is wrong with an edit of a subject.
func (e *Edit) check(s *subject, now time.Time) (faults Faults) {
	if !slices.Contains(Actions(), e.Action) {
		faults.add("do", "choose what happened")
	}
	for field, text := range map[string]string{"cause": e.Cause, "source": e.Source, "name": e.Name} {
		if utf8.RuneCountInString(text) > maxText {
			faults.add(field, "this is longer than %d characters", maxText)
		}
	}
	if version := s.version(); e.Version != 0 && e.Version != version {
		faults.add("version", "somebody changed %s meanwhile; look at it again and repeat your change", s.code())
	}
	switch e.Action {
	case Order, Ship, Receive, ReceivePart:
		e.checkAt(s, now, &faults)
	case Promise:
		e.checkPromise(s, now, &faults)
	case TakeBack:
		if len(e.taken(s)) == 0 {
			faults.add("do", "no date of %s has been entered that could be taken back", s.code())
		}
	case Terms:
		e.checkTerms(s, &faults)
	case Move:
		e.checkMove(s, &faults)
	}
	if s.release != nil && e.Action != Terms && e.Action != Move && s.drop(e.Drop) == nil {
		faults.add("drop", "release %s has no drop %d", s.code(), e.Drop)
	}
	if e.Action == ReceivePart {
		e.checkPart(s, &faults)
	}
	return faults
}

func (s *subject) version() int64 {
	if s.remake != nil {
		return s.remake.Version
	}
	return s.release.Version
}

// checkAt checks when something happened: not in the future, and not before what must come first.
func (e *Edit) checkAt(s *subject, now time.Time, faults *Faults) {
	const skew = 10 * time.Minute
	switch {
	case e.At.IsZero():
		faults.add("date", "say on which day it happened")
		return
	case e.At.After(now.Add(skew)):
		faults.add("date", "%s lies in the future; write down what has happened, and a promise for what is to come", e.At.Format("Mon 2 Jan 2006"))
	case e.At.Before(now.AddDate(-2, 0, 0)):
		faults.add("date", "%s lies more than two years back", e.At.Format("Mon 2 Jan 2006"))
	}
	ordered, _, shipped, received := s.dates(e.Drop)
	if e.Action == Order {
		if received != nil && e.At.After(*received) {
			faults.add("date", "it came on %s and cannot have been ordered later", received.Format("Mon 2 Jan 2006"))
		}
		return
	}
	if ordered != nil && e.At.Before(*ordered) {
		faults.add("date", "it was ordered on %s and cannot have been sent or have come before", ordered.Format("Mon 2 Jan 2006"))
	}
	if e.Action != Ship && shipped != nil && e.At.Before(*shipped) {
		faults.add("date", "it was shipped on %s and cannot have come before", shipped.Format("Mon 2 Jan 2006"))
	}
	if received != nil && e.Action != Ship {
		faults.add("do", "this delivery is down as received already")
	}
}

func (e *Edit) checkPromise(s *subject, now time.Time, faults *Faults) {
	if e.Date == nil {
		faults.add("promised", "say for which day it is promised")
		return
	}
	day := e.Date.At(12*60, time.UTC)
	if day.After(now.AddDate(3, 0, 0)) || day.Before(now.AddDate(-1, 0, 0)) {
		faults.add("promised", "%s is too far away to be a promise; write the year as well", e.Date)
	}
	if _, _, _, received := s.dates(e.Drop); received != nil {
		faults.add("do", "this delivery is down as received already")
	}
}

func (e *Edit) checkTerms(s *subject, faults *Faults) {
	if e.SupplierID == 0 {
		faults.add("supplier", "choose who makes it")
	}
	if l := e.Lead; l != nil && (l.Least < 0 || l.Least > l.Likely || l.Likely > l.Most || l.Most > 400) {
		faults.add("lead", "lead times are whole working days, least, likely and most in this order, up to 400")
	}
	if s.remake == nil && !slices.Contains([]pattern.OrderBasis{pattern.FromDrawings, pattern.FromSurvey, pattern.AfterFraming}, e.Basis) {
		faults.add("basis", "choose what it is ordered from")
	}
	if s.remake == nil && s.release.OrderedAt != nil && (e.SupplierID != s.release.SupplierID || e.Basis != s.release.Basis) {
		faults.add("supplier", "%s has been ordered: supplier and order basis stay as they were. Take the order back first if it was not placed", s.code())
	}
}

func (e *Edit) checkMove(s *subject, faults *Faults) {
	if s.release == nil {
		faults.add("do", "a remake is an order of its own and holds one item")
		return
	}
	if len(e.Items) == 0 {
		faults.add("item", "choose at least one item")
	}
	arrived := map[int]bool{}
	for i := range s.release.Drops {
		arrived[s.release.Drops[i].Number] = s.release.Drops[i].ReceivedAt != nil
	}
	for _, id := range e.Items {
		i := slices.IndexFunc(s.items, func(item models.MaterialItem) bool { return item.ID == id })
		switch {
		case i < 0:
			faults.add("item", "an item is no longer in %s; look at it again", s.code())
		case arrived[s.items[i].DropNumber]:
			faults.add("item", "%s of %s has come already", words(s.items[i].Kind), s.items[i].Opening.Mark)
		}
	}
	target := s.target
	if e.Target.ReleaseID == 0 {
		if s.release.OrderedAt != nil {
			faults.add("target", "%s has been ordered: its items can go to another drop, not to a release that is still to be ordered", s.code())
		}
		return
	}
	if target.ProjectID != s.release.ProjectID {
		faults.add("target", "release %s belongs to another project", target.Code)
	}
	if target.ID != s.release.ID && (target.OrderedAt == nil) != (s.release.OrderedAt == nil) {
		faults.add("target", "one of %s and %s has been ordered and the other has not; items cannot change over", s.code(), target.Code)
	}
	if target.ID != s.release.ID && target.SupplierID != s.release.SupplierID {
		faults.add("target", "%s comes from %s, %s from %s", s.code(), s.release.Supplier.Name, target.Code, target.Supplier.Name)
	}
	if e.Target.Drop != 0 {
		i := slices.IndexFunc(target.Drops, func(d models.ReleaseDrop) bool { return d.Number == e.Target.Drop })
		if i < 0 {
			faults.add("target", "release %s has no drop %d", target.Code, e.Target.Drop)
		} else if target.Drops[i].ReceivedAt != nil {
			faults.add("target", "drop %d of %s has come already", e.Target.Drop, target.Code)
		}
	}
}

func (e *Edit) checkPart(s *subject, faults *Faults) {
	if s.release == nil {
		faults.add("do", "a remake is one item: it comes whole")
		return
	}
	held := 0
	for i := range s.items {
		if s.items[i].DropNumber == e.Drop {
			held++
		}
	}
	inDrop := 0
	for _, id := range e.Items {
		if slices.ContainsFunc(s.items, func(item models.MaterialItem) bool { return item.ID == id && item.DropNumber == e.Drop }) {
			inDrop++
		}
	}
	switch {
	case inDrop != len(e.Items):
		faults.add("item", "an item is no longer in drop %d; look at it again", e.Drop)
	case inDrop == 0:
		faults.add("item", "tick what came")
	case inDrop == held:
		faults.add("item", "everything is ticked: record the whole drop as received")
	}
}

// taken is the last date of a drop or remake: what taking back removes.
func (e *Edit) taken(s *subject) []models.MaterialField {
	ordered, promised, shipped, received := s.dates(e.Drop)
	switch {
	case received != nil:
		return []models.MaterialField{models.MaterialReceived}
	case shipped != nil:
		return []models.MaterialField{models.MaterialShipped}
	case promised != nil:
		return []models.MaterialField{models.MaterialPromised}
	case ordered != nil:
		return []models.MaterialField{models.MaterialOrdered}
	}
	return nil
}

func words(item pattern.Item) string { return strings.ReplaceAll(string(item), "_", " ") }
