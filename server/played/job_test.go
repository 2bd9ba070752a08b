package played_test

import (
	"fmt"
	"strings"

	"jambwright/server/importing"
	"jambwright/server/jobtest"
)

// jobName is the invented job's name; its code, the first part of its tasks' keys, is TY.
const jobName = "Tamarack Yard"

// What an hour of a crew costs is the whole crew's.
const crewSheet = `Crew,Heads,Skills,Crew cost per hour
Alder,2,"survey, frame",124
Birch,2,"frame, glaze, hang",131
Cedar,3,"glaze, hang, punch",180
`

const supplierSheet = `Supplier,Supplies,Lead days least,Lead days likely,Lead days most
Pellam Works,frame kits,6,9,15
Ninefold Glass,"glass, door leaves, hardware",9,13,20
`

const handoverSheet = `Level,Condition,Trade,Promised
Level 1,Walls boarded,Partitions,2026-11-30
Level 1,Ceiling closed,Ceilings,2026-12-07
Level 1,Floor finished,Flooring,2026-12-10
Level 2,Walls boarded,Partitions,2026-12-14
Level 2,Ceiling closed,Ceilings,2026-12-21
Level 2,Floor finished,Flooring,2026-12-29
`

const dateSheet = `Name,Level,Work complete,Date,Damages per day
Level 1 glazed,Level 1,glaze,2026-12-21,1000
Level 1 ready,Level 1,punch,2026-12-24,1200
Level 2 glazed,Level 2,glaze,2026-12-30,1000
Level 2 ready,Level 2,punch,2027-01-04,1800
`

// openings is how many openings the invented job has on each of its two levels.
const openings = 18

// sheets are the job's sheets in the order in which people read them in.
func sheets() []jobtest.Sheet {
	return []jobtest.Sheet{
		{Kind: importing.Suppliers, Text: supplierSheet},
		{Kind: importing.Openings, Text: openingSheet()},
		{Kind: importing.Crews, Text: crewSheet},
		{Kind: importing.Handovers, Text: handoverSheet},
		{Kind: importing.GCDates, Text: dateSheet},
	}
}

func openingSheet() string {
	types := []string{
		`Hinged front w/ sidelight,"5'-6""","8'-0""","1'-6""","3/8"" tempered"`,
		`HM door and frame,"3'-0""","7'-0""",,`,
		`Borrowed light,"6'-0""","4'-6""",,"1/4"" tempered"`,
		`Sliding front w/ sidelight,"6'-8""","8'-0""","3'-0""","3/8"" tempered"`,
	}
	var b strings.Builder
	b.WriteString("Mark,Level,Type,Width,Height,Sidelight,Glass\n")
	for level := 1; level <= 2; level++ {
		for n := range openings {
			fmt.Fprintf(&b, "%d%02d,Level %d,%s\n", level, n+1, level, types[n%len(types)])
		}
	}
	return b.String()
}
