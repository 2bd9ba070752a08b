package server

import (
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/scheduler/problem"
	"jambwright/web"
)

// exportHandovers sends the list that a filter chooses as CSV or XLSX. It has one row for each handover, under headings
// that an import reads, with dates as imports read them.
func (s *Server) exportHandovers(c *gin.Context, p *person) error {
	page, _, err := s.handoversPage(c, p)
	if err != nil {
		return err
	}
	return sendSheet(c, c.Param("file"), "handovers", handoverRows(&page), 0)
}

// handoverRows are the own handovers of a page's grid, area by area.
func handoverRows(page *web.HandoversPage) [][]string {
	rows := [][]string{{
		"Level", "Area", "Condition", "Trade", "Promised", "Forecast", "Actual", "Standing", "Slips", "Days slipped", "Openings waiting", "Next task", "Next start",
	}}
	for _, row := range page.Rows {
		level, area, _ := strings.Cut(row.Area, " / ")
		for _, c := range row.Cells {
			if c.ID == "" || c.From != "" {
				continue
			}
			next, start := "", time.Time{}
			if c.Next != nil {
				next, start = string(c.Next.Kind)+" "+c.Next.Mark, c.Next.Start
			}
			rows = append(rows, []string{
				level, area, c.Condition, c.Trade, isoDate(c.Promised), isoDate(c.Forecast), isoDate(c.Actual), string(c.State),
				strconv.Itoa(c.Slips), strconv.Itoa(c.Moved), strconv.Itoa(c.Waiting), next, page.Format.ISO(start),
			})
		}
	}
	return rows
}

func isoDate(d *problem.Date) string {
	if d == nil {
		return ""
	}
	return d.String()
}
