package server

import (
	"fmt"
	"net/http"
	"path"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/server/sheet"
)

// sendSheet sends rows of texts, or of texts and numbers, as the file that was asked for; heading is the index of the row that
// holds the headings. Numbers are number cells of a workbook.
func sendSheet[T any](c *gin.Context, file, name string, rows [][]T, heading int) (err error) {
	var data []byte
	contentType := "text/csv; charset=utf-8"
	switch file {
	case name + ".csv":
		data, err = sheet.WriteCSV(textRows(rows))
	case name + ".xlsx":
		contentType = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
		data, err = sheet.WriteXLSX(name, rows, heading)
	default:
		return notFound("This list comes as " + name + ".csv or " + name + ".xlsx.")
	}
	if err != nil {
		return fmt.Errorf("write %s: %w", path.Base(file), err)
	}
	c.Header("Content-Disposition", fmt.Sprintf("attachment; filename=%q", file))
	c.Data(http.StatusOK, contentType, data)
	return nil
}

// textRows writes numbers as texts, those with a fraction to the hundredth.
func textRows[T any](rows [][]T) [][]string {
	texts := make([][]string, len(rows))
	for i, row := range rows {
		for _, cell := range row {
			text := fmt.Sprint(cell)
			if v, is := any(cell).(float64); is {
				text = strconv.FormatFloat(v, 'f', 2, 64)
			}
			texts[i] = append(texts[i], text)
		}
	}
	return texts
}
