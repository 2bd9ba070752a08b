package pattern

import "jambwright/scheduler/takeoff"

// DefaultPatterns returns the work pattern of every type, in the order of takeoff.Types. The needs are common practice
// for interior work and ours to edit: framed glass stands on the finished floor and under the closed ceiling, door frames go
// in with the walls and their leaves wait for the floor.
func DefaultPatterns(s Settings) []Pattern {
	s = s.withDefaults()
	patterns := make([]Pattern, 0, len(takeoff.Types()))
	for _, t := range takeoff.Types() {
		frame := []Need{{Condition: WallsBoarded}, {Condition: CeilingClosed}, {Condition: FloorFinished}}
		hang := []Need{{Condition: PowerLive, When: WhenPowered}}
		if t == takeoff.DoorFrame || t == takeoff.Pair {
			frame = frame[:1]
			hang = append(hang, Need{Condition: FloorFinished})
		}
		patterns = append(patterns, Pattern{
			Type: t,
			Steps: []Step{
				{Kind: takeoff.Frame, Needs: frame, Items: []Item{FrameKit}},
				{Kind: takeoff.Glaze, When: WithPanes, Items: []Item{Glass}},
				{Kind: takeoff.Hang, When: WithLeaves, Needs: hang, Items: []Item{Leaf, Hardware}},
				{Kind: takeoff.Punch},
			},
			Links: []StepLink{
				{From: takeoff.Glaze, To: takeoff.Punch, LagMinutes: s.SealantCureMinutes, When: WithButtJoints},
			},
		})
	}
	return patterns
}

// WithDefaults returns the settings with every zero field filled.
func (s Settings) WithDefaults() Settings { return s.withDefaults() }

// withDefaults fills the zero fields.
func (s Settings) withDefaults() Settings {
	if s.OverdueHandoverMinutes == 0 {
		s.OverdueHandoverMinutes = 480
	}
	if s.OverdueDeliveryDays == 0 {
		s.OverdueDeliveryDays = 1
	}
	if s.SealantCureMinutes == 0 {
		s.SealantCureMinutes = 1440
	}
	if s.SurveyNeeds == nil {
		s.SurveyNeeds = []Condition{WallsBoarded}
	}
	return s
}

// holds looks at what takeoff found and not at the type, so that a door with a sidelight is glazed and a storefront with leaves
// is hung without patterns of their own.
//
// It reports whether a part of a pattern applies to an opening.
func (w When) holds(o *Opening, t *takeoff.Takeoff) bool {
	switch w {
	case WithPanes:
		return len(t.Panes) > 0
	case WithLeaves:
		return len(t.Leaves) > 0
	case WithButtJoints:
		return t.Joints > 0
	case WhenPowered:
		return o.Powered
	}
	return true
}

func (w When) isKnown() bool {
	switch w {
	case "", Always, WithPanes, WithLeaves, WithButtJoints, WhenPowered:
		return true
	}
	return false
}
