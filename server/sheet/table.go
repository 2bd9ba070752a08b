package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
)

// Limits on what is read. They are far above any schedule and keep a hostile or mistaken upload from filling memory.
const (
	MaxBytes   = 32 << 20
	MaxRows    = 120_000
	MaxColumns = 256
)

// ErrUnreadable is wrapped by every error of Read: the file as a whole cannot be read. The message says why and how to
// save it so that it can.
var ErrUnreadable = errors.New("cannot read the file")

// CellKind tells apart what a spreadsheet program knows about a cell. Everything in a CSV file is Text.
type CellKind int

// The kinds of cell.
const (
	Text       CellKind = iota
	Number              // Text is the number in plain decimals, or as shown where its format adds units or zeros
	Date                // Text is 2006-01-02, or 2006-01-02 15:04 when it has a time of day
	Failed              // Text is the program's error value, such as #REF!
	Uncomputed          // a formula without a stored result; Text is empty
	Orphan              // a ditto mark with nothing above it to repeat; Text is the mark
)

// Cell is one cell, its outer white space trimmed.
type Cell struct {
	Text string
	Kind CellKind
	Copy bool // filled in from the top left cell of a merged block
}

// Row is one row with its number as the spreadsheet program shows it, from 1. Cells may be shorter than other rows'.
type Row struct {
	Number int
	Cells  []Cell
}

// Table is one worksheet, or the one table of a CSV file.
type Table struct {
	Name  string   // of the worksheet, "" for CSV
	Rows  []Row    // in order; rows without any text are left out
	Read  string   // how the file was understood, for the preview: "UTF-16, separated by semicolons"
	Notes []string // things a person should know: hidden rows that were read, formulas without a result
}

// Read returns the tables of a file, told apart by its first bytes, not by its name; the name only serves messages. At
// least one table is returned without an error.
func Read(name string, data []byte) ([]Table, error) {
	tables, err := read(data)
	if err != nil {
		return nil, fmt.Errorf("%w %s: %w", ErrUnreadable, filepath.Base(name), err)
	}
	return tables, nil
}

func read(data []byte) ([]Table, error) {
	if len(data) > MaxBytes {
		return nil, fmt.Errorf("it has %d MB, more than %d MB", len(data)>>20, MaxBytes>>20)
	}
	for _, f := range foreign {
		if bytes.HasPrefix(data, []byte(f.magic)) {
			return nil, fmt.Errorf("it is %s; save it as .xlsx or .csv", f.what)
		}
	}
	if bytes.HasPrefix(data, []byte("PK\x03\x04")) {
		return readXLSX(data)
	}
	text, encoding, err := decode(data)
	if err != nil {
		return nil, err
	}
	if what, ok := markup(text); ok {
		return nil, fmt.Errorf("it is %s, whatever its name says; open it and save it as .xlsx or .csv", what)
	}
	table, err := readCSV(text)
	if err != nil {
		return nil, err
	}
	table.Read = encoding + ", " + table.Read
	return []Table{table}, nil
}

// foreign lists the first bytes of files that people upload by mistake.
var foreign = []struct{ magic, what string }{
	{"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "an old binary spreadsheet (.xls) or a workbook locked by a password"},
	{"%PDF", "a PDF"},
	{"\x89PNG", "a picture"},
	{"\xff\xd8\xff", "a picture"},
	{"\x1f\x8b", "a compressed file"},
	{"7z\xbc\xaf", "a compressed file"},
}

// markup recognises web pages and XML that programs export under a spreadsheet's name.
func markup(text string) (string, bool) {
	head := strings.ToLower(strings.TrimSpace(text[:min(len(text), 512)]))
	switch {
	case strings.HasPrefix(head, "<?xml"):
		return "an XML file", true
	case strings.HasPrefix(head, "<!doctype html"), strings.HasPrefix(head, "<html"), strings.HasPrefix(head, "<table"):
		return "a web page", true
	}
	return "", false
}

// ColumnName returns the letters of a column from its index: 0 is A, 25 is Z, 26 is AA.
func ColumnName(index int) string {
	name := ""
	for index++; index > 0; index = (index - 1) / 26 {
		name = string(rune('A'+(index-1)%26)) + name
	}
	return name
}

// at returns the cell of a column, the zero Cell where the row is shorter.
func (r Row) at(column int) Cell {
	if column < len(r.Cells) {
		return r.Cells[column]
	}
	return Cell{}
}
