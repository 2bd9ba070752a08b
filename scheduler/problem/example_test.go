package problem_test

import (
	"fmt"
	"strings"

	"jambwright/scheduler/problem"
)

// All faults of a document come back at once, each with its place.
func ExampleRead() {
	_, err := problem.Read(strings.NewReader(`{
		"version": 1, "zone": "America/Chicago", "data_date": "2026-03-02T07:00",
		"sites": [{"id": "mill"}],
		"crews": [{"id": "birch", "skills": ["frame"], "heads": 2, "calendar": "always"}],
		"tasks": [
			{"id": "D-204/frame", "kind": "frame", "site": "mill", "labour_minuts": 480},
			{"id": "D-204/glaze", "kind": "glaze", "site": "mill", "labour_minutes": -240}
		],
		"links": [{"from": "D-204/frame", "to": "D-204/glaze"}, {"from": "D-204/glaze", "to": "D-204/frame"}]
	}`))
	fmt.Println(err)
	// Output:
	// data_date: time "2026-03-02T07:00" cannot be used; it has no offset from UTC: write it as 2026-03-02T07:00:00-05:00 with your own offset
	// tasks[0].labour_minuts: unknown field; did you mean labour_minutes?
	// tasks[1].labour_minutes: -240 minutes is negative
	// tasks[1]: no crew can do task "D-204/glaze": none has the skill "glaze"
	// links[1]: 2 tasks wait for one another in a ring: D-204/frame -> D-204/glaze -> D-204/frame; take out one of the links between them
}
