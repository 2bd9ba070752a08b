package takeoff_test

import (
	"fmt"

	"jambwright/scheduler/length"
	"jambwright/scheduler/takeoff"
)

// A glazed front with a sliding leaf, as a foreman checks it: every count with the calculation it came from.
func ExampleOf() {
	front := takeoff.Opening{
		Type: takeoff.SlidingFront, Width: 12 * length.Foot, Height: 9 * length.Foot,
		Glass: takeoff.Glass{Thickness: 10 * length.Millimetre, Safety: true},
	}
	t, err := takeoff.Of(front, takeoff.Rules{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, line := range t.Lines {
		switch line.Quantity {
		case "jamb", takeoff.AnchorsLine, takeoff.PanesLine, takeoff.HeaviestLine, takeoff.GasketLine:
			fmt.Printf("%s: %s\n", line.Quantity, line.Working)
		}
	}
	fmt.Println("hands at the pane:", t.GlazeHands)

	rates := takeoff.DefaultRates()
	fmt.Println("labour minutes to glaze:", rates.Hours(takeoff.Glaze, t, 1).Minutes)
	// Output:
	// jamb: 2 x 9'-0" = 18'-0"
	// anchors: those of the channel: 7
	// panes: 1 of 8'-7 3/8" x 8'-9 1/8": width 8'-6 3/4" + 2 x 5/16" of bite = 8'-7 3/8", height 8'-8 1/2" + 2 x 5/16" of bite = 8'-9 1/8"
	// heaviest pane: 75.467 sq ft x 5.1204 lb/sq ft (2.5 kg/m² a mm x 10 mm of glass) = 386.42 lb (175.3 kg)
	// gasket: 1 x 2 faces x (2 x 8'-6 3/4" + 2 x 8'-8 1/2") = 69'-1"
	// hands at the pane: 8
	// labour minutes to glaze: 227
}
