// Package recovery finds what would win days back for a GC date, at what price, and what gets worse for it.
//
//	problem + base plan ─ Candidates ─> levers, each with levels ─ Find: apply, re-plan, check ─> trials, ranked
//	                                                                      └─ combine ─> sets of moves that win more
//
// Words. A move is one thing that we or others could do otherwise: longer hours for a crew, Saturdays, a second crew, an
// expedited release, an earlier handover, an order placed on another basis. A lever is what a move pulls at, such as one
// crew's hours, and its levels are the moves of growing reach, of which at most one is pulled. A trial is a set of moves with
// the plan that it leads to.
//
// Conventions. Moves name crews and tasks by their ids in the problem, which are the same in every plan, so that a move that
// was kept can be applied to any later problem; what it is about may be gone by then, and it does nothing. Dates by which
// somebody brings something are absolute: a kept move asks for the same day however often the firm is planned.
// Apply never changes its input. Days won are the difference of the forecasts of two plans that package check accepted,
// in minutes of the clock. Money is in the unit of the crews' cost an hour.
//
// Longer hours. The plan keeps the productivity of a crew as it is, so the published loss of productivity in long weeks is
// taken out of the hours: of each stretch of the day only the productive share is left, from its beginning. A crew that is
// paid to 17:30 may stand in the plan to 16:45. The plan does not finish earlier by hours that the loss eats.
//
// Example. The driving chain of a date leads through Alder's frames and a release of glass. Levers are Alder's hours (one or
// two hours a day, Saturdays), a second crew like Alder, and the glass in its least lead time. Each is planned anew, staying
// with the plan in force; glass alone wins four days, Alder's hours alone none, both together six.
//
// What this package does not do: it decides nothing and saves nothing; it does not know what a supplier, a GC or a crew will
// agree to, nor what labour agreements and law allow.
package recovery
