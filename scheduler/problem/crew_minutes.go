package problem

import (
	"math"
	"math/big"
	"slices"
	"strconv"
)

// CrewMinutes is the length of crew work on one crew, ceil(labour / (heads x productivity)), in minutes of the crew's
// working time. It is the one rounding rule of the document; 0 labour takes 0 minutes.
//
// The productivity stands for the decimal that a person wrote, not for its binary neighbour: 0.8 is exactly 4/5, so
// that 120 minutes on two heads at 0.8 are 75 minutes, never 76. labour is not negative, heads at least 1, and
// productivity above 0; Validate sees to that.
func CrewMinutes(labour, heads int, productivity float64) int {
	if productivity == 1 {
		return (labour + heads - 1) / heads
	}
	quotient := float64(labour) / (float64(heads) * productivity)
	// Inside the validated ranges the quotient stays under 1.1e9 and is wrong by less than 1e-6, so only a quotient
	// nearer than that to a whole number needs exact arithmetic.
	if math.Abs(quotient-math.Round(quotient)) > 1e-6 {
		return int(math.Ceil(quotient))
	}
	return exactCrewMinutes(labour, heads, productivity)
}

func exactCrewMinutes(labour, heads int, productivity float64) int {
	factor, ok := new(big.Rat).SetString(strconv.FormatFloat(productivity, 'g', -1, 64))
	if !ok || factor.Sign() <= 0 {
		panic("problem: productivity must be a positive number, got " + strconv.FormatFloat(productivity, 'g', -1, 64))
	}
	minutes := new(big.Rat).SetFrac64(int64(labour), int64(heads))
	minutes.Quo(minutes, factor)
	whole, rest := new(big.Int).QuoRem(minutes.Num(), minutes.Denom(), new(big.Int))
	if rest.Sign() > 0 {
		whole.Add(whole, big.NewInt(1))
	}
	return int(whole.Int64())
}

// ProductivityOf is the crew's factor for one kind of work, 1 when the crew names none.
func (c *Crew) ProductivityOf(kind string) float64 {
	if factor, ok := c.Productivity[kind]; ok {
		return factor
	}
	return 1
}

// CanDo reports whether the crew has the skill, the heads and the site for a task of crew work. A crew that names no
// sites may go anywhere.
func (c *Crew) CanDo(t *Task) bool {
	return c.HasSkill(t.Kind) && c.Heads >= t.HeadsNeeded() && c.MayEnter(t.Site)
}

// HasSkill reports whether the crew does this kind of work.
func (c *Crew) HasSkill(kind string) bool { return slices.Contains(c.Skills, kind) }

// MayEnter reports whether the crew is allowed on a site. Work without a site is open to every crew.
func (c *Crew) MayEnter(site string) bool {
	return len(c.Sites) == 0 || site == "" || slices.Contains(c.Sites, site)
}

// MinutesFor is the length of a task of crew work on this crew.
func (c *Crew) MinutesFor(t *Task) int {
	return CrewMinutes(*t.LabourMinutes, c.Heads, c.ProductivityOf(t.Kind))
}

// HeadsNeeded is min_heads with its default of 1.
func (t *Task) HeadsNeeded() int { return max(1, t.MinHeads) }

// IsStarted reports whether work has begun and is not finished.
func (t *Task) IsStarted() bool { return t.Status != nil && t.Status.Finished == nil }

// IsFinished reports whether the work is done.
func (t *Task) IsFinished() bool { return t.Status != nil && t.Status.Finished != nil }

// Relation is the link's type with its default.
func (l *Link) Relation() LinkType {
	if l.Type == "" {
		return FinishToStart
	}
	return l.Type
}

// Calendar is the identifier of the calendar that counts the lag, with its default.
func (l *Link) Calendar() string {
	if l.LagCalendar == "" {
		return Always
	}
	return l.LagCalendar
}

// Damages is the cost of a day of lateness, with its default of 1.
func (d *GCDate) Damages() float64 {
	if d.DamagesPerDay == nil {
		return 1
	}
	return *d.DamagesPerDay
}

// KeepsOrder reports whether started work still obeys the links into it.
func (p *Problem) KeepsOrder() bool { return p.OutOfOrder == KeepOrder }

// FlowShare is how many minutes by which tasks finish later, all together, weigh as much as one minute of an idle crew.
const FlowShare = 20

// DefaultWeights put a day of late damages far above a change of the issued plan. A minute of lost crew time weighs as
// much as a minute of makespan, so that no plan grows long only to spare a crew some waiting, and one change as much as
// 200 minutes of either, or as a task that starts three days sooner.
func DefaultWeights() Weights { return Weights{Lateness: 1000, Change: 20, Travel: 0.1, Early: 0.1} }

// EffectiveWeights are the document's weights, or the defaults where it names none.
func (p *Problem) EffectiveWeights() Weights {
	if p.Weights == nil {
		return DefaultWeights()
	}
	return *p.Weights
}

// MovedNote is the note of a plan that moved a pin or a task of the frozen window, with the reason. Readers of the
// plan find the task by it, so a planner writes these notes with this function only.
func MovedNote(task, why string) string { return "task " + task + " moved: " + why }
