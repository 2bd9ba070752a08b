package takeoff

// Sources of the default rates.
const (
	ours = "ours to edit"
	// compendium rows are man-hours a unit, as published.
	compendium = "Guild of Project Controls compendium, Fitout and Finishes"
	// estimating is the page of a textbook with labour hours a unit for doors and frames.
	estimating = "Estimating in Building Construction, fig. 15.14"
)

// hoursPerMetreOfCaulk is 0.005 man-hours a foot, the compendium's row for caulking doors.
const hoursPerMetreOfCaulk = 0.005 / 0.3048

// DefaultRates is the table that a company starts from. Rows with a published source keep its number for the whole piece of
// work and switch off the finer rows for that type; all others are ours to edit. Published rates for hanging a door range
// from 1 to 6 hours, so the table is a place to start, not a standard.
func DefaultRates() Rates {
	return Rates{
		Rates: []Rate{
			{Survey, "", PerTask, 0.5, ours},
			{Survey, "", PerOpening, 0.25, ours},
			{Order, "", PerTask, 0.5, ours},
			{Order, "", PerOpening, 0.1, ours},
			{Deliver, "", PerTask, 0.5, ours},
			{Deliver, "", PerPiece, 0.05, ours + ": 3 minutes from the truck for a bundle, a pane or a leaf, common practice"},

			{Frame, "", PerTask, 0.5, ours},
			{Frame, "", PerMetre, 0.1, ours},
			{Frame, "", PerTrim, 0.03, ours},
			{Frame, "", PerCaulk, hoursPerMetreOfCaulk, compendium + ": caulking, doors, 0.005 a foot"},
			{Frame, "", PerFastener, 0.02, ours},
			{Frame, "", PerAnchor, 0.08, ours},
			{Frame, SlidingFront, PerLeaf, 4, compendium + ": sliding door frame"},
			{Frame, DoorFrame, PerTask, 3, compendium + ": door frame and trim, single, interior"},
			{Frame, DoorFrame, PerMetre, 0, "in the hours of the whole frame"},
			{Frame, DoorFrame, PerFastener, 0, "in the hours of the whole frame"},
			{Frame, DoorFrame, PerLight, 1, ours},
			{Frame, Pair, PerTask, 4, compendium + ": door frame and trim, double, interior"},
			{Frame, Pair, PerMetre, 0, "in the hours of the whole frame"},
			{Frame, Pair, PerFastener, 0, "in the hours of the whole frame"},
			{Frame, Pair, PerLight, 1, ours},

			{Glaze, "", PerTask, 0.5, ours},
			{Glaze, "", PerPane, 0.4, ours},
			{Glaze, "", PerGlassArea, 0.25, ours},
			{Glaze, "", PerGasket, 0.03, ours},
			{Glaze, "", PerSealant, 0.1, ours},

			{Hang, "", PerTask, 0.25, ours},
			{Hang, "", PerLeaf, 1, ours},
			{Hang, "", PerHardware, 0.25, ours},
			{Hang, DoorFrame, PerTask, 0, "in the hours of the whole leaf"},
			{Hang, DoorFrame, PerLeaf, 5, compendium + ": door fit, hang, lock, single, interior"},
			{Hang, DoorFrame, PerHardware, 0, "in the hours of the whole leaf"},
			{Hang, Pair, PerTask, 7, compendium + ": door fit, hang, lock, double, interior"},
			{Hang, Pair, PerLeaf, 0, "in the hours of the pair"},
			{Hang, Pair, PerHardware, 0, "in the hours of the pair"},

			{Punch, "", PerTask, 0.5, ours},
			{Punch, "", PerPane, 0.1, ours},
			{Punch, "", PerLeaf, 0.25, ours},
		},
		Factors: []Factor{
			{Ladder, "", 1.15, ours},
			{Lift, "", 1.25, ours},
			{Occupied, "", 1.2, ours},
			{HardDrill, Frame, 1.3, ours},
			{HardDrill, "", 1, "drilling is framing's work"},
			{TightAccess, "", 1.1, ours},
			{HeavyDuty, "", 1.2, estimating + ": heavy duty, 20 % more"},
		},
	}
}
