package takeoff

// Driver is the quantity that a rate multiplies.
type Driver string

// The drivers. PerTask is the set-up that every task of a kind costs once.
const (
	PerTask      Driver = "task"
	PerOpening   Driver = "opening"        // survey, order, deliver: openings covered by the shared task
	PerMetre     Driver = "frame_metre"    // all frame members
	PerFastener  Driver = "fastener"       // screws
	PerAnchor    Driver = "anchor"         // anchors drilled into concrete
	PerPane      Driver = "pane"           //
	PerGlassArea Driver = "glass_m2"       //
	PerGasket    Driver = "gasket_metre"   //
	PerSealant   Driver = "sealant_metre"  // butt joints
	PerLeaf      Driver = "leaf"           //
	PerHardware  Driver = "hardware_point" //
	PerCrate     Driver = "piece"          // deliver: pieces to unload
)

// Rate says how many labour hours one unit of a driver takes. The row of the opening's own type goes before the row
// with an empty type.
type Rate struct {
	Kind   Kind
	Type   Type // "" holds for every type
	Driver Driver
	Hours  float64 // labour hours a unit
	Source string  // where the number comes from, in words
}

// Factor multiplies the hours of a kind of task under a condition. An empty kind holds for every kind without a row of its own.
type Factor struct {
	Condition Condition
	Kind      Kind
	Factor    float64
	Source    string
}

// Rates is the company table from which hours are made. The zero value reads as DefaultRates.
type Rates struct {
	Rates   []Rate
	Factors []Factor
}
