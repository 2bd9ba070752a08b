package delays

import (
	"bytes"
	"fmt"
	"strings"
	"time"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-pdf/fpdf"

	"jambwright/web"
)

// Measures of the page in millimetres; type in points.
const (
	pageMargin = 18.0
	lineHeight = 5.0
	bodySize   = 9.5
	fontName   = "sans"
)

// sheet is a statement being written as PDF.
type pdfSheet struct {
	pdf    *fpdf.Fpdf
	face   *face
	format web.Format
}

// PDF writes a report as a PDF on letter paper. made is the instant it says it was made at.
func PDF(r *Report, f web.Format, made time.Time) ([]byte, error) {
	font, err := newFace(liberationsansregular.TTF)
	if err != nil {
		return nil, fmt.Errorf("read the font of statements: %w", err)
	}
	p := fpdf.New("P", "mm", "Letter", "")
	p.AddUTF8FontFromBytes(fontName, "", liberationsansregular.TTF)
	p.AddUTF8FontFromBytes(fontName, "B", liberationsansbold.TTF)
	s := &pdfSheet{pdf: p, face: font, format: f}
	p.SetTitle(s.face.printable(r.Title), true)
	p.SetLang("en")
	p.SetCreationDate(made)
	p.SetModificationDate(made)
	p.SetCatalogSort(true)
	p.SetMargins(pageMargin, pageMargin, pageMargin)
	p.SetAutoPageBreak(true, pageMargin)
	p.AliasNbPages("{pages}")
	p.SetFooterFunc(func() { s.foot(r.Title) })
	p.AddPage()
	s.head(r)
	for i := range r.Dates {
		s.date(&r.Dates[i])
	}
	var out bytes.Buffer
	if err := p.Output(&out); err != nil {
		return nil, fmt.Errorf("write the statement as PDF: %w", err)
	}
	return out.Bytes(), nil
}

// write writes a paragraph.
func (s *pdfSheet) write(style string, size float64, text string) {
	s.pdf.SetFont(fontName, style, size)
	s.pdf.MultiCell(0, lineHeight*max(1, size/11), s.face.printable(text), "", "L", false)
}

func (s *pdfSheet) body(text string) { s.write("", bodySize, text) }

func (s *pdfSheet) foot(title string) {
	s.pdf.SetY(-12)
	s.pdf.SetFont(fontName, "", 8)
	s.pdf.CellFormat(0, 4, s.face.printable(title)+", page "+fmt.Sprint(s.pdf.PageNo())+" of {pages}", "", 0, "L", false, 0, "")
}

func (s *pdfSheet) head(r *Report) {
	s.write("B", 16, r.Title)
	s.pdf.Ln(2)
	for _, fact := range r.Facts {
		s.pdf.SetFont(fontName, "B", bodySize)
		s.pdf.CellFormat(34, lineHeight, s.face.printable(fact[0]), "", 0, "L", false, 0, "")
		s.body(fact[1])
	}
	s.pdf.Ln(2)
	s.body(Disclaimer)
	s.body(Method)
}

// keepTogether begins a new page where less than so much is left.
func (s *pdfSheet) keepTogether(millimetres float64) {
	_, height := s.pdf.GetPageSize()
	if s.pdf.GetY()+millimetres > height-pageMargin {
		s.pdf.AddPage()
	}
}

func (s *pdfSheet) date(d *ReportDate) {
	s.pdf.Ln(4)
	s.keepTogether(40)
	width, _ := s.pdf.GetPageSize()
	s.pdf.SetLineWidth(0.6)
	s.pdf.Line(pageMargin, s.pdf.GetY(), width-pageMargin, s.pdf.GetY())
	s.pdf.Ln(2)
	s.write("B", 12.5, d.Name)
	s.body(strings.Join(d.Words, " "))
	if len(d.Lines) == 0 {
		s.body("Nothing moved it.")
	}
	s.falls(d)
	for i := range d.Lines {
		s.line(&d.Lines[i])
	}
	if d.Sum != "" {
		s.pdf.Ln(1)
		s.write("B", bodySize, "Sum: "+d.Sum)
	}
}

func (s *pdfSheet) line(l *ReportLine) {
	s.pdf.Ln(1.5)
	s.keepTogether(24)
	s.write("B", bodySize, fmt.Sprintf("%d. %s: %s", l.Number, l.Cause, s.format.Signed(l.Minutes)))
	s.body(l.Text)
	about := "From " + l.At + ". Party: " + l.Party + ". " + s.format.Capital(l.Standing) + "."
	if l.Confirmed != "" {
		about += " " + s.format.Capital(l.Confirmed) + "."
	}
	s.body(about)
	if l.CanStandAlone && l.Alone != l.Minutes {
		s.body("Alone it would have moved the date by " + s.format.Signed(l.Alone) + ".")
	}
	if l.Concurrent != "" {
		s.body("Concurrent with: " + l.Concurrent)
	}
	if l.By != "" {
		s.body(l.By)
	}
	if l.Notice != "" {
		s.body("Notice: " + l.Notice + ".")
	}
	for _, record := range l.Records {
		s.body("– " + record)
	}
}
