package sheet_test

import (
	"archive/zip"
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/server/sheet"
)

// rawBook zips the parts of a workbook as other programs write them (ECMA-376 part 1): strings kept inline, shared
// strings in runs of different fonts, cells without references, no styles part.
func rawBook(t *testing.T, sheetXML, shared string) []byte {
	t.Helper()
	parts := [][2]string{
		{"[Content_Types].xml", `<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/><Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/></Types>`},
		{"_rels/.rels", `<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", `<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="Doors" sheetId="1" r:id="rId1"/></sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="/xl/worksheets/sheet1.xml"/><Relationship Id="rId2" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings" Target="sharedStrings.xml"/></Relationships>`},
		{"xl/worksheets/sheet1.xml", `<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">` + sheetXML + `</worksheet>`},
		{"xl/sharedStrings.xml", `<?xml version="1.0"?><sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">` + shared + `</sst>`},
	}
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range parts {
		w, err := z.Create(p[0])
		require.NoError(t, err)
		_, err = w.Write([]byte(p[1]))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return b.Bytes()
}

func TestRead_WorkbooksWrittenByOtherPrograms(t *testing.T) {
	t.Parallel()
	data := rawBook(t, `<sheetData>
		<row r="2"><c r="A2" t="inlineStr"><is><t>Mark</t></is></c><c r="C2" t="s"><v>0</v></c></row>
		<row><c t="inlineStr"><is><t>101</t></is></c><c/><c t="str"><f>A1&amp;""</f><v>3'-0"</v></c><c><v>36.50</v></c></row>
		<row r="6"><c r="B6" t="e"><v>#N/A</v></c><c r="C6" t="b"><v>1</v></c><c r="D6" t="d"><v>2026-11-25</v></c></row>
	</sheetData><mergeCells count="1"><mergeCell ref="A2:B2"/></mergeCells>`,
		`<si><r><t>Wi</t></r><r><t>dth</t></r></si>`)
	table := read(t, data)[0]
	assert.Equal(t, "Doors", table.Name)
	assert.Equal(t, [][]string{{"Mark", "Mark", "Width"}, {"101", "", `3'-0"`, "36.50"}, {"", "#N/A", "TRUE", "2026-11-25"}}, texts(table))
	assert.Equal(t, []int{2, 3, 6}, []int{table.Rows[0].Number, table.Rows[1].Number, table.Rows[2].Number})
	assert.Equal(t, sheet.Failed, table.Rows[2].Cells[1].Kind)
}

func TestRead_RefusesAWorkbookWithTextFarBelow(t *testing.T) {
	t.Parallel()
	data := rawBook(t, `<sheetData><row r="900000"><c r="A900000" t="inlineStr"><is><t>x</t></is></c></row></sheetData>`, "")
	_, err := sheet.Read("far.xlsx", data)
	require.ErrorIs(t, err, sheet.ErrUnreadable)
	assert.Contains(t, err.Error(), "row 900000")
}
