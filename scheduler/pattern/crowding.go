package pattern

import (
	"math"

	"jambwright/scheduler/problem"
)

// factor is the pace of a crew of so many heads beside that of the same people with room for all.
func (c Crowding) factor(heads int) float64 {
	if heads <= c.Room {
		return 1
	}
	return (float64(c.Room) + float64(float64(heads-c.Room)*c.Extra)) / float64(heads)
}

// crowd puts the loss of crowding into the crews' productivity: a crew takes labour minutes / (heads x crowding x
// productivity). The product is rounded to a millionth, so that documents stay readable.
func (b *builder) crowd(c *problem.Crew) {
	for _, rule := range b.settings.Crowding {
		kind := string(rule.Kind)
		f := rule.factor(c.Heads)
		if f == 1 || !c.HasSkill(kind) {
			continue
		}
		if c.Productivity == nil {
			c.Productivity = map[string]float64{}
		}
		c.Productivity[kind] = math.Round(c.ProductivityOf(kind)*f*1e6) / 1e6
	}
}

func (b *builder) checkCrowding() {
	seen := map[Crowding]bool{}
	for _, c := range b.f.Settings.Crowding {
		if c.Room < 1 || !(c.Extra >= 0 && c.Extra <= 1) || seen[Crowding{Kind: c.Kind}] {
			b.fault("crowding of "+string(c.Kind), "one row a kind, room for 1 or more, further people worth 0 to 1", "room for %d, further people worth %v", c.Room, c.Extra)
		}
		seen[Crowding{Kind: c.Kind}] = true
	}
}
