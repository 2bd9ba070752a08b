package takeoff

import "math"

// Lifting holds the house rules for how many hands a pane needs. A zero field reads as its default.
//
// The limit for one person is a house rule, not a law: the revised NIOSH lifting equation (DHHS/NIOSH publication 94-110)
// starts from a load constant of 51 lb for one person under ideal conditions and does not speak of team lifts.
type Lifting struct {
	LimitGrams     int64 // share of a lift that one person may carry; default 50 lb
	TwoHandsOver   Area  // a pane of more area takes two people whatever it weighs; default 10 sq ft
	LeafHands      int   // people who hang a leaf that is not of glass; default 2
	GearHands      int   // people who set a pane with lifting gear; default 2
	GearLimitGrams int64 // the heaviest pane that the gear takes; default 300 kg
}

// gramsPerPound is exact (international pound, 1959) but for the rounding to the gram where it is used.
const gramsPerPound = 453.59237

// GramsOfPounds converts a weight in pounds, rounded to the gram.
func GramsOfPounds(pounds float64) int64 { return int64(math.Round(pounds * gramsPerPound)) }

// Pounds converts a weight in grams.
func Pounds(grams int64) float64 { return float64(grams) / gramsPerPound }

// DefaultLifting is the house rule where nothing else is set.
func DefaultLifting() Lifting {
	return Lifting{
		LimitGrams:     GramsOfPounds(50),
		TwoHandsOver:   10 * SquareFoot,
		LeafHands:      2,
		GearHands:      2,
		GearLimitGrams: 300_000,
	}
}

// WithDefaults returns the rules with every zero field filled.
func (l Lifting) WithDefaults() Lifting {
	d := DefaultLifting()
	fill(&l.LimitGrams, d.LimitGrams)
	fill(&l.TwoHandsOver, d.TwoHandsOver)
	fill(&l.LeafHands, d.LeafHands)
	fill(&l.GearHands, d.GearHands)
	fill(&l.GearLimitGrams, d.GearLimitGrams)
	return l
}

// Hands is the number of people who must be at one pane: its weight shared so that nobody carries more than the limit, and
// at least two for a large one.
func (l Lifting) Hands(grams int64, area Area) int {
	l = l.WithDefaults()
	hands := max(1, int((grams+l.LimitGrams-1)/l.LimitGrams))
	if area > l.TwoHandsOver {
		hands = max(hands, 2)
	}
	return hands
}

// working shows how the hands at a pane come about.
func (l Lifting) working(grams int64, area Area, hands int) Working {
	l = l.WithDefaults()
	w := work(weight(grams), " / ", weight(l.LimitGrams), " a person, rounded up = ", max(1, int((grams+l.LimitGrams-1)/l.LimitGrams)))
	if area > l.TwoHandsOver {
		w = join("", w, work("; larger than ", l.TwoHandsOver, ": at least 2; so ", hands))
	}
	return w
}
