package delays

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"time"

	"jambwright/models"
	"jambwright/scheduler/ledger"
)

// Statement is the delay ledger of a project over a run of windows, with all that people added: what the page shows and the
// exports say.
type Statement struct {
	Project  models.Project
	Terms    models.DelayTerms
	Zone     *time.Location
	At       time.Time // when it was read
	Windows  []Window  // of the project, oldest first
	From, To models.Plan
	Running  bool // To is a draft
	Dates    []DateLedger
	Missing  int // windows of the run that are not computed yet
}

// DateLedger is one GC date over the run.
type DateLedger struct {
	GCDate                   models.GCDate
	DueBefore, DueAfter      *time.Time
	Before, After            *time.Time
	Moved                    int // minutes; the lines' sum exactly where both forecasts are known
	AloneSum                 int
	FloatBefore, FloatAfter  int // minutes from forecast to date, 0 when late or unknown
	LatenessAdded            int // minutes by which lateness grew: what of Moved no float absorbed
	Lines                    []Line
	ExcusableMin, PayableMin int // confirmed minutes
}

// Measured reports whether both forecasts are known.
func (d *DateLedger) Measured() bool { return d.Before != nil && d.After != nil }

// Line is one cause of a GC date's movement.
type Line struct {
	Key            string
	Cause          ledger.Cause
	Kind           ledger.Kind
	At             time.Time
	Text           string
	Party          string
	Evidence       []models.Evidence
	Minutes        int
	Alone          int
	CountedWith    string // text of the line whose minutes hold this one's
	Concurrent     []string
	ConcurrentKeys []string
	Lost           bool

	Proposal  Proposal
	Confirmed *models.LedgerConfirmation
	Notice    *Notice // nil where the terms ask for none
}

// Proposal is what common practice would say of a cause, until a person confirms; the contract governs.
type Proposal struct {
	Excusable, Compensable bool
	Known                  bool // false: nothing can be proposed
}

// propose follows the usual division (excusable and compensable for the owner's side, excusable without money for neither
// side's fault, neither for the contractor's own).
func propose(cause ledger.Cause) Proposal {
	switch cause {
	case ledger.OtherTrade, ledger.GCChange:
		return Proposal{Excusable: true, Compensable: true, Known: true}
	case ledger.Weather:
		return Proposal{Excusable: true, Known: true}
	case ledger.Supplier, ledger.OwnWork, ledger.CrewShortage, ledger.Replanning:
		return Proposal{Known: true}
	case ledger.Unknown:
	}
	return Proposal{}
}

// Standing is what the line counts as: confirmed, else proposed.
func (l *Line) Standing() Proposal {
	if c := l.Confirmed; c != nil {
		return Proposal{Excusable: c.Excusable, Compensable: c.Compensable, Known: true}
	}
	return l.Proposal
}

// CanConfirm reports whether a person can confirm the line: what is left over is nobody's.
func (l *Line) CanConfirm() bool { return l.Kind != ledger.Rest }

// CanStandAlone reports whether what the line does alone was measured.
func (l *Line) CanStandAlone() bool {
	return l.Kind != ledger.Progress && l.Kind != ledger.Rest && l.Kind != ledger.PlannedAnew
}

// asksNotice reports whether an event cost time, would have alone, or cost the date its forecast: what only won days or touched
// nothing asks for no notice.
func (l *Line) asksNotice() bool { return l.Minutes > 0 || l.Alone > 0 || l.Lost }

// Pacing reports whether own work may have been slowed because the date had moved already: it could have moved the date alone,
// moved nothing, and is concurrent with another cause.
func (l *Line) Pacing() bool {
	own := l.Cause == ledger.OwnWork || l.Cause == ledger.CrewShortage
	return own && l.Minutes == 0 && l.Alone > 0 && len(l.Concurrent) > 0
}

// All names the run of all windows of a project.
const All = "all"

// Read reads the statement of a project over a run: "all", or the plans of one window as "12-15". An unknown run reads as all.
// A project without windows has none, and no dates.
func Read(ctx context.Context, r models.Reader, projectID int64, run string) (*Statement, error) {
	project, err := models.ProjectByID(ctx, r, projectID)
	if err != nil {
		return nil, err
	}
	s := &Statement{Project: *project, At: r.Now()}
	if s.Zone, err = time.LoadLocation(project.Zone); err != nil {
		return nil, err
	}
	terms, err := models.TermsOf(ctx, r, projectID)
	if err != nil {
		return nil, err
	}
	s.Terms = *terms
	if s.Windows, err = Windows(ctx, r, projectID); err != nil || len(s.Windows) == 0 {
		return s, err
	}
	chosen := s.choose(run)
	s.From, s.To, s.Running = chosen[0].From, chosen[len(chosen)-1].To, chosen[len(chosen)-1].Running
	return s, s.read(ctx, r, chosen)
}

// Run names a window.
func (w *Window) Run() string {
	return strconv.FormatInt(w.From.ID, 10) + "-" + strconv.FormatInt(w.To.ID, 10)
}

func (s *Statement) choose(run string) []Window {
	for i := range s.Windows {
		if s.Windows[i].Run() == run {
			return s.Windows[i : i+1]
		}
	}
	return s.Windows
}

// read joins the stored ledgers of the windows.
func (s *Statement) read(ctx context.Context, r models.Reader, chosen []Window) error {
	stored, err := models.LedgersOf(ctx, r, s.Project.ID)
	if err != nil {
		return err
	}
	place := map[int64]int{} // of the chosen window, by ledger
	var ids []int64
	for i := range chosen {
		at := slices.IndexFunc(stored, func(w models.LedgerWindow) bool {
			return w.FromPlanID == chosen[i].From.ID && w.ToPlanID == chosen[i].To.ID
		})
		if at < 0 {
			s.Missing++
			continue
		}
		place[stored[at].ID] = i
		ids = append(ids, stored[at].ID)
	}
	if s.Missing > 0 {
		return nil
	}
	rows, err := models.LedgerDates(ctx, r, ids)
	if err != nil {
		return err
	}
	slices.SortStableFunc(rows, func(a, b models.LedgerDate) int { return place[a.WindowID] - place[b.WindowID] })
	s.join(rows)
	return s.readAnswers(ctx, r)
}

