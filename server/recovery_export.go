package server

import (
	"strings"

	"github.com/gin-gonic/gin"

	"jambwright/web"
)

// exportRecovery sends what a search found for a GC date as CSV or XLSX: moves, sets, and what would not help.
func (s *Server) exportRecovery(c *gin.Context, p *person) error {
	r, err := s.readRecovery(c, p)
	if err != nil {
		return err
	}
	if r.found == nil {
		return notFound("Nothing was found for this date yet. Look for moves first.")
	}
	page := web.RecoveryPage{Chrome: s.chrome(c)}
	if err := s.fillRecovery(c, p, &r, &page); err != nil {
		return err
	}
	return sendSheet(c, c.Param("file"), "recovery", recoveryRows(&page), 2)
}

func recoveryRows(page *web.RecoveryPage) [][]any {
	f := page.Format
	made := page.DataDate
	if page.Search.Old {
		made = page.Search.At
	}
	rows := [][]any{
		{"What would win days back for " + page.Name + ", " + page.Project},
		{"By the plan of " + f.Moment(made)},
		{
			"Letter", "What is done", "Days won", "Working days won", "Forecast then", "Date holds", "Cost of the moves", "Cost a day won",
			"Work costs more", "Damages saved", "Gets worse", "Mind",
		},
	}
	for _, line := range append(append([]web.MoveLine{}, page.Moves...), page.Sets...) {
		row := []any{line.Letter, strings.Join(line.Texts, "; ")}
		if line.Days > 0 {
			forecast, holds := "", "no"
			if line.After != nil {
				forecast = f.ISO(*line.After)
			}
			if line.Keeps {
				holds = "yes"
			}
			row = append(row, line.Days, line.WorkDays, forecast, holds, line.Cost, line.PerDay(), line.Work, line.Damages)
		} else {
			row = append(row, "only with others", "", "", "", "", "", "", "")
		}
		rows = append(rows, append(row, strings.Join(line.Worse, " "), strings.Join(line.Cautions, " ")))
	}
	for _, useless := range page.Useless {
		for _, text := range useless.Texts {
			rows = append(rows, []any{"", text, "would not help: " + useless.Why})
		}
	}
	return rows
}
