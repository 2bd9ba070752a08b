package web

// HandoverNewPage enters a handover that no sheet names, such as a zone's own where the level's does not hold for it.
// GET and POST /handovers/new.
type HandoverNewPage struct {
	Chrome
	Project    string // its name
	Areas      []Choice
	Conditions []Choice
	Trades     []string // known on the project
	Form       HandoverNewForm
	Faults     Faults
	// Shown says that the form was read: what it would do stands there, and it waits to be confirmed.
	Shown     bool
	Area      string // in words, as is what follows
	Condition string
	Promised  string
	Instead   string // the area whose handover held so far, with its condition; empty for none
	Effect    TrialEffect
}

// HandoverNewForm is what a person enters.
type HandoverNewForm struct {
	Project   string `form:"project"`
	Area      string `form:"area"`
	Condition string `form:"condition"`
	Trade     string `form:"trade"`
	Date      string `form:"date"`
	Confirm   string `form:"confirm"` // yes: enter it, no: back to the form; empty shows what it does
}
