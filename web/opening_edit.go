package web

import "slices"

// OpeningEditPage changes what people set by hand of an opening. GET and POST /openings/{id}/edit.
type OpeningEditPage struct {
	Chrome
	ID, Mark   string
	HasLeaves  bool
	Conditions []Choice // that the rates know or the opening has
	Form       OpeningForm
	Faults     Faults
}

// OpeningForm is the form as sent.
type OpeningForm struct {
	Leaf       string   `form:"leaf"` // "solid" or "glass"
	Conditions []string `form:"conditions"`
	Version    string   `form:"version"`
	Do         string   `form:"do"` // "save", or nothing for a preview
}

// Has reports whether a condition is chosen.
func (f OpeningForm) Has(condition string) bool { return slices.Contains(f.Conditions, condition) }
