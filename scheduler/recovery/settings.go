package recovery

// Settings say what moves may be tried and what they cost. The defaults are ours to edit; none but Loss is published.
type Settings struct {
	// Loss is the share of productivity lost in weeks of 50 to 60 hours; see efficiency for its source. 0.15, the less
	// favourable end of what was found.
	Loss float64 `json:"loss"`
	// OvertimePremium and SaturdayPremium multiply a crew's cost an hour in hours beyond its ordinary ones. 1.5, as is
	// usual; labour agreements and law say what must be paid.
	OvertimePremium float64 `json:"overtime_premium"`
	SaturdayPremium float64 `json:"saturday_premium"`

	HirePremium     float64 `json:"hire_premium"`       // multiplies the cost an hour of the crew that a second one is like; 1
	HireDays        int     `json:"hire_days"`          // days of the calendar until a second crew can begin; 7
	HireAtLeastDays int     `json:"hire_at_least_days"` // of its working days it is paid for at least; 5
	HirePrice       float64 `json:"hire_price"`         // paid once to bring it in; 500

	ExpeditePricePerDay float64 `json:"expedite_price_per_day"` // for each day by which material comes sooner; 150
}

// DefaultSettings returns the defaults.
func DefaultSettings() Settings {
	return Settings{
		Loss: 0.15, OvertimePremium: 1.5, SaturdayPremium: 1.5,
		HirePremium: 1, HireDays: 7, HireAtLeastDays: 5, HirePrice: 500, ExpeditePricePerDay: 150,
	}
}
