package web

// SettingsPage edits the numbers that drive quantities, hands and hours. GET and POST /settings.
type SettingsPage struct {
	Chrome
	Versions string // of everything on the page, sent back with it
	Groups   []SettingGroup
	Faults   Faults
}

// SettingGroup is a part of the page.
type SettingGroup struct {
	Title  string
	About  string
	Fields []SettingField
}

// SettingField is one number, as text in the reader's units.
type SettingField struct {
	Name  string
	Label string
	Value string
	Help  string // range and remarks
}

func (SettingsPage) template() string { return "settings" }
