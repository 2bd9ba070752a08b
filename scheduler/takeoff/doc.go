// Package takeoff says what one opening takes: the pieces, fasteners, panes and hardware that follow from its size and
// type, the hours of each kind of work on them, the weight of its glass and the hands that weight needs.
//
// Words. A bay is one light or the leaves' place; daylight is what is seen of a pane, bite what the frame hides of each
// edge; a member is a piece of the frame; a rate is labour hours for one unit of a driver, which is a quantity. Labour hours
// are hours of people: two people busy for an hour are two labour hours.
//
// Every quantity carries a Working, the calculation in words and numbers. A foreman who does it by hand gets the same number:
//
//	front 12'-0" x 9'-0", jambs: 2 jambs x (9'-0" / 1'-6" rounded up = 6, + 1) = 14 screws
//
// Conventions. Lengths and areas are exact (package length, and Area here), so that a size in inches and the same size in
// millimetres give the same pieces. Verticals run through, horizontals are cut between them. Widths that are left to share
// are equal. The spacing, bite and block rules are common practice and ours to edit; see Rules.
//
// From the table of rates to minutes:
//
//	hours = (set-up + sum of rate x quantity) x factors of the conditions x learning
//	labour minutes = hours x 60, rounded up to the whole minute
//
// Finished tasks teach what work really takes; see Learn, which keeps the company's rate and the learned factor apart.
//
// Duration is not decided here: a crew takes labour minutes / (heads x productivity).
//
// What this package does not do: it checks no structure, wind or code. Hints point to what a local code may ask; codes,
// manufacturers' instructions and licensed practice govern, and sizes are to be verified against approved shop drawings.
package takeoff
