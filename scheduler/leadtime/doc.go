// Package leadtime does the arithmetic of lead times: when material must be ordered so that it arrives in time, when it
// arrives once it is ordered, and what is left of a lead under way.
//
// Words. A lead time counts working days of the supplier's calendar from the order to the arrival at the site's gate, three
// times over: least, likely, most. The need is the latest arrival that still keeps what depends on it, a late date of a
// backward pass. The order-by date is the latest instant of the buyer's working time at which an order placed makes the
// need. A promise is an arrival that the supplier acknowledged.
//
// Conventions. A working day of a supplier is as many minutes as its usual day has, so that a lead time is a count of minutes
// and all arithmetic is that of package calendar: the days themselves never round. A lead of nothing takes no time. Plans
// use the likely lead; the two others show what is at stake.
//
// Example. A supplier works Monday to Friday, 07:00 to 15:30, with federal holidays. Frames are needed on site by Monday 4
// January 2027, 07:00, with a lead of 10 days. Counting back from there: Thu 31, Wed 30, Tue 29, Mon 28 December, (Fri 25 is
// Christmas), Thu 24, Wed 23, Tue 22, Mon 21, Fri 18, Thu 17 are ten working days (Fri 1 January is New Year's Day), so the
// order must be placed by the close of Wednesday 16 December.
package leadtime
