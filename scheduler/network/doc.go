// Package network computes the time network of a problem document: when each task can start and finish at the earliest,
// when at the latest, and which links make it so. It ignores that crews and limits are shared; package crewing does not.
//
//	problem.Problem --Compile--> Compiled --Network--> early and late dates, floats, drivers, chains
//	                                |
//	                                +--> package crewing: the same tasks, options and links, with crews shared
//
// Words. An option is one way to do a task: one eligible crew with its calendar and the minutes the task takes it there,
// or the one way of fixed work. A link binds while it still has something to say: links into finished work never do, links into
// started work only where the document keeps the order. A task's release is the data date, its not_before or
// its pinned start, whichever is latest. Early and late dates, total float, free float and driving predecessors are those of the
// literature (Kelley and Walker 1959, "Critical-path planning and scheduling"; Fondahl 1961, "A non-computer approach to the critical
// path method for the construction industry", for links other than finish to start).
//
// Conventions. Instants are whole minutes, intervals half-open: a task that ends with Monday's shift at 15:30 finishes at
// 15:30, and the task after it starts on Tuesday 07:00. Nothing is split: work pauses only for non-working time. A task of
// no minutes starts and finishes at its bound, in working time or not. Durations and floats are working minutes of the
// option's calendar, lags are counted on the link's.
//
// Started work keeps its start; what remains of it runs as one piece from a resume. Finished work keeps both its dates.
// A task that waits without a date is left out of the network together with what its links make follow it (HeldBy).
//
// Horizon. Calendars are compiled from one year before the first date of the document to three years behind the last.
// Work that does not fit makes the caller Extend the horizon to twice the reach, up to 64 years; work that does not fit
// even then, because a calendar runs out or two calendars never work together, is reported and never waited for.
//
// What this package does not do: it does not validate documents (package problem does), assign crews or write plans.
package network
