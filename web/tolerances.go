package web

// TolerancesPage says how far an opening may be off before its work is held, for the firm or for one project.
// GET /tolerances?project=, POST /tolerances.
type TolerancesPage struct {
	Chrome
	Project  string // id; empty for the firm's own figures
	Name     string // of the project
	Projects []Choice
	MayFirm  bool // the reader may change the firm's figures
	Version  int64
	Families []ToleranceFamily
	Faults   Faults
}

// ToleranceFamily are the figures of one kind of opening.
type ToleranceFamily struct {
	Name   string
	Source string // where the usual figures come from
	Fields []ToleranceField
}

// ToleranceField is one figure: empty takes what stands behind it.
type ToleranceField struct {
	Name   string // of the field: frames_plumb
	Label  string
	Value  string // as it is stored or was typed
	Behind string // what holds when it is empty, with whose it is: "1/16" as usual"
}
