package web

import (
	"jambwright/scheduler/length"
	"jambwright/web/elevation"
)

// ReportPage is the form of one field report. Without a kind it offers the kinds.
// GET /report?task=KEY&kind=KIND, POST /report.
type ReportPage struct {
	Chrome
	Task    ReportTask
	Form    ReportForm
	Faults  Faults
	Parties []Choice    // who may owe the answer to a hold
	Items   []Choice    // what of this opening can be damaged
	Allowed *AllowedOff // of an opening that is measured; nil for other work
}

// MayTry reports whether the reader is offered to see what the report moves before it is sent: at a desk, of what moves the work
// behind it.
func (p ReportPage) MayTry() bool {
	return p.Viewer.Manages() && (p.Form.Kind == ReportDamaged || p.Form.Kind == ReportHold)
}

// ReportTryPage shows what a report would move before it is sent. GET /report/try/{token}.
type ReportTryPage struct {
	Chrome
	Token  string // names the kept report
	Task   ReportTask
	News   string // "damaged glass: corner broken"
	Photos int    // sent with it
	Effect TrialEffect
}

// AllowedOff is how far an opening may be off before its work is held, and who is then asked to put it right.
type AllowedOff struct {
	Width, Height              length.Length // by the drawings
	Size, Plumb, Level, Square length.Length
	Proposed                   string   // the trade that handed over
	Others                     []Choice // who else it may be
}

// ReportTask is what the report is about.
type ReportTask struct {
	Key       string
	Kind      TaskKind
	OpeningID string
	Mark      string
	Room      string
	Area      string
	Crew      string
	State     TaskState // by what was reported; empty before anything was
	Elevation *elevation.Opening
}

// Kinds lists the reports that can be made on the task.
func (t ReportTask) Kinds() []ReportKind {
	if t.State == StateHeld {
		return append([]ReportKind{ReportLifted}, ReportKinds()...)
	}
	return ReportKinds()
}

// ReportForm is the form as sent; the same values are shown again when something was wrong. Everything is text: what
// people typed is what they see.
type ReportForm struct {
	ReportID  string     `form:"report_id"` // made by the client; the same id sent twice counts once
	Task      string     `form:"task"`
	Kind      ReportKind `form:"kind"`
	Date      string     `form:"date"`      // ISO 8601, local to the site
	Time      string     `form:"time"`      // HH:MM, local to the site
	Hours     string     `form:"hours"`     // crew hours spent
	Remaining string     `form:"remaining"` // crew hours left
	Cause     string     `form:"cause"`     // of a hold, in words
	Party     string     `form:"party"`     // who owes the answer
	Expected  string     `form:"expected"`  // ISO 8601 date, empty when nobody knows
	Item      string     `form:"item"`      // what is damaged
	Width     string     `form:"width"`     // as measured, in any usual spelling
	Height    string     `form:"height"`
	Plumb     string     `form:"plumb"` // how far off, as measured; empty where it was not
	Level     string     `form:"level"`
	Square    string     `form:"square"`
	Note      string     `form:"note"`
	Return    string     `form:"return"` // local address to go back to
}
