package plan_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"jambwright/scheduler/problem"
)

// Nobody said which crew began to hang. What is left goes on with the crew and at the moment that the plan in force names, as long as
// they can be had, although the crew listed first could go on at once.
func TestCompute_TheRestGoesOnWithTheCrewOfThePlanInForce(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		issued problem.Issued
		change func(p *problem.Problem)
		want   string
	}{
		"its crew and its moment": {
			problem.Issued{Crew: "Birch", Resume: atp("tue 09:00")}, nil, "Birch: -1 fri 07:00 resume tue 09:00 to tue 11:00, pin issued until tue 09:00",
		},
		"a moment in a pause": {
			problem.Issued{Crew: "Birch", Resume: atp("tue 12:10")}, nil, "Birch: -1 fri 07:00 resume tue 12:30 to tue 14:30, pin issued until tue 12:10",
		},
		"its crew without a moment": {
			problem.Issued{Crew: "Birch"}, nil, "Birch: -1 fri 07:00 resume mon 07:00 to mon 09:00, status until mon 07:00",
		},
		"a moment gone by": {
			problem.Issued{Crew: "Birch", Resume: atp("-1 fri 13:00")}, nil, "Birch: -1 fri 07:00 resume mon 07:00 to mon 09:00, status until mon 07:00",
		},
		"a moment without a crew": {
			problem.Issued{Resume: atp("tue 09:00")}, nil, "Ash: -1 fri 07:00 resume tue 09:00 to tue 11:00, pin issued until tue 09:00",
		},
		"its crew is wanted elsewhere then": {
			problem.Issued{Crew: "Birch", Resume: atp("tue 09:00")},
			func(p *problem.Problem) {
				p.Tasks = append(p.Tasks, work("door", "hang", 60))
				p.Tasks[2].Pin = &problem.Pin{Crew: "Birch", Start: atp("tue 10:00")}
			},
			"Ash: -1 fri 07:00 resume mon 07:00 to mon 09:00, status until mon 07:00",
		},
		"its crew has lost the skill": {
			problem.Issued{Crew: "Birch", Resume: atp("tue 09:00")},
			func(p *problem.Problem) { p.Crews[1].Skills = []string{"frame"} },
			"Ash: -1 fri 07:00 resume tue 09:00 to tue 11:00, pin issued until tue 09:00",
		},
	} {
		p := firm()
		p.Crews = []problem.Crew{crew("Ash", "hang"), crew("Birch", "hang"), crew("Cedar", "frame")}
		p.Tasks = []problem.Task{work("hang", "hang", 480), work("frame", "frame", 60)}
		started(&p.Tasks[0], "", "-1 fri 07:00", 120)
		c.issued.Task, c.issued.Start = "hang", at("-1 fri 07:00")
		p.Issued = []problem.Issued{c.issued, {Task: "frame", Crew: "Cedar", Start: at("mon 07:00")}}
		if c.change != nil {
			c.change(p)
		}
		assert.Equal(t, c.want, line(row(t, computed(t, p, 1), "hang")), name)
	}
}
