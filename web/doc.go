// Package web turns typed values into pages for people: HTML templates, one style sheet, small scripts, and the
// formatting of lengths, weights, dates and reasons.
//
// # How a page is made
//
//	handler fills one struct ──> Pages.Render ──> layout.html + parts.html + the page's own template ──> bytes
//	                                  │
//	                                  └── Format (units, clock, zone) comes with the page's Chrome
//
// Each page has one struct here, named after it and filled completely before rendering; templates ask no questions of
// any store. Values stay typed until the template formats them: a time.Time in the site's zone, a length.Length, a
// weight in kilograms. So one page serves a reader in feet-inches and one in millimetres.
//
// # Conventions
//
// Intervals are half-open everywhere below this package. Only here does a finish at the end of Tuesday print as Tuesday.
// Weights are kilograms, durations whole minutes, money whole units of the project's currency. Sentences about causes
// are written by Format.Why and its neighbours, so that every page says the same thing in the same words.
//
// Forms work without scripts: post, redirect, get. The names of form fields are the form tags of the Form structs; a
// handler binds the same struct that it hands back to the page when something was wrong.
//
// Nothing is written inline: the pages run under a content security policy of default-src 'self'. Assets are embedded
// and their address holds a hash of their content, so they may be cached for ever.
//
// What this package does not do: it knows no routes' handlers, no database and no rule of the trade.
package web
