package pattern

import (
	"math"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// factor is the pace of a crew of so many heads beside that of the same people with room for all.
func (c Crowding) factor(heads int) float64 {
	if heads <= c.Room {
		return 1
	}
	return (float64(c.Room) + float64(float64(heads-c.Room)*c.Extra)) / float64(heads)
}

// pace settles the crews' productivity: a crew takes labour minutes / (heads x crowding x productivity), and where its pace was
// learned and accepted, labour minutes by the company table x that factor / heads. The result is rounded to a millionth, so that
// documents stay readable.
func (b *builder) pace(c *problem.Crew) {
	for _, kind := range takeoff.Kinds() {
		if !c.HasSkill(string(kind)) {
			continue
		}
		stated := c.ProductivityOf(string(kind))
		pace := b.settings.StatedPace(kind, c.Heads, stated)
		for _, p := range b.f.Paces {
			if p.Crew == c.ID && p.Kind == kind {
				pace = b.rates.AcceptedFactor(kind) / p.Factor
			}
		}
		if pace == stated {
			continue
		}
		if c.Productivity == nil {
			c.Productivity = map[string]float64{}
		}
		c.Productivity[string(kind)] = math.Round(pace*1e6) / 1e6
	}
}

func (b *builder) checkPaces() {
	for _, p := range b.f.Paces {
		if !(p.Factor >= 0.01 && p.Factor <= 100) {
			b.fault("pace of crew "+p.Crew, "keep the crew's stated pace instead", "the accepted factor of %s is %v, not from 0.01 to 100", p.Kind, p.Factor)
		}
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
