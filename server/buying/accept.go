package buying

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"

	"jambwright/models"
	"jambwright/scheduler/ordering"
)

// Suggestions are how the releases of a project that are not ordered would best be ordered, by the latest plan.
func (b *Board) Suggestions(project string, storageDays int) []ordering.Suggestion {
	all := ordering.Suggest(&b.Firm, b.Spans, storageDays)
	return slices.DeleteFunc(all, func(s ordering.Suggestion) bool { return s.Project != project })
}

// Fingerprint names a suggestion by what it puts where, so that one that has become another is not accepted unseen.
func Fingerprint(s *ordering.Suggestion) string {
	var b strings.Builder
	for _, o := range s.Orders {
		b.WriteByte('/')
		for _, d := range o.Drops {
			b.WriteByte('|')
			for _, p := range d.Parcels {
				for _, c := range p.Contents {
					fmt.Fprintf(&b, "%s %s,", c.Mark, c.Item)
				}
			}
		}
	}
	sum := sha256.Sum256([]byte(b.String()))
	return hex.EncodeToString(sum[:8])
}

// Accept regroups a release as suggested, if the suggestion is still the one that was seen.
func Accept(ctx context.Context, db *models.DB, releaseID int64, storageDays int, seen string, actor models.Actor) error {
	board, err := Read(ctx, db)
	if err != nil {
		return err
	}
	return db.Write(ctx, func(tx *models.Tx) error {
		e := Edit{Action: Move, ReleaseID: releaseID}
		s, err := e.find(ctx, tx)
		if err != nil {
			return err
		}
		list := board.Suggestions(s.project.Code, storageDays)
		i := slices.IndexFunc(list, func(g ordering.Suggestion) bool { return g.Release == s.release.Code })
		if i < 0 || Fingerprint(&list[i]) != seen {
			return Faults{{"seen", "the plan or the release has changed since; look at what is suggested now"}}
		}
		return regroup(ctx, tx, s, &list[i], actor)
	})
}

// regroup moves the items of a release into the orders and drops of a suggestion. The first order keeps the release.
func regroup(ctx context.Context, tx *models.Tx, s *subject, g *ordering.Suggestion, actor models.Actor) error {
	ids := map[ordering.Content]*models.MaterialItem{}
	for i := range s.items {
		item := &s.items[i]
		ids[ordering.Content{Mark: item.Opening.Mark, Area: item.Opening.Area.Code, Item: item.Kind}] = item
	}
	const why = "needs of the plan"
	for i := range g.Orders {
		rel, drops := s.release, s.release.Drops
		if i > 0 {
			code, err := freeCode(ctx, tx, s.release)
			if err != nil {
				return err
			}
			rel = &models.Release{
				ProjectID: s.release.ProjectID, Code: code, SupplierID: s.release.SupplierID, Basis: s.release.Basis,
				LeastDays: s.release.LeastDays, LikelyDays: s.release.LikelyDays, MostDays: s.release.MostDays,
			}
			if err := models.CreateRelease(ctx, tx, rel, actor); err != nil {
				return err
			}
			drops = rel.Drops
		}
		for j := range g.Orders[i].Drops {
			number := 0
			if j < len(drops) {
				number = drops[j].Number
			} else {
				var err error
				if number, err = models.AddDrop(ctx, tx, rel.ID, 0, nil); err != nil {
					return err
				}
			}
			var move []int64
			for _, parcel := range g.Orders[i].Drops[j].Parcels {
				for _, c := range parcel.Contents {
					if item := ids[c]; item != nil && (*item.ReleaseID != rel.ID || item.DropNumber != number) {
						move = append(move, item.ID)
					}
				}
			}
			if len(move) == 0 {
				continue
			}
			if err := models.MoveItems(ctx, tx, rel.ID, number, move, why, actor); err != nil {
				return err
			}
		}
	}
	return nil
}
