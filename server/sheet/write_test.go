package sheet_test

import (
	"bytes"
	"encoding/csv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"jambwright/server/sheet"
)

func TestWrite_NoTextCanStartAFormulaAndAllReadBack(t *testing.T) {
	t.Parallel()
	rows := [][]string{{"Mark", "Notes", "Size"}, {"=1+1", "+cmd", "-3+2"}, {"-3.5", "-", "-x"}, {"@x", "'tis", `3'-0"`}, {"1E2", "007", ""}}
	data, err := sheet.WriteCSV(rows)
	require.NoError(t, err)
	records, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\ufeff")))).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, []string{"'=1+1", "'+cmd", "'-3+2"}, records[1])
	assert.Equal(t, []string{"-3.5", "'-", "'-x"}, records[2], "a number is no formula")
	tables, err := sheet.Read("a.csv", data)
	require.NoError(t, err)
	assert.Equal(t, rows, texts(tables[0]))

	book, err := sheet.WriteXLSX("List", rows, 0)
	require.NoError(t, err)
	f, err := excelize.OpenReader(bytes.NewReader(book))
	require.NoError(t, err)
	formula, err := f.GetCellFormula("List", "A2")
	require.NoError(t, err)
	assert.Empty(t, formula)
	require.NoError(t, f.Close())
	table := read(t, book)[0]
	assert.Equal(t, "=1+1", table.Rows[1].Cells[0].Text)
	assert.Equal(t, "007", table.Rows[4].Cells[1].Text)
}
