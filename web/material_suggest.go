package web

import "time"

// SuggestPage shows how what is not ordered yet would best be ordered. GET /material/suggest?project=&days=,
// POST /material/suggest.
type SuggestPage struct {
	Chrome
	Project   string
	ProjectID string
	Days      int // working days that material may lie before use
	Items     int // items that one truck brings
	Faults    Faults
	Merges    []Merging
	Regroup   []Regrouping
	Kept      []Regrouping // releases that are grouped so already
	Planned   bool
}

// Merging is some small releases that would best be one order.
type Merging struct {
	Title    string // their names
	Seen     string // names what is suggested
	Why      string
	OrderBy  time.Time
	Late     bool
	Releases []MergedRelease // the first one stays
}

// MergedRelease is one of them.
type MergedRelease struct {
	ID, Href, Name, What, Where string
	Need, OrderBy               time.Time
}

// Regrouping is one release with what is suggested for it.
type Regrouping struct {
	Href    string
	ID      string
	Name    string
	Seen    string   // names what is suggested
	Why     []string // in sentences
	Orders  []SuggestedOrder
	Unknown int
}

// SuggestedOrder is one release that is suggested.
type SuggestedOrder struct {
	Name    string
	OrderBy time.Time
	Late    bool
	Drops   []SuggestedDrop
}

// SuggestedDrop is one delivery of it.
type SuggestedDrop struct {
	Number int
	What   string
	Where  string
	Need   time.Time
}
