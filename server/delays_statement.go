package server

import (
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/server/delays"
	"jambwright/web"
)

const (
	typePDF  = "application/pdf"
	typeXLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
)

// delayPDF hands out the statement of a project and run as PDF.
func (s *Server) delayPDF(c *gin.Context, p *person) error {
	return s.delayExport(c, p, ".pdf", typePDF, func(r *delays.Report, f web.Format) ([]byte, error) {
		return delays.PDF(r, f, s.db.Now())
	})
}

// delayXLSX hands it out as a workbook.
func (s *Server) delayXLSX(c *gin.Context, p *person) error {
	return s.delayExport(c, p, ".xlsx", typeXLSX, func(r *delays.Report, _ web.Format) ([]byte, error) { return delays.XLSX(r) })
}

func (s *Server) delayExport(c *gin.Context, p *person, ending, kind string, write func(*delays.Report, web.Format) ([]byte, error)) error {
	statement, ready, err := s.statement(c, p, c.Query("project"), c.Query("window"))
	if err != nil {
		return err
	}
	switch {
	case len(statement.Windows) == 0:
		return notFound("There is nothing to state yet: delays are measured from one issued plan to the next.")
	case !ready:
		return badRequest("The ledger is still being worked out. Try again in a minute.")
	}
	settings, err := models.Settings(c.Request.Context(), s.db)
	if err != nil {
		return err
	}
	format := s.format(c, &statement.Project)
	data, err := write(delays.NewReport(statement, settings.Name, format), format)
	if err != nil {
		return err
	}
	name := "delays-" + strings.ToLower(statement.Project.Code) + "-" + format.ISO(statement.At) + ending
	c.Header("Content-Disposition", `attachment; filename="`+fileName(name)+`"`)
	c.Header("Cache-Control", "no-store")
	c.Data(http.StatusOK, kind, data)
	return nil
}

// fileName keeps of a name what every system takes.
func fileName(name string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '-' || r == '.' {
			return r
		}
		return '-'
	}, name)
}
