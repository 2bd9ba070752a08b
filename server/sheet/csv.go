package sheet

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// separators are the candidates in order of preference among equals.
var separators = []struct {
	char byte
	name string
}{{'\t', "tabs"}, {';', "semicolons"}, {',', "commas"}, {'|', "bars"}}

// sampleLines is how many lines with text are looked at to tell the separator.
const sampleLines = 400

// readCSV reads separated text. It accepts all of RFC 4180 and, beyond it, what hand-made files hold: other separators,
// inch marks that were not doubled, and ditto marks standing bare between separators.
func readCSV(text string) (Table, error) {
	text, named := separatorLine(text)
	separator, name := named, "the separator named in its first line"
	if separator == 0 {
		separator, name = detect(text)
	}
	records, err := split(text, separator)
	if err != nil {
		return Table{}, err
	}
	table := Table{Read: "separated by " + name}
	first := 1
	if named != 0 {
		first = 2
	}
	for i, fields := range records {
		if row, ok := textRow(first+i, fields); ok {
			table.Rows = append(table.Rows, row)
		}
	}
	if len(table.Rows) == 0 {
		return Table{}, errors.New("it holds no text")
	}
	return table, nil
}

// separatorLine takes off a first line such as sep=; that spreadsheet programs write and read.
func separatorLine(text string) (rest string, separator byte) {
	line, after, _ := strings.Cut(text, "\n")
	line = strings.TrimRight(line, "\r")
	if value, ok := strings.CutPrefix(strings.ToLower(strings.Trim(line, `"`)), "sep="); ok && len(value) == 1 {
		return after, value[0]
	}
	return text, 0
}

func textRow(number int, fields []string) (Row, bool) {
	cells := make([]Cell, 0, min(len(fields), MaxColumns))
	any := false
	for _, f := range fields[:min(len(fields), MaxColumns)] {
		f = unguarded(trim(f))
		any = any || f != ""
		cells = append(cells, Cell{Text: f, Kind: textKind(f)})
	}
	return Row{Number: number, Cells: cells}, any
}

// textKind recognises the error values that spreadsheet programs write into a CSV file.
func textKind(text string) CellKind {
	if strings.HasPrefix(text, "#") && slices.Contains(errorValues, strings.ToUpper(text)) {
		return Failed
	}
	return Text
}

var errorValues = []string{"#REF!", "#VALUE!", "#NAME?", "#DIV/0!", "#NULL!", "#NUM!", "#N/A", "#SPILL!", "#CALC!"}

// trim takes white space off both ends, non-breaking and zero-width spaces included.
func trim(s string) string {
	return strings.Trim(s, " \t\r\n\u00a0\u2007\u202f\u200b\ufeff\u2060\u3000")
}

// detect picks the separator that cuts the lines into the same number of fields most often. A file without any has one
// column; the comma is then as good as another.
func detect(text string) (byte, string) {
	lines := firstLines(text, sampleLines)
	best, bestScore := 2, 0
	for i, s := range separators {
		if score := regularity(lines, s.char); score > bestScore {
			best, bestScore = i, score
		}
	}
	return separators[best].char, separators[best].name
}

// regularity is the number of lines that share the commonest number of fields, two or more, weighed by that number
// so that a schedule of twelve columns is not mistaken for one of two because every note holds a comma.
func regularity(lines []string, separator byte) int {
	counts := map[int]int{}
	for _, line := range lines {
		if n := len(cutLine(line, separator)); n > 1 {
			counts[n]++
		}
	}
	best := 0
	for fields, n := range counts {
		best = max(best, n*(fields+2))
	}
	return best
}

func firstLines(text string, limit int) []string {
	var lines []string
	for line := range strings.Lines(strings.ReplaceAll(text, "\r", "\n")) {
		if line = strings.TrimRight(line, "\n"); strings.TrimSpace(line) != "" {
			lines = append(lines, line)
		}
		if len(lines) == limit {
			break
		}
	}
	return lines
}

// split cuts text into records of fields. Blank lines give a record of one empty field, so that record n is row n of the
// spreadsheet program.
func split(text string, separator byte) ([][]string, error) {
	text = strings.ReplaceAll(text, "\r\n", "\n")
	text = strings.ReplaceAll(text, "\r", "\n")
	s := splitter{rest: text, separator: separator, columns: commonColumns(text, separator)}
	var records [][]string
	for s.rest != "" {
		if len(records) == MaxRows {
			return nil, fmt.Errorf("it has more than %d rows", MaxRows)
		}
		records = append(records, s.record())
	}
	return records, nil
}

// commonColumns is the commonest number of fields of lines without a quote, which cut the same under every rule; 0 where
// every line holds quotes.
func commonColumns(text string, separator byte) int {
	counts := map[int]int{}
	for _, line := range firstLines(text, sampleLines) {
		if strings.IndexByte(line, '"') < 0 {
			counts[strings.Count(line, string(rune(separator)))+1]++
		}
	}
	best := 0
	for columns, n := range counts {
		if columns > 1 && (n > counts[best] || n == counts[best] && columns > best) {
			best = columns
		}
	}
	return best
}
