package importing

import (
	"fmt"

	"jambwright/server/sheet"
)

// Format is a format in which blank sheets are written.
type Format string

// The formats.
const (
	CSV  Format = "csv"
	XLSX Format = "xlsx"
)

// blankSheets are the sheets that can be downloaded to be filled in: a title, the headings, example rows to write over.
// Names and firms are invented.
var blankSheets = map[Kind][][]string{
	Openings: {
		{"Opening schedule: write over the example rows"},
		{"Mark", "Type", "Level", "Area", "Room", "Width", "Height", "Quantity", "Lights", "Sidelight", "Transom", "Butt joints", "Glass", "Hand", "Fire rating", "Hardware set", "Release", "Supplier", "Finish", "Leaf", "Remarks"},
		{"101", "Sliding front", "Level 1", "East", "Board room", `6'-8"`, `9'-0"`, "1", "", `3'-6"`, "", "", `3/8" tempered`, "LH", "", "HW-5", "R1", "Pellam Frame Works", "clear anodized", "", "soft close"},
		{"102-104", "Hinged front", "Level 1", "East", "Phone rooms", `3' 6"`, `96"`, "3", "", "", "", "", `3/8" tempered`, "RH", "", "HW-2", "R1", "", "", "solid wood", ""},
		{"105", "Fixed light", "Level 1", "West", "Copy", "1219 mm", "1067 mm", "1", "", "", "", "", `1/4" tempered`, "", "", "", "R1", "", "", "", "sill 3'-6\""},
		{"106A", "Door and frame", "Level 1", "West", "Store", "3-0", "7-0", "1", "", "", `1'-6"`, "", "", "RHR", "45 MIN", "HW-3", "R2", "", "", "", ""},
		{"201", "Pair", "Level 2", "East", "Training", `6'-0"`, `7'-0"`, "1", "", "", "", "", "", "", "", "HW-4", "R2", "", "", "", ""},
		{"202", "Storefront", "Level 2", "East", "Lobby", `16'-0"`, `10'-0"`, "1", "4", "", "", "yes", `1/2" tempered`, "", "", "", "R3", "", "", "", ""},
	},
	Crews: {
		{"Crews: write over the example rows. Crew cost per hour is what all heads of the crew cost together."},
		{"Crew", "Foreman", "Heads", "Skills", "Home site", "Shift", "Crew cost per hour", "Productivity", "Away from", "Away to", "Remarks"},
		{"Alder", "Lin Okafor", "3", "survey, frame", "Harrow Bend", "07:00-15:30", "186", "1", "2026-11-30", "2026-12-02", "hoist training"},
		{"Birch", "Ada Quill", "4", "glaze", "Harrow Bend", "07:00-15:30", "252", "1.05", "", "", "big panes"},
		{"Cedar", "Tom Vance", "2", "hang, punch", "Harrow Bend", "07:00-15:30", "124", "1", "", "", ""},
	},
	Handovers: {
		{"Handovers by other trades: write over the example rows"},
		{"Level", "Area", "Condition", "Trade", "Promised", "Forecast", "Actual", "Remarks"},
		{"Level 1", "", "Walls boarded", "Partitions", "2026-11-02", "", "2026-11-03", ""},
		{"Level 1", "", "Ceiling closed", "Ceilings", "25 Nov 2026", "1 Dec 2026", "", "grid late"},
		{"Level 2", "East", "Floor finished", "Flooring", "2026-12-14", "", "", ""},
		{"Level 2", "", "Power live", "Electrical", "2026-12-18", "", "", ""},
	},
	Suppliers: {
		{"Suppliers and lead times: write over the example rows"},
		{"Supplier", "Supplies", "Lead days least", "Lead days likely", "Lead days most", "Days counted", "Order basis", "Remarks"},
		{"Pellam Frame Works", "frame kits", "8", "10", "14", "working", "drawings", ""},
		{"Ninefold Glass", "glass", "10", "15", "21", "working", "survey", "tempered to size"},
		{"Dorrow Doors", "door leaves, hardware", "12", "15", "20", "working", "drawings", ""},
	},
	Rates: append([][]string{{"Company rates, labour hours: the table that everybody starts from"}}, RateSheet(standardRates(), false)...),
	GCDates: {
		{"Dates the general contractor holds: write over the example rows"},
		{"Name", "Level", "Area", "Work complete", "Date", "Damages per day", "Remarks"},
		{"Level 1 ready to furnish", "Level 1", "", "punch", "2026-12-18", "1200", ""},
		{"Level 2 glazed", "Level 2", "", "glaze", "2027-01-15", "1500", ""},
		{"Turnover", "", "", "", "29 Jan 2027", "2500", "all work"},
	},
}

// BlankSheet returns a sheet to fill in and the name to save it under.
func BlankSheet(kind Kind, format Format) (name string, data []byte, err error) {
	rows, known := blankSheets[kind]
	if !known {
		return "", nil, fmt.Errorf("there is no blank sheet of kind %q", kind)
	}
	name = "blank-" + string(kind) + "." + string(format)
	switch format {
	case CSV:
		data, err = sheet.WriteCSV(rows)
	case XLSX:
		data, err = sheet.WriteXLSX(string(kind), rows, 1)
	default:
		err = fmt.Errorf("blank sheets come as csv or xlsx, not as %q", format)
	}
	return name, data, err
}
