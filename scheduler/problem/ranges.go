package problem

// The ranges that Validate holds documents to. They are far outside the trade's needs and keep every sum of the
// planner inside 64 bits.
const (
	MaxMinutes = 20 * 366 * 24 * 60 // 20 years, for any one length, lag or travel time
	FirstYear  = 1900
	LastYear   = 2199

	MinProductivity = 0.01
	MaxProductivity = 100

	MaxFactor = 1_000_000 // of a length, in the uncertainty block; minutes left of a delivery due today may become weeks
	MaxSigma  = 3.0       // of the logarithm of a length

	// sumTolerance is by how much shares and chances, written as decimals, may miss the sum that they should have.
	sumTolerance = 1e-6

	maxHeads    = 1_000_000
	maxCapacity = 1_000_000_000
)
