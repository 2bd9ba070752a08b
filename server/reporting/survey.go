package reporting

import (
	"cmp"
	"context"
	"fmt"
	"strings"

	"jambwright/models"
	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/tolerance"
)

// judge holds what was measured against what may be built to on the task's project. What lies beyond becomes the cause of
// the report, which holds the opening's work; the party to put it right is the one named, else the trade that handed over
// the walls, else another trade. A report within the allowed names no cause, and lifts what an earlier one held.
func (r *Report) judge(ctx context.Context, tx *models.Tx, task *models.Task, taken *Taken) error {
	r.Cause = ""
	if task.Opening == nil || r.Width == nil || r.Height == nil {
		r.Party = ""
		return nil
	}
	o := task.Opening
	set, err := models.TolerancesOf(ctx, tx, &task.Project)
	if err != nil {
		return err
	}
	reading := tolerance.Reading{Width: r.Width, Height: r.Height, Plumb: r.Plumb, Level: r.Level, Square: r.Square}
	findings := tolerance.Find(reading, o.Width, o.Height, set.For(o.OpeningType))
	if len(findings) == 0 {
		r.Party, r.Until = "", nil
		return nil
	}
	if r.Party == "" {
		trade, err := models.HandedOverBy(ctx, tx, task.ProjectID, o.AreaID, pattern.WallsBoarded)
		if err != nil {
			return err
		}
		r.Party = cmp.Or(trade, "other trade")
	}
	r.Cause = FindingWords(findings, o, task.Project.Units)
	taken.Beyond, taken.Party = r.Cause, r.Party
	return nil
}

// FindingWords says in figures what of an opening lies beyond the allowed: "width 3'-4 1/2" where the drawings say 3'-4",
// 1/4" allowed; 5/16" out of plumb, 1/16" allowed".
func FindingWords(findings []tolerance.Finding, o *models.Opening, units models.Units) string {
	parts := make([]string, len(findings))
	for i, f := range findings {
		allowed := shortLength(f.Allowed, units) + " allowed"
		switch f.Check {
		case tolerance.Width:
			parts[i] = fmt.Sprintf("width %s where the drawings say %s, %s", units.Write(o.Width+f.Off), units.Write(o.Width), allowed)
		case tolerance.Height:
			parts[i] = fmt.Sprintf("height %s where the drawings say %s, %s", units.Write(o.Height+f.Off), units.Write(o.Height), allowed)
		default:
			parts[i] = fmt.Sprintf("%s out of %s, %s", shortLength(f.Off, units), f.Check, allowed)
		}
	}
	return strings.Join(parts, "; ")
}

// shortLength writes a small length without feet: 5/16".
func shortLength(l length.Length, units models.Units) string {
	return strings.TrimPrefix(strings.TrimPrefix(units.Write(l), "0'-"), "0 ")
}

// TakeBack takes a measured size back with a report of its own, under the id that the form was given; sent twice it counts once.
func TakeBack(ctx context.Context, db *models.DB, reportID int64, clientID string, who models.Actor) error {
	if clientID == "" || len(clientID) > 100 {
		return Faults{{Field: "report_id", Message: "the form lacks its id; open the page again"}}
	}
	return db.Write(ctx, func(tx *models.Tx) error {
		return models.TakeBackSize(ctx, tx, reportID, models.FieldReport{
			ClientID: clientID, At: tx.Now(), UserID: who.UserID, Reporter: who.Name,
		})
	})
}
