package web

import "jambwright/scheduler/problem"

// Role is what a person may do.
type Role string

// The three roles. A guest has no role.
const (
	RoleOperations Role = "operations"
	RoleForeman    Role = "foreman"
	RoleProject    Role = "project"
)

// Name is the role in words.
func (r Role) Name() string {
	switch r {
	case RoleOperations:
		return "Operations manager"
	case RoleForeman:
		return "Foreman"
	case RoleProject:
		return "Project manager"
	}
	return "Guest"
}

// Viewer is the person who reads the page. The zero Viewer is signed in to nothing.
type Viewer struct {
	Name string
	Role Role
}

// SignedIn reports whether somebody is.
func (v Viewer) SignedIn() bool { return v.Role != "" }

// Plans reports whether the viewer may move crews and issue plans.
func (v Viewer) Plans() bool { return v.Role == RoleOperations }

// Manages reports whether the viewer may import sheets and read dates and nights.
func (v Viewer) Manages() bool { return v.Role == RoleOperations || v.Role == RoleProject }

// Chrome is what every page carries around its own content.
type Chrome struct {
	Viewer Viewer
	Format Format
	Notice Notice  // what the last form did; the zero Notice shows nothing
	Alerts []Alert // standing trouble, such as a night run that failed
	Demo   bool    // the page says that people and sites are invented
}

// Notice tells what a form has just done. It is shown once, at the top, and announced to screen readers.
type Notice struct {
	Text    string
	Trouble bool // the thing was not done
}

// Alert is a standing warning with the page that explains it.
type Alert struct {
	Text     string
	Href     string
	LinkText string
}

// Choice is one option of a select, a group of radio buttons or a filter.
type Choice struct {
	Value string
	Text  string
}

// CrewRef names a crew.
type CrewRef struct {
	ID    string
	Name  string
	Heads int
}

// Day is a date on a page with what is special about it.
type Day struct {
	Date problem.Date
	Off  string // why nobody works, in words ("weekend", "Thanksgiving Day"); empty on a working day
}

// FieldFault says what is wrong with one field of a form that was sent back.
type FieldFault struct {
	Field   string // the form name of the field
	Message string
}

// Faults are the faults of a form.
type Faults []FieldFault

// On is the message for one field, empty when it is right.
func (f Faults) On(field string) string {
	for _, fault := range f {
		if fault.Field == field {
			return fault.Message
		}
	}
	return ""
}
