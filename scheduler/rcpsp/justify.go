package rcpsp

// justify improves a schedule by moving every job as late as possible, then every job as early as possible: forward-
// backward improvement (Tormos and Lova, "A competitive heuristic solution technique for resource-constrained project
// scheduling", Annals of Operations Research 102, 2001), also called double justification (Valls, Ballestin and
// Quintanilla, "Justification and RCPSP: a technique that pays", European Journal of Operational Research 165, 2005).
// Each half is one complete generation. The makespan never grows, because each job can at least keep its place.
// start and list are overwritten; list then holds the order of the backward starts.
func (g *generator) justify(list, start []int32, makespan int32) int32 {
	g.turn(start, makespan)
	g.byStart(list, start, backward)
	makespan = g.build(list, backward, start)
	g.turn(start, makespan)
	g.byStart(list, start, forward)
	return g.build(list, forward, start)
}
