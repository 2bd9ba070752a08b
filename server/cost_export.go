package server

import (
	"github.com/gin-gonic/gin"

	"jambwright/web"
)

// exportCost sends the lines of the page of cost as CSV or XLSX, one row for each project and each GC date.
func (s *Server) exportCost(c *gin.Context, p *person) error {
	page, err := s.costPage(c, p)
	if err != nil {
		return err
	}
	return sendSheet(c, c.Param("file"), "cost", costRows(&page), 0)
}

func costRows(page *web.CostPage) [][]any {
	rows := [][]any{{
		"Project", "GC date", "Counts", "Tasks", "Done", "Hours planned", "Hours spent", "Hours to come", "Hours of travel and set-up",
		"Hours paid without work", "Hours at completion", "Of them overtime", "Hours idle, not in the forecast", "Planned", "Spent", "Work to come",
		"Travel and set-up", "Premiums and hours without work", "Prices of moves", "At completion", "Idle, not in the forecast", "Damages",
	}}
	for i := range page.Projects {
		project := &page.Projects[i]
		rows = append(rows, costRow(project.Name, "", "all crew work of the project", &project.Whole))
		for k := range project.Dates {
			date := &project.Dates[k]
			rows = append(rows, costRow(project.Name, date.Name, date.Counts, date))
		}
	}
	return rows
}

func costRow(project, date, counts string, l *web.CostLine) []any {
	h := &l.Hours
	return []any{
		project, date, counts, l.Tasks, l.Done, h.Planned, h.Spent, h.ToCome, h.Travel, h.Lost, h.Forecast, h.Overtime, h.Idle,
		l.Planned, l.Spent, l.ToCome, l.Travel, l.Premiums, l.Prices, l.Forecast, l.Idle, l.Damages,
	}
}
