package buying

import (
	"context"
	"slices"
	"strings"

	"jambwright/models"
	"jambwright/scheduler/ordering"
	"jambwright/server/planning"
)

// Merges are the small releases of a project that would best be one order, by the latest plan.
func (b *Board) Merges(project string, rules ordering.MergeRules) []ordering.Merge {
	all := ordering.Merges(&b.Firm, b.Spans, rules)
	return slices.DeleteFunc(all, func(m ordering.Merge) bool { return m.Project != project })
}

// MergeFingerprint names a merge by its releases and what they hold.
func MergeFingerprint(m *ordering.Merge) string {
	var b strings.Builder
	for i := range m.Parts {
		b.WriteString("/" + m.Parts[i].Release + ":")
		writeContents(&b, m.Parts[i].Contents)
	}
	return shortSum(&b)
}

// Merged is the change that makes one release of several as suggested, if the suggestion is still the one that was seen: what the
// others hold goes into the first one's drop, and they stay behind empty with their history. It is refused as Faults when one of
// them has been ordered, or when the suggestion has become another.
func Merged(releases []*models.Release, project *models.Project, rules ordering.MergeRules, seen string, actor models.Actor) planning.Revision {
	codes := make([]string, len(releases))
	for i, rel := range releases {
		codes[i] = rel.Code
	}
	return planning.Revision{
		Cause: "releases " + strings.Join(codes, ", ") + " made one order", Tasks: tasksOf(project.Code, releases...),
		Store: func(ctx context.Context, tx *models.Tx) error {
			board, err := readIn(ctx, tx)
			if err != nil {
				return err
			}
			var faults Faults
			for _, rel := range releases {
				now, err := models.ReleaseByID(ctx, tx, rel.ID)
				if err != nil {
					return err
				}
				faults = append(faults, unordered(now)...)
			}
			if len(faults) > 0 {
				return faults
			}
			list := board.Merges(project.Code, rules)
			i := slices.IndexFunc(list, func(m ordering.Merge) bool { return slices.Equal(m.Codes(), codes) })
			if i < 0 || MergeFingerprint(&list[i]) != seen {
				return Faults{{"seen", "the plan or the releases have changed since; look at what is suggested now"}}
			}
			return merge(ctx, tx, releases, actor)
		},
	}
}

// merge moves what the others hold into the drop of the first one.
func merge(ctx context.Context, tx *models.Tx, releases []*models.Release, actor models.Actor) error {
	drop := 0
	var move []int64
	for i, rel := range releases {
		items, err := models.ReleaseItems(ctx, tx, rel.ID)
		if err != nil {
			return err
		}
		for j := range items {
			switch {
			case items[j].OnSite: // it comes with nothing
			case i == 0:
				drop = items[j].DropNumber
			default:
				move = append(move, items[j].ID)
			}
		}
	}
	return models.MoveItems(ctx, tx, releases[0].ID, drop, move, "one order, one truck", actor)
}
