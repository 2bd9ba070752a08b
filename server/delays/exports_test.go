package delays_test

import (
	"bytes"
	"compress/zlib"
	"io"
	"log/slog"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"jambwright/models"
	"jambwright/scheduler/ledger"
	"jambwright/server/delays"
	"jambwright/web"
)

func quiet() *slog.Logger { return slog.New(slog.DiscardHandler) }

// sampleStatement holds a line of each kind of trouble an export can meet.
func sampleStatement() *delays.Statement {
	at := time.Date(2026, 12, 1, 15, 0, 0, 0, time.UTC)
	before, after, due := at.AddDate(0, 0, 10), at.AddDate(0, 0, 13), at.AddDate(0, 0, 12)
	terms := models.DelayTerms{TradeDays: new(7), FloatOwner: models.FloatOfGC}
	return &delays.Statement{
		Project: models.Project{Name: "Quarry Street", Code: "QS"}, Terms: terms, Zone: time.UTC, At: at,
		Windows: []delays.Window{{}}, From: models.Plan{ID: 1, DataDate: at.AddDate(0, 0, -3)}, To: models.Plan{ID: 2, DataDate: at},
		Dates: []delays.DateLedger{{
			GCDate: models.GCDate{ID: 1, Name: "=Level 2 ready"}, DueBefore: &due, DueAfter: &due, Before: &before, After: &after,
			Moved: 3 * 24 * 60, LatenessAdded: 24 * 60,
			Lines: []delays.Line{
				{
					Key: "a", Cause: ledger.OtherTrade, At: at, Text: "=HYPERLINK(\"x\") floor late, Žižkov 漢", Party: "@Flooring", Minutes: 4380, Alone: 4380,
					Proposal: delays.Proposal{Excusable: true, Compensable: true, Known: true},
					Evidence: []models.Evidence{{Kind: models.EvidenceHandover, At: &at, Text: "-floor: forecast date Mon 7 Dec"}},
					Notice:   &delays.Notice{Deadline: models.NewDate(2026, 12, 8), State: delays.NoticeDueSoon, DaysLeft: 7},
				},
				{
					Key: "b", Cause: ledger.Replanning, Kind: ledger.PlannedAnew, At: at, Text: "Re-planning", Party: "us", Minutes: -60, Alone: -60,
					Proposal:  delays.Proposal{Known: true},
					Confirmed: &models.LedgerConfirmation{Party: "us", Actor: "Ines Calder", Note: "agreed", Versioned: models.Versioned{UpdatedAt: at}},
				},
			},
		}},
	}
}

var (
	streams = regexp.MustCompile(`(?s)stream\r?\n(.*?)\r?\nendstream`)
	shown   = regexp.MustCompile(`(?s)\(((?:[^()\\]|\\.)*)\)\s*Tj`)
)

// pdfText reads the text of a PDF back: deflated page streams (ISO 32000-1, 7.4.4), strings shown by Tj (9.4.3) with their escapes
// (7.3.4.2), two bytes a character.
func pdfText(t *testing.T, data []byte) string {
	t.Helper()
	var text strings.Builder
	for _, m := range streams.FindAllSubmatch(data, -1) {
		z, err := zlib.NewReader(bytes.NewReader(m[1]))
		if err != nil {
			continue
		}
		page, err := io.ReadAll(z)
		if err != nil {
			continue
		}
		for _, s := range shown.FindAllSubmatch(page, -1) {
			text.WriteString(decoded(s[1]) + "\n")
		}
	}
	return text.String()
}

func decoded(raw []byte) string {
	var plain []byte
	for i := 0; i < len(raw); i++ {
		if raw[i] == '\\' && i+1 < len(raw) {
			i++
			switch raw[i] {
			case 'r':
				plain = append(plain, '\r')
				continue
			case 'n':
				plain = append(plain, '\n')
				continue
			}
		}
		plain = append(plain, raw[i])
	}
	var units []uint16
	for i := 0; i+1 < len(plain); i += 2 {
		units = append(units, uint16(plain[i])<<8|uint16(plain[i+1]))
	}
	return string(utf16.Decode(units))
}