// join adds the windows of each GC date up, line by line. Lines of one event in several windows are one.
func (s *Statement) join(rows []models.LedgerDate) {
	for i := range rows {
		row := &rows[i]
		at := slices.IndexFunc(s.Dates, func(d DateLedger) bool { return d.GCDate.ID == row.GCDateID })
		if at < 0 {
			at = len(s.Dates)
			s.Dates = append(s.Dates, DateLedger{GCDate: row.GCDate, DueBefore: row.DueBefore, Before: row.ForecastBefore})
		}
		s.Dates[at].add(row)
	}
	slices.SortStableFunc(s.Dates, func(a, b DateLedger) int {
		return strings.Compare(a.GCDate.Due.String()+a.GCDate.Code, b.GCDate.Due.String()+b.GCDate.Code)
	})
	for i := range s.Dates {
		s.Dates[i].settle()
	}
}

// add joins one more window.
func (d *DateLedger) add(row *models.LedgerDate) {
	d.DueAfter, d.After = row.DueAfter, row.ForecastAfter
	d.Moved += row.MovedMinutes
	d.AloneSum += row.AloneMinutes
	byPosition := map[int]*models.LedgerLine{}
	for i := range row.Parts {
		byPosition[row.Parts[i].Line.Position] = &row.Parts[i].Line
	}
	for i := range row.Parts {
		part := &row.Parts[i]
		line := d.line(&part.Line)
		line.Minutes += part.Minutes
		line.Alone += part.AloneMinutes
		line.Lost = part.Lost
		if part.CountedWith != nil && byPosition[*part.CountedWith] != nil {
			line.CountedWith = byPosition[*part.CountedWith].Text
		}
		for _, position := range part.Concurrent {
			other := byPosition[position]
			if other != nil && !slices.Contains(line.ConcurrentKeys, other.LineKey) {
				line.ConcurrentKeys = append(line.ConcurrentKeys, other.LineKey)
				line.Concurrent = append(line.Concurrent, other.Text)
			}
		}
	}
}

// line is the line of an event, made where there is none yet. The latest words stand.
func (d *DateLedger) line(row *models.LedgerLine) *Line {
	at := slices.IndexFunc(d.Lines, func(l Line) bool { return l.Key == row.LineKey || d.sameRest(&l, row) })
	if at < 0 {
		at = len(d.Lines)
		d.Lines = append(d.Lines, Line{Key: row.LineKey, Cause: row.Cause, Kind: row.Kind, At: row.At, Proposal: propose(row.Cause)})
	}
	line := &d.Lines[at]
	line.Text, line.Party = row.Text, row.Party
	for _, e := range row.Evidence {
		if !slices.ContainsFunc(line.Evidence, func(have models.Evidence) bool { return have.Text == e.Text }) {
			line.Evidence = append(line.Evidence, e)
		}
	}
	return line
}

// sameRest reports whether both are what was left over: over a run of windows that is one line.
func (d *DateLedger) sameRest(l *Line, row *models.LedgerLine) bool {
	return l.Kind == ledger.Rest && row.Kind == ledger.Rest
}

// settle works out what the sums say.
func (d *DateLedger) settle() {
	if !d.Measured() {
		return
	}
	// A forecast that went missing in between leaves windows without parts: the whole is told from end to end.
	d.Moved = minutesBetween(*d.Before, *d.After)
	late := func(due, forecast *time.Time) int {
		if due == nil {
			return 0
		}
		return minutesBetween(*due, *forecast)
	}
	before, after := late(d.DueBefore, d.Before), late(d.DueAfter, d.After)
	d.FloatBefore, d.FloatAfter = max(0, -before), max(0, -after)
	d.LatenessAdded = max(0, after) - max(0, before)
}

func minutesBetween(from, to time.Time) int { return int(to.Sub(from) / time.Minute) }

// Untold is what of the whole no line holds: 0, unless a forecast went missing in some window of the run.
func (d *DateLedger) Untold() int {
	if !d.Measured() {
		return 0
	}
	sum := 0
	for i := range d.Lines {
		sum += d.Lines[i].Minutes
	}
	return d.Moved - sum
}

// readAnswers reads what people confirmed and sent.
func (s *Statement) readAnswers(ctx context.Context, r models.Reader) error {
	ids := make([]int64, 0, len(s.Dates))
	for i := range s.Dates {
		ids = append(ids, s.Dates[i].GCDate.ID)
	}
	confirmed, err := models.ConfirmationsOf(ctx, r, ids)
	if err != nil {
		return err
	}
	sent, err := models.NoticesOf(ctx, r, s.Project.ID)
	if err != nil {
		return err
	}
	for i := range s.Dates {
		d := &s.Dates[i]
		for k := range d.Lines {
			line := &d.Lines[k]
			line.Confirmed = confirmed[d.GCDate.ID][line.Key]
			if line.asksNotice() {
				line.Notice = noticeOf(&s.Terms, line.Cause, line.At, s.Zone, sent[line.Key], s.At)
			}
			if line.Confirmed != nil && line.Confirmed.Excusable {
				d.ExcusableMin += line.Minutes
			}
			if line.Confirmed != nil && line.Confirmed.Compensable {
				d.PayableMin += line.Minutes
			}
		}
	}
	return nil
}
