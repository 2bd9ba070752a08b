// Package sheet turns the bytes of a CSV or XLSX file, as people really keep them, into clean tables of cells, and
// tables into records under known headings.
//
// It works in two steps. Read finds out how the file is written (encoding, separator, number formats, merged cells) and
// returns a Table for each worksheet, with the row numbers that the spreadsheet program shows. Blocks then finds the
// heading rows of a Table by a Vocabulary of known headings, and returns the records between them with everything that a
// reader sees but a program does not: what a ditto mark or a merged or blank cell repeats, which level a banner row
// opened, which rows are titles, totals, notes and page footers.
//
//	OPENING SCHEDULE                        title, passed over
//	MARK | DOOR        | FRAME | REMARKS    heading, two rows deep: DOOR W, DOOR H, FRAME TYPE
//	     | W    | H    | TYPE  |
//	LEVEL 2                                 banner: holds for the records below it
//	201  | 3-0  | 7-0  | HM1   |            record
//	202  | "    | "    | "     | no sill    record, its ditto marks resolved
//	TOTAL: 2                                passed over, and listed as such
//
// What repeats. A ditto mark (", DO, -do-, 〃, ditto) repeats the cell above. A blank cell repeats it only in columns
// whose heading says so, which are the grouping columns such as level, area and type; a blank width is missing, not
// repeated. A value alone on its row in such a column holds for the blanks below it. Nothing is ever repeated across a
// heading row or a banner row: a ditto mark right below one is an orphan.
//
// This package knows no trade: which headings exist and what cells mean is its caller's business.
package sheet
