package web

// SiteLimitsPage is the form of what a site can take in and store. GET /material/limits?project=, POST /material/limits.
type SiteLimitsPage struct {
	Chrome
	Project   string
	ProjectID string
	Dock      string // deliveries unloaded at once; empty: no limit
	Hoist     string
	Areas     []AreaLimits
	Faults    Faults
	Shown     bool // the form was read: what it would do stands there, and it waits to be confirmed
	Effect    TrialEffect
}

// AreaLimits is one area of the form.
type AreaLimits struct {
	ID      string
	Name    string
	Version string
	Hoisted bool
	Stored  string // items that can lie in it at once; empty: no limit
}
