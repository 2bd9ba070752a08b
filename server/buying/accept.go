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
	"jambwright/scheduler/pattern"
	"jambwright/server/planning"
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
				writeContents(&b, p.Contents)
			}
		}
	}
	return shortSum(&b)
}

func writeContents(b *strings.Builder, contents []ordering.Content) {
	for _, c := range contents {
		fmt.Fprintf(b, "%s %s,", c.Mark, c.Item)
	}
}

func shortSum(b *strings.Builder) string {
	sum := sha256.Sum256([]byte(b.String()))
	return hex.EncodeToString(sum[:8])
}

// Regrouped is the change that groups a release as suggested, if the suggestion is still the one that was seen. It is refused as
// Faults when it is not, as for a release that has been ordered.
func Regrouped(rel *models.Release, project *models.Project, storageDays int, seen string, actor models.Actor) planning.Revision {
	return planning.Revision{
		Cause: "release " + rel.Code + " grouped by need", Tasks: tasksOf(project.Code, rel),
		Store: func(ctx context.Context, tx *models.Tx) error {
			board, err := readIn(ctx, tx)
			if err != nil {
				return err
			}
			e := Edit{Action: Move, ReleaseID: rel.ID}
			s, err := e.find(ctx, tx)
			if err != nil {
				return err
			}
			if faults := unordered(s.release); len(faults) > 0 {
				return faults
			}
			list := board.Suggestions(s.project.Code, storageDays)
			i := slices.IndexFunc(list, func(g ordering.Suggestion) bool { return g.Release == s.release.Code })
			if i < 0 || Fingerprint(&list[i]) != seen {
				return Faults{{"seen", "the plan or the release has changed since; look at what is suggested now"}}
			}
			return regroup(ctx, tx, s, &list[i], actor)
		},
	}
}

// unordered refuses what is ordered already.
func unordered(rel *models.Release) (faults Faults) {
	if rel.OrderedAt != nil {
		faults.add("seen", "release %s has been ordered: it stays as it was ordered", rel.Code)
	}
	return faults
}

// tasksOf are the keys of order, leads and deliveries of releases, with those of the drop that each may get.
func tasksOf(project string, releases ...*models.Release) (keys []string) {
	for _, rel := range releases {
		keys = append(keys, string(pattern.OrderTask(project, rel.Code)))
		for n := range len(rel.Drops) + 1 {
			keys = append(keys, string(pattern.LeadTask(project, rel.Code, n+1)), string(pattern.DeliverTask(project, rel.Code, n+1)))
		}
	}
	return keys
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
