// Package network computes the time network of a problem document: when each task can start and finish at the earliest,
// when at the latest, and which links make it so. It ignores that crews and limits are shared; package crewing does
// not.
//
//	problem.Problem --Compile--> Compiled --Network--> early and late dates, floats, drivers, chains
//	                                |
//	                                +--> package crewing: the same tasks, options and links, with crews shared
//
// Words. An option is one way to do a task: one eligible crew with its calendar and the minutes the task takes it
// there, or the one way of fixed work. A link binds while it still has something to say: links into finished work never
// do, links into started work only where the document keeps the order. A task's release is the data date, its
// not_before or its pinned start, whichever is latest. Early and late dates, total float, free float and driving
// predecessors are those of the literature (Kelley and Walker 1959, "Critical-path planning and scheduling"; Elmaghraby
// and Kamburowski 1992, "The analysis of activity networks under generalized precedence relations", for links other
// than finish to start).
//
// Conventions. Instants are whole minutes, intervals half-open: a task that ends with Monday's shift at 15:30 finishes
// at 15:30, and the task after it starts on Tuesday 07:00. Nothing is split: work pauses only for non-working time. A
// task of no minutes starts and finishes at its bound, in working time or not. Durations and floats are working minutes
// of the option's calendar, lags are counted on the link's.
//
// Started work keeps its start; what remains of it runs as one piece from a resume. Finished work keeps both its dates.
// A task that waits without a date is left out of the network together with what its links make follow it (HeldBy).
//
// Example. Frame is 480 minutes and glaze 240 on a week of 07:00-15:00, linked finish to start, the data date a Friday
// 07:00, glaze due on Tuesday 15:00:
//
//	        early                     late                      total float  free float
//	frame   Fri 07:00 to Fri 15:00    Mon 11:00 to Tue 11:00        720           0
//	glaze   Mon 07:00 to Mon 11:00    Tue 11:00 to Tue 15:00        720           0
//
// Where the field has no single answer, this one is used:
//
//   - The backward pass starts from a task's own dates (the earliest of its deadline and its GC dates) where it has any,
//     else from what follows it, and from the project finish at an open end: a finish that no link waits for. A GC date
//     later than the project finish therefore gives float to all that leads to it.
//   - Negative lag lets nothing finish after both the project and the successor: what finishes last has no float.
//   - A pinned start holds the early dates, as not_before does. It takes no float away: float says what moving the pin
//     would cost.
//   - With several crews each pass takes the best crew for its own end, the earliest finish and the latest start, so the
//     early and the late dates of one task may be those of two crews. Total float is counted between the two starts, of
//     started work between the two resumes, in the calendar of the crew of the early dates.
//   - A finish bound holds to the minute. Where work must not finish before Thursday 07:00, Wednesday's close at 15:00 is
//     too early although no working time lies between, and the finish is Thursday 07:01.
//   - Free float is the smallest slack of the links out of a task at early dates, at an open end the time to the project
//     finish.
//
// Horizon. Calendars are compiled from one year before the first date of the document to three years behind the last.
// Work that does not fit makes Compute extend the horizon to twice the reach, up to 64 years, while that adds working
// time; work that does not fit then, because a calendar runs out or two calendars never work together, is reported and
// never waited for.
//
// What this package does not do: it does not validate documents (package problem does), assign crews or write plans.
package network
