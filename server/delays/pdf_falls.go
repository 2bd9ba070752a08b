package delays

// Measures of the drawing in millimetres.
const (
	fallRow  = 9.0
	fallBar  = 3.2
	fallText = 4.2
)

// falls draws how the causes lead from the date as issued to the date now: a bar each, hung by a plumb line from the end of the one
// before. Later is filled, sooner is an outline; the words tell the same.
func (s *pdfSheet) falls(d *ReportDate) {
	list := d.Falls
	if len(list) < 2 {
		return // one cause is told by its line
	}
	low, high := 0, 0
	for _, f := range list {
		low, high = min(low, f.To), max(high, f.To)
	}
	s.pdf.Ln(1)
	s.keepTogether(fallRow * float64(len(list)+1))
	width, _ := s.pdf.GetPageSize()
	span := width - 2*pageMargin
	at := func(minutes int) float64 { return pageMargin + float64(minutes-low)/float64(high-low)*span }
	y := s.pdf.GetY()
	s.pdf.SetLineWidth(0.3)
	s.pdf.SetFillColor(150, 165, 180)
	s.pdf.SetFont(fontName, "", 8.5)
	for i, f := range list {
		s.pdf.SetXY(pageMargin, y)
		s.pdf.CellFormat(0, fallText, s.face.printable(s.format.Capital(f.Words)+" "+s.format.Signed(f.Minutes)), "", 0, "L", false, 0, "")
		left, right := at(min(f.From, f.To)), at(max(f.From, f.To))
		s.bar(left, y+fallText+0.4, right-left, f.Minutes > 0)
		if i < len(list)-1 {
			end := at(f.To)
			s.pdf.Line(end, y+fallText+0.4+fallBar, end, y+fallRow+fallText+0.4)
		}
		y += fallRow
	}
	s.pdf.SetXY(pageMargin, y+1)
}

// bar draws one step, filled or as an outline.
func (s *pdfSheet) bar(x, y, width float64, filled bool) {
	style := "D"
	if filled {
		style = "FD"
	}
	s.pdf.Rect(x, y, max(0.6, width), fallBar, style)
}
