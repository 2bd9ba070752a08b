// Package crewing decides which crew does which task when. It is the solver of the planning core: it takes a problem
// document that has passed validation, compiles it into a Model of dense slices, and generates and improves schedules.
//
// Words. A piece is what has yet to be planned of a task: all of it, or the remaining minutes of a started one, which run
// as one piece from its resume. A crew's axis is its working time with the gaps squeezed out (package calendar, Position);
// a gap is free time of a crew on that axis. A list is an order of all tasks in which no task comes before one that it is
// linked from; serial generation walks the list and puts each piece at the earliest place that everything placed before
// it leaves free.
//
// Serial generation (Kolisch 1996, "Serial and parallel resource-constrained project scheduling methods revisited",
// European Journal of Operational Research 90) is used here with four differences: the resource of a crew task is chosen among the
// eligible crews (earliest finish, ties by added travel, then by the order of the document); crews are sequences on
// their own axes, with travel between neighbours on both sides of an insertion; the four relations with lags on calendars
// bound starts or finishes; and shared limits are held over the non-working time inside a task, so their profiles live
// on the time axis and not on the crew's.
//
//	list:   A  B  C ...                     gaps of crew Ash, in positions
//	 |                                      [0........120)  A  [360....................
//	 v   bound by links, not_before, pin      |  too short      ^ C goes here: 360 + travel
//	place ------------------------------------+
//	 |   then limits and areas on the time axis; if taken, go on from where they are free again
//	 v
//	start, finish, crew, and the reason: whichever bound let go last
//
// Locked work. Pins, the rest of work under way if there is a frozen window, and frozen work hold their places before any
// list is walked, in this order; what cannot stay is given up with its cause (Settle). The plan in force is kept beyond the
// frozen window too, as far as it pays: the search begins with a schedule that holds all of its places until links, calendars or
// what was locked take one (stay). With nothing changed that is the issued plan; a place that is lost moves only what follows it by
// links. Where that makes dates later than need be, other work gives way round by round (giveWay). Which work is held in place is
// part of what is bred, like its crew. The search never ends with a plan worse than the first one.
//
// Search. First the issued plan and the priority rules, each improved by justification: the pieces are moved as late as
// they go, and generated anew in the order of those late begins. Then populations of lists are bred until the budget, a
// count of schedules, is spent or the bound is met: crossover of lists, moves along the chain that holds a late date,
// work of one date brought forward, stretches of time shuffled, work of one place kept together, other crews; and each new best
// schedule is gone through for work that waits in one crew's queue while another crew is free (compact). A population that finds nothing better is
// left for another one. The order of schedules is Score's: places kept, then the weighted total.
//
// Followers that go ahead. In lists of up to 64 tasks a follower by a link to its finish, or with negative lag, may stand before what it
// follows (GenerateAhead): the latter then waits for the crew or the limit that the follower takes first.
//
// Limits of the method. Every piece starts as soon as what was placed before it allows (or at its issued or pinned place); with
// followers going ahead that has lost nothing against all plans of small problems, but in larger ones none goes ahead. The bound on
// lateness takes dates together that need the same set of crews (joint), by work content alone: travel, set-up and shared limits are
// not in it.
//
// Conventions. Everything is indexed by TaskIndex and CrewIndex, the places in the problem's own lists. Instants and
// working minutes are package calendar's. Intervals are half-open. A Workspace owns all scratch memory; a schedule made
// in it is valid until its next use.
//
// What this package does not do: it does not validate, does not compute network dates or floats, and does not write the
// plan document (package plan does), and it reads no clock.
package crewing
