// Package ledger splits the movement of GC dates from one issued plan to a later one by cause: who moved which date by how
// many minutes.
//
//	earlier problem ──patches in time order──> later problem
//	     |   |    |    |                            |
//	   plan  re-plan after each                   plan
//	     └─ the differences between neighbours are the parts; their sum is the whole ─┘
//
// Words. A window is the time between the data dates of two plans. A patch is one difference between the two problem
// documents with the instant at which it took effect: a handover that came later, a lead that took longer, a crew that was
// away, an opening that was added. A line is one or several patches with the same cause and the same evidence, applied
// together. A line's part of a GC date is what the date's forecast moved when the line was applied.
//
// The method is that of a windows analysis with the plan in force as its model: the earlier problem is rolled forward
// from instant to instant, each line is applied when it took effect, and after each step the work is planned again, staying
// with the issued plan (plan.Compute with the earlier plan's crew work as issued lines and a fixed small budget). What
// was reported is read with hindsight: at an instant inside the window, work under way has left what it took in the end, and
// a handover that will come on Friday is dated Friday from the instant that moved it.
//
// Gains. Work that holds its issued places gives no days back when what it waits for comes sooner. Where a line eases something,
// the work behind it is planned once more without its places; what that wins is the line's, if no GC date loses by it.
//
// Order. Lines come in order of their instants, those of one instant by kind (see the constants of Kind), then by what they
// are about. The instant is that of the event that tells of the patch, but no later than the moment at which the earlier plan
// counted on it: a promise that nobody kept moves the date on the day promised, whenever somebody reports it.
//
// The rest. Three lines of their own keep the sum exact and are never mixed with others: Progress, what rolling the data
// date alone moved, because work was not begun or ended as planned and no other cause was told; Rest, what is left
// between the last step and the later problem; and Replanning, what the later plan won or lost against staying with the
// earlier one, by other crews and another order.
//
// Concurrency. Each line is also applied alone to the earlier problem, and so is each pair of lines that move a date alone.
// Two lines are concurrent on a date when together they move it by less than the sum of what each does alone: both
// could have caused the same days. This is functional concurrency, within one window (AACE RP 29R-03 tells it from literal
// concurrency, on the same days). The package states it and decides nothing: the first in time order carries the days.
//
// Worked example. Two chains of one week each lead to a GC date. The other trade hands over the first chain's floor five days
// late, and on the second one the supplier is five days late, told a day afterwards. The date moves by five days: five are
// the trade's, none the supplier's, each alone would have moved it by five, together they move it by five: concurrent.
//
// What this package does not do: it does not know whose fault anything is. It proposes a Cause by what a task is and by what
// events say; the user confirms party and consequence. It reads no clock and changes none of its inputs.
package ledger
