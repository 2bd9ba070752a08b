// Package pattern turns a company's openings, areas, releases, handovers and crews into the problem that the planner
// solves, and keeps an index of what each task is about.
//
// Words. A work pattern says for an opening type which steps its work has (frame, glaze, hang, punch), which handovers and
// material each step needs, and how the steps follow one another. Survey, order, lead and delivery are shared by several
// openings. A release is material ordered together; a remake is one item ordered again. See Firm for the input and
// TaskKey for the names of tasks.
//
// One opening, with its glass measured in the set frame, becomes this network; every arrow is finish to start:
//
//	walls boarded ─> survey ─> order R1 ─> lead R1 ─> deliver R1 ─┬─> frame ─> glaze ─> hang ─> punch
//	                    └─────────────────────────────────────────┤     │        ^
//	ceiling closed, floor finished ───────────────────────────────┘     │        │
//	                                     order R2 <─────────────────────┘        │
//	                                        └─> lead R2 ─> deliver R2 ───────────┘
//
// Handovers are tasks without length, so that their late dates say when an area is needed and chains of causes run through
// them. A handover holds for the areas inside its area that have none of their own. The survey of a level is one task,
// unless parts of it are handed over on their own.
//
// How reasons are told apart. The planner names the cause of a start by conventions that this package keeps:
//
//	predecessor of kind handover                      another trade's handover
//	predecessor of kind order, lead or deliver        material
//	not_before_cause starts with "handover"           another trade's handover
//	not_before_cause starts with "material"           material
//	not_before_cause starts with "hold"               a reported hold
//	not_before_cause of a task that waits             why it waits: "handover", "material", "hold", "size", "hands" or "crew" comes first
//
// What has dates that passed. A handover whose forecast, or promise without forecast, has passed is expected after the firm's
// allowance of working time from the data date; so is the answer to a hold. A delivery whose promise has passed is expected
// after the spread between its likely and most lead days. All are listed as late in the notes, with the party. Nothing that
// merely lacks a date or a crew is an error: it waits, with its cause.
//
// Started work goes on as the planner has it. Where a hold or a missing remake stops it, what is left becomes a task that is not
// yet started, because started work would go on at the data date; Entry.Began keeps when it began. Work that a remake opens
// again after it was finished is a task of its own, named after the remake.
//
// Lifting. A task asks for as many heads as its heaviest pane needs by hand. Where no crew that may come has them, the entry
// is flagged for lifting gear and asks for the gear's heads; what the gear does not take either waits. Safe limits are for the
// firm, local rules and the makers of gear to say.
//
// Conventions. The order of the firm's rows does not matter. Ids of areas and GC dates in the problem are project/id, see
// AreaID and GCDateID. The late finish of an order's task in a plan is its order-by date.
//
// What this package does not do: it computes no dates and knows no clock; what area limits on crews say for an area around
// others is applied to each of the inner areas, because areas of the problem do not nest. What an area can store
// becomes links between deliveries and the work before them, in a row that is chosen here and not searched: see storage.go.
package pattern
