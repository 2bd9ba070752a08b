// Package forecast says what will happen to the GC dates of a plan, and with which chance: Monte Carlo on the planning core
// itself. In every sample the lengths, releases and damages of the problem's uncertainty block are drawn, and all work is
// crewed anew by serial generation, so that a late opening takes its crew from the next one as it does on site.
//
//	problem + plan ─ widen ─> remakes as tasks ─ vary ─> quantities ─┐
//	        seed, sample number ─ draw ─> lengths, releases, damages ┴─ crew ─> finish of each GC date ─ percentiles, chances
//
// # What is drawn
//
// Every quantity of every task (see problem.Uncertainty) has a grade, a number between 0 and 1, and takes the value that
// its distribution stays under with that probability. Without a common cause the grades are independent. With one, grades go
// together as in a Gaussian copula: each is the probability of a standard normal score, and the score is the sum of the
// causes' scores times the root of their shares and of its own times the root of what is left. A share of 1 makes all
// quantities of that cause take the same grade. Values that are drawn are rounded to whole minutes.
//
// Damages. A damaged task is followed by its remake and rework; what waits for the task's finish waits for these. Remake and
// rework are certain but for the remake's own distribution and the pace of crews.
//
// # How a sample is crewed
//
// Work is placed in the order in which the plan begins it, once with every crew free to be chosen and once with the plan's
// crews, and the better schedule by the planner's own objective counts. Crews are chosen in knowledge of the sample's
// lengths, and the order of work is the plan's: the one makes samples a little better than life, the other a little worse.
// Pins and frozen work hold as in a plan, as far as the sample allows.
//
// # What comes out
//
// Percentiles are order statistics of the samples: the least instant by which at least that part has finished. Samples are
// made until the P80 of every GC date is known to half a working day with 95 % confidence, in batches of 100. Everything
// depends on problem, plan, seed and options alone, not on the number of workers; a quantity's draws do not depend on what
// else the problem holds.
//
// Example. A chain of two tasks of 60 or 120 minutes, each as likely: the samples finish 120, 180 or 240 minutes after the
// data date with chances 1/4, 1/2, 1/4; P10 is 120, P50 180, P80 and P90 240 minutes.
//
// # What this package does not do
//
// It does not plan, and it does not judge what a chance is worth: packages that keep forecasts compare them with what came.
package forecast
