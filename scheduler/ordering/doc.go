// Package ordering says what material must be ordered by when, what is late and by whom, and in which releases and drops
// openings are best ordered.
//
// Words. A line is one delivery: a drop of a release, or a remake. Its need is the latest arrival at the site's gate that
// still keeps the GC dates, the late start of its unloading in a plan; its margin is the working time of the site from the
// expected arrival to the need. A release is ordered once, so its order-by date is the first of those of its drops.
//
// What it reads. The firm says what is known now, the plan says what is needed when. So a promise that was written down a
// moment ago moves the margin at once, while needs move with the next plan.
//
//	firm: calendars, leads, dates of releases ─┐
//	plan: late starts, orders that wait ───────┴─> Lines ─> order-by dates, arrivals, margins
//
// What it does not do: it moves no task and knows no clock. The planner counts crews and limits; a margin counts the network's
// late dates alone, so that a delivery within its margin can still be what a busy crew waits for.
package ordering
