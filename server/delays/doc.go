// Package delays keeps the delay ledger of each project: who caused which days, with the records behind it, what people
// confirmed, which notices are due, and the statement for the general contractor.
//
//	issued plans of a project:   1 ──────> 2 ──────> 3 ···> latest draft
//	windows:                        1-2       2-3      running
//	                                 └── scheduler/ledger, stored once ──┘
//	                                             │
//	         confirmations, notices, terms ──> Statement ──> page, PDF, XLSX
//
// A window is computed after its later plan was issued, outside of any transaction, by the night's job, after an issue by hand
// or on the first view, and never again; what a person confirms hangs on the event's own key and shows in every window in
// which the event does. The running window leads to the latest draft and is dropped when a newer draft comes.
//
// What this package does not do: it computes no dates (package ledger does), draws no page, and decides nothing: party,
// excusable and compensable are proposals of common practice until a person confirms them. A statement is of the planner's
// records; it is no legal advice.
package delays
