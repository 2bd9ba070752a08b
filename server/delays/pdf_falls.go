package delays

// Measures of the drawing in millimetres.
const (
	fallRow  = 9.0
	fallBar  = 3.2
	fallText = 4.2
)

// fall is one step of the drawing: what a cause moved a date in all, from the running sum before it on.
type fall struct {
	cause         string
	from, minutes int
}

// fallsOf sums the lines of a date up by cause, in the order in which the causes first show, and leaves out what moved nothing.
func fallsOf(d *ReportDate) (list []fall) {
	place, sums := map[string]int{}, []fall{}
	for i := range d.Lines {
		l := &d.Lines[i]
		at, known := place[l.Cause]
		if !known {
			at = len(sums)
			place[l.Cause] = at
			sums = append(sums, fall{cause: l.Cause})
		}
		sums[at].minutes += l.Minutes
	}
	sum := 0
	for _, f := range sums {
		if f.minutes != 0 {
			f.from = sum
			sum += f.minutes
			list = append(list, f)
		}
	}
	return list
}

// falls draws how the causes lead from the date as issued to the date now: a bar each, hung by a plumb line from the end of the one
// before. Later is filled, sooner is an outline; the words tell the same.
func (s *pdfSheet) falls(d *ReportDate) {
	list := fallsOf(d)
	if len(list) < 2 {
		return // one cause is told by its line
	}
	low, high := 0, 0
	for _, f := range list {
		low, high = min(low, f.from+f.minutes), max(high, f.from+f.minutes)
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
		s.pdf.CellFormat(0, fallText, s.face.printable(s.format.Capital(f.cause)+" "+s.format.Signed(f.minutes)), "", 0, "L", false, 0, "")
		left, right := at(min(f.from, f.from+f.minutes)), at(max(f.from, f.from+f.minutes))
		s.bar(left, y+fallText+0.4, right-left, f.minutes > 0)
		if i < len(list)-1 {
			end := at(f.from + f.minutes)
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
