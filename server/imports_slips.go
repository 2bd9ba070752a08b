package server

import (
	"context"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/problem"
	"jambwright/server/importing"
	"jambwright/server/planning"
	"jambwright/web"
)

// fillSlips says of a fresh sheet of handovers what slipped since the last one, and what a plan made with it would move.
// Rows that cannot be read are left out of the trial, and what the sheet no longer names stays.
func (s *Server) fillSlips(c *gin.Context, p *person, u upload, preview *importing.Preview, page *web.ImportPreviewPage) error {
	if preview.Sheet.Kind != importing.Handovers || len(preview.Handovers.Changed)+len(preview.Handovers.New) == 0 {
		return nil
	}
	for i := range preview.Handovers.Changed {
		page.Slips = append(page.Slips, slipsOf(&preview.Handovers.Changed[i], page.Format)...)
	}
	if _, err := strconv.ParseInt(u.project, 10, 64); err != nil {
		return nil // a new project has no work that could move
	}
	record := func(ctx context.Context, tx *models.Tx) error {
		answers := importing.Answers{LeaveOut: true, Of: importing.KeepAll(preview)}
		_, err := importing.Apply(ctx, s.store(p, u).Within(tx), preview, answers)
		return err
	}
	tried, err := planning.TryNews(c.Request.Context(), s.db, record)
	effect, err := s.trialEffect(c, tried, err)
	page.Effect = &effect
	return err
}

// slipsOf says what a changed row changes of its dates.
func slipsOf(change *importing.Changed[importing.HandoverRow], f web.Format) []web.SheetSlip {
	old, row := &change.Old, &change.New
	about := web.SheetSlip{Row: row.Row, Area: joined(row.Level, row.Area), Condition: cellWords("condition", row.Condition)}
	var list []web.SheetSlip
	add := func(text string, later bool) {
		line := about
		line.Text, line.Later = text, later
		list = append(list, line)
	}
	if !sameDate(old.Promised, row.Promised) {
		text := "promise " + f.SlipWords(old.Promised, row.Promised)
		if row.Forecast != nil && row.Actual == nil {
			text += "; we expect " + f.Date(*row.Forecast) + " of our own, and the plan goes by that"
		}
		add(text, isLater(old.Promised, row.Promised))
	}
	if !sameDate(old.Forecast, row.Forecast) {
		add("our forecast "+f.SlipWords(old.Forecast, row.Forecast), isLater(old.Forecast, row.Forecast))
	}
	if !sameDate(old.Actual, row.Actual) && row.Actual != nil {
		text := "handed over " + f.Date(*row.Actual)
		if row.Promised != nil {
			text += ", " + web.LateWords(web.HandoverCell{Promised: row.Promised, Actual: row.Actual}.Late())
		}
		add(text, false)
	}
	return list
}

func sameDate(a, b *problem.Date) bool {
	return a == nil && b == nil || a != nil && b != nil && *a == *b
}

func isLater(old, now *problem.Date) bool {
	return old != nil && now != nil && old.String() < now.String()
}

// joined are a level and an area inside it as one name.
func joined(level, area string) string {
	switch {
	case level == "":
		return area
	case area == "":
		return level
	}
	return level + " / " + area
}
