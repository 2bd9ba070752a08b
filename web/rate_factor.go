package web

// FactorRow is one condition of the company table: what the hours under it are multiplied by.
type FactorRow struct {
	Name   string
	Work   string // "" for all work on an opening
	Factor string
	Source string
	Edit   string // address of its form
}

// FactorPage adds or changes the factor of a condition. GET and POST /rates/factor.
type FactorPage struct {
	Chrome
	Adds   bool
	Name   string
	Kinds  []Choice
	Form   FactorForm
	Faults Faults
}

// FactorForm is the form as sent; without a version it adds.
type FactorForm struct {
	Condition string `form:"condition"`
	Kind      string `form:"kind"`
	Factor    string `form:"factor"`
	Source    string `form:"source"`
	Version   string `form:"version"`
	Do        string `form:"do"` // try, save
}

func (FactorPage) template() string { return "factor" }