func TestPDF_SaysEveryLineWithItsRecordsAndWhatItIs(t *testing.T) {
	t.Parallel()
	f := web.Format{Zone: time.UTC}
	s := sampleStatement()
	data, err := delays.PDF(delays.NewReport(s, "Brightsill Interiors", f), f, s.At)
	require.NoError(t, err)
	require.True(t, bytes.HasPrefix(data, []byte("%PDF-")))
	text := strings.Join(strings.Fields(pdfText(t, data)), " ")
	for _, want := range []string{
		"Statement of delays, Quarry Street", "Brightsill Interiors", "Tue 1 Dec 2026", "=Level 2 ready", "floor late, Žižkov [U+6F22]", "+3 days 1 h", "@Flooring",
		"Excusable, compensable (proposed)", "-floor: forecast date Mon 7 Dec", "due Tue 8 Dec 2026, in 7 days", "Confirmed by Ines Calder", "agreed",
		"Other trade +3 days 1 h", // on the drawing; lines have a colon
		"Sum: +3 days 1 h −1 h = +3 days", "no legal advice", "belong to the general contractor", "page 1 of 1",
	} {
		assert.Contains(t, text, want)
	}
	// What no line holds is drawn as well, so that the drawing ends at the date now; without a date now nothing is drawn.
	s.Dates[0].Moved += 60
	data, err = delays.PDF(delays.NewReport(s, "Brightsill Interiors", f), f, s.At)
	require.NoError(t, err)
	assert.Contains(t, strings.Join(strings.Fields(pdfText(t, data)), " "), "Not told apart +1 h")
	after := s.Dates[0].After
	s.Dates[0].After = nil
	data, err = delays.PDF(delays.NewReport(s, "Brightsill Interiors", f), f, s.At)
	require.NoError(t, err)
	assert.NotContains(t, strings.Join(strings.Fields(pdfText(t, data)), " "), "Other trade +3 days 1 h")
	s.Dates[0].Moved, s.Dates[0].After = s.Dates[0].Moved-60, after
	again, err := delays.PDF(delays.NewReport(s, "Brightsill Interiors", f), f, s.At)
	require.NoError(t, err)
	assert.Equal(t, text, strings.Join(strings.Fields(pdfText(t, again)), " "))
}

func TestPDF_RunsOverPagesWithoutLosingALine(t *testing.T) {
	t.Parallel()
	f := web.Format{Zone: time.UTC}
	s := sampleStatement()
	line := s.Dates[0].Lines[0]
	for range 60 {
		s.Dates[0].Lines = append(s.Dates[0].Lines, line)
	}
	data, err := delays.PDF(delays.NewReport(s, "Brightsill Interiors", f), f, s.At)
	require.NoError(t, err)
	text := pdfText(t, data)
	assert.Equal(t, 61, strings.Count(text, "Other trade: +3 days 1 h"))
	assert.Contains(t, text, "page 2 of ")
}

func TestXLSX_HoldsEveryLineAndRunsNothing(t *testing.T) {
	t.Parallel()
	data, err := delays.XLSX(delays.NewReport(sampleStatement(), "Brightsill Interiors", web.Format{Zone: time.UTC}))
	require.NoError(t, err)
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	defer func() { require.NoError(t, f.Close()) }()
	rows, err := f.GetRows("Lines")
	require.NoError(t, err)
	require.Len(t, rows, 3)
	assert.Equal(t, "'=Level 2 ready", rows[1][0])
	assert.Equal(t, "'=HYPERLINK(\"x\") floor late, Žižkov 漢", rows[1][3])
	assert.Equal(t, "'@Flooring", rows[1][5])
	assert.Equal(t, "4380", rows[1][8])
	assert.Contains(t, rows[1][9], "3.0416666")
	assert.Equal(t, "4380", rows[1][10])
	assert.Equal(t, "-60", rows[2][8], "minutes are numbers, not text")
	records, err := f.GetRows("Records")
	require.NoError(t, err)
	assert.Contains(t, records[1][2], "-floor: forecast date")
	about, err := f.GetRows("Statement")
	require.NoError(t, err)
	var all strings.Builder
	for _, row := range about {
		all.WriteString(strings.Join(row, " ") + "\n")
	}
	assert.Contains(t, all.String(), "no legal advice")
	assert.Contains(t, all.String(), "Sum: +3 days 1 h −1 h = +3 days")
	for _, sheet := range f.GetSheetList() {
		cells, err := f.GetRows(sheet)
		require.NoError(t, err)
		for r := range cells {
			for c, text := range cells[r] {
				at, err := excelize.CoordinatesToCellName(c+1, r+1)
				require.NoError(t, err)
				formula, err := f.GetCellFormula(sheet, at)
				require.NoError(t, err)
				require.Empty(t, formula, "%s!%s", sheet, at)
				kind, err := f.GetCellType(sheet, at)
				require.NoError(t, err)
				if strings.ContainsAny(text[:min(1, len(text))], "=+@") {
					t.Errorf("%s!%s begins like a formula: %q (%v)", sheet, at, text, kind)
				}
			}
		}
	}
}

// The fonts are said to hold Latin, Greek and Cyrillic, and no Chinese, Japanese or Korean.
func TestGlyphs_OfTheFontAreFoundAndOthersMissed(t *testing.T) {
	t.Parallel()
	for _, font := range [][]byte{liberationsansregular.TTF, liberationsansbold.TTF} {
		for _, r := range "Az09 éŽßΩЖ–−’“”·+" {
			assert.True(t, delays.HasGlyph(font, r), "%q", r)
		}
		for _, r := range "漢あ한😀\u0007" {
			assert.False(t, delays.HasGlyph(font, r), "%q", r)
		}
	}
	assert.False(t, delays.HasGlyph([]byte("no font"), 'A'))
	for n := range 400 {
		assert.NotPanics(t, func() { delays.HasGlyph(liberationsansregular.TTF[:n], 'A') })
	}
}
