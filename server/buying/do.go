package buying

import (
	"context"
	"fmt"
	"strconv"

	"jambwright/models"
)

// Do makes the edit and its history in one transaction. The errors to show a person are Faults and *models.ErrStale.
func Do(ctx context.Context, db *models.DB, e Edit, actor models.Actor) error {
	return db.Write(ctx, func(tx *models.Tx) error {
		s, err := e.find(ctx, tx)
		if err != nil {
			return err
		}
		if faults := e.check(s, tx.Now()); len(faults) > 0 {
			return faults
		}
		_, err = e.do(ctx, tx, s, actor)
		return err
	})
}

// do makes the edit and returns the codes of the releases or the remake that it is about.
func (e *Edit) do(ctx context.Context, tx *models.Tx, s *subject, actor models.Actor) (codes []string, err error) {
	codes = []string{s.code()}
	switch e.Action {
	case ReceivePart:
		_, err := models.ReceivePart(ctx, tx, models.PartReceived{
			ReleaseID: s.release.ID, Drop: e.Drop, Came: e.Items, At: e.At, RestPromised: e.Date, Cause: e.Cause, Source: e.Source,
		}, actor)
		return codes, err
	case Terms:
		return codes, e.setTerms(ctx, tx, s, actor)
	case Move:
		target, err := e.move(ctx, tx, s, actor)
		if target != s.code() {
			codes = append(codes, target)
		}
		return codes, err
	case Order, Promise, Ship, Receive, TakeBack:
		return codes, models.RecordMaterial(ctx, tx, e.news(s), actor)
	}
	return nil, fmt.Errorf("unknown change of material %q", e.Action)
}

// news are the dates that the edit sets. What is promised, sent or received has been ordered; where nobody wrote down when, it
// was at the latest at the time of the news.
func (e *Edit) news(s *subject) models.MaterialNews {
	n := models.MaterialNews{Cause: e.Cause, Source: e.Source}
	if s.remake != nil {
		n.ItemID = &s.remake.ID
	} else {
		n.ReleaseID, n.Drop = &s.release.ID, e.Drop
	}
	at := e.At
	switch e.Action {
	case Order:
		n.Ordered = &at
	case Promise:
		n.Promised = e.Date
	case Ship:
		n.Shipped = &at
	case Receive:
		n.Received = &at
	case TakeBack:
		n.Clear = e.taken(s)
		return n
	case ReceivePart, Terms, Move:
	}
	if ordered, _, _, _ := s.dates(e.Drop); ordered == nil && n.Ordered == nil && !at.IsZero() {
		n.Ordered = &at
	}
	return n
}

func (e *Edit) setTerms(ctx context.Context, tx *models.Tx, s *subject, actor models.Actor) error {
	var least, likely, most *int
	if e.Lead != nil {
		least, likely, most = &e.Lead.Least, &e.Lead.Likely, &e.Lead.Most
	}
	if s.remake != nil {
		return models.SetRemakeSupplier(ctx, tx, s.remake.ID, s.remake.Version, e.SupplierID, least, likely, most, actor)
	}
	rel := *s.release
	rel.Name, rel.SupplierID, rel.Basis = e.Name, e.SupplierID, e.Basis
	rel.LeastDays, rel.LikelyDays, rel.MostDays = least, likely, most
	return models.UpdateRelease(ctx, tx, &rel, e.Cause, actor)
}

// move puts items into another drop and returns the code of its release, which is new where the target names none.
func (e *Edit) move(ctx context.Context, tx *models.Tx, s *subject, actor models.Actor) (code string, err error) {
	to, drop := e.Target.ReleaseID, e.Target.Drop
	if s.target != nil {
		code = s.target.Code
	}
	switch {
	case to == 0:
		if code, err = freeCode(ctx, tx, s.release); err != nil {
			return "", err
		}
		rel := &models.Release{
			ProjectID: s.release.ProjectID, Code: code, Name: e.Name, SupplierID: s.release.SupplierID, Basis: s.release.Basis,
			LeastDays: s.release.LeastDays, LikelyDays: s.release.LikelyDays, MostDays: s.release.MostDays,
		}
		if err := models.CreateRelease(ctx, tx, rel, actor); err != nil {
			return "", err
		}
		to, drop = rel.ID, 1
	case drop == 0:
		if drop, err = models.AddDrop(ctx, tx, to, 0, nil); err != nil {
			return "", err
		}
	}
	return code, models.MoveItems(ctx, tx, to, drop, e.Items, e.Cause, actor)
}

// freeCode is the first code of a part of a release that its project does not use yet: R3-2, R3-3.
func freeCode(ctx context.Context, r models.Reader, rel *models.Release) (string, error) {
	all, err := models.Releases(ctx, r, rel.ProjectID)
	if err != nil {
		return "", err
	}
	used := map[string]bool{}
	for i := range all {
		used[all[i].Code] = true
	}
	for n := 2; ; n++ {
		if code := rel.Code + "-" + strconv.Itoa(n); !used[code] {
			return code, nil
		}
	}
}
