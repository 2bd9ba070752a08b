package check

import (
	"fmt"
	"slices"
	"time"

	"jambwright/scheduler/problem"
)

// Stored is one thing that lies in a place from the start of its delivery to the finish of the work that uses it, both by the
// ids of their tasks.
type Stored struct{ Delivery, Use string }

// Storage finds deliveries that a plan starts where a place would then hold more than most things. Problems know no places of
// storage: who builds one turns the limit into links, and this holds the plan against the limit itself. What a delivery finds
// there that has begun before the data date is a fact and no fault of a plan. Work that the plan leaves out uses nothing up;
// a delivery that it leaves out brings nothing.
//
// It walks every delivery against every thing: O(deliveries x things).
func Storage(place string, most int, things []Stored, p *problem.Problem, plan *problem.Plan) []Violation {
	planned := make(map[string]*problem.PlannedTask, len(plan.Tasks))
	for i := range plan.Tasks {
		planned[plan.Tasks[i].ID] = &plan.Tasks[i]
	}
	begun := map[string]bool{}
	for i := range p.Tasks {
		begun[p.Tasks[i].ID] = p.Tasks[i].Status != nil
	}
	lies := func(s Stored, at time.Time) bool {
		delivery, use := planned[s.Delivery], planned[s.Use]
		return delivery != nil && !delivery.Start.After(at) && (use == nil || use.Finish.After(at))
	}
	var found []Violation
	var seen []string
	for _, s := range things {
		delivery := planned[s.Delivery]
		if delivery == nil || begun[s.Delivery] || slices.Contains(seen, s.Delivery) {
			continue
		}
		seen = append(seen, s.Delivery)
		count := 0
		for _, other := range things {
			if lies(other, delivery.Start) {
				count++
			}
		}
		if count > most {
			found = append(found, Violation{
				Rule: RuleStorage, Task: s.Delivery,
				Message: fmt.Sprintf("at its start %s %d things lie in %s, which stores at most %d", delivery.Start.UTC().Format(time.RFC3339), count, place, most),
			})
		}
	}
	return found
}
