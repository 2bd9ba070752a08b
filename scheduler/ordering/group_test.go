package ordering

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// monday is the first day of the examples; all their days count, weekends too, so that they can be worked in the head.
var monday = time.Date(2026, time.December, 7, 7, 0, 0, 0, time.UTC)

func day(n int) time.Time { return monday.AddDate(0, 0, n) }

// tenDays is a lead of ten days, and at most fifteen days on the floor.
var tenDays = groupRules{
	orderBy: func(need time.Time) time.Time { return need.AddDate(0, 0, -10) },
	stored:  func(from, to time.Time) float64 { return to.Sub(from).Hours() / 24 },
	most:    15,
}

func parcelOf(area string, need, ready int) Parcel {
	return Parcel{Area: area, Need: day(need), Ready: day(ready), Contents: []Content{{Mark: area}}}
}

// shape writes orders and drops by their areas: "E W | N" are two drops, "E / N" two orders.
func shape(orders []SuggestedOrder) (text string) {
	for i, o := range orders {
		if i > 0 {
			text += " / "
		}
		for j, d := range o.Drops {
			if j > 0 {
				text += " | "
			}
			for k, p := range d.Parcels {
				if k > 0 {
					text += " "
				}
				text += p.Area
			}
		}
	}
	return text
}

func TestGroup_WorkedByHand(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name    string
		parcels []Parcel
		want    string
	}{
		{"needed within days of one another: one order, one drop", []Parcel{parcelOf("E", 20, 0), parcelOf("W", 27, 3)}, "E W"},
		// The order is due on day 10, both are ready: one order. West is used 30 days after East: a drop of its own.
		{"needed weeks apart, both ready: two drops of one order", []Parcel{parcelOf("E", 20, 0), parcelOf("W", 50, 5)}, "E | W"},
		// East must be ordered by day 10, West is surveyed on day 25: waiting for it would cost East 15 days.
		{"needed weeks apart, the second not surveyed in time: two orders", []Parcel{parcelOf("E", 20, 0), parcelOf("W", 50, 25)}, "E / W"},
		// North is ready in time for West's order, which is due on day 40.
		{"a third one joins the second order", []Parcel{parcelOf("E", 20, 0), parcelOf("W", 50, 25), parcelOf("N", 55, 39)}, "E / W N"},
		// East is late whatever happens: ready on day 18, due on day 10. West is ready by then and costs it nothing.
		{"what is late anyway takes in what is ready as early", []Parcel{parcelOf("E", 20, 18), parcelOf("W", 22, 18)}, "E W"},
		{"the drop counts from its first parcel, not from the last", []Parcel{parcelOf("E", 20, 0), parcelOf("W", 30, 0), parcelOf("N", 40, 0)}, "E W | N"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			orders := group(c.parcels, tenDays)
			require.Equal(t, c.want, shape(orders))
		})
	}
}

// divisions lists every way to cut n things in a row into runs, as the lengths of the runs.
func divisions(n int) (list [][]int) {
	if n == 0 {
		return [][]int{nil}
	}
	for first := 1; first <= n; first++ {
		for _, rest := range divisions(n - first) {
			list = append(list, append([]int{first}, rest...))
		}
	}
	return list
}

// fewest tries every division into neighbours and returns the least number of runs that all hold.
func fewest(parcels []Parcel, holds func(run []Parcel) bool) int {
	best := len(parcels) + 1
	for _, lengths := range divisions(len(parcels)) {
		at, good := 0, true
		for _, n := range lengths {
			good = good && holds(parcels[at:at+n])
			at += n
		}
		if good {
			best = min(best, len(lengths))
		}
	}
	return best
}

func TestGroup_NeedsNoMoreOrdersAndDropsThanAnyOtherDivision(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(3, 1))
	for range 400 {
		n := 1 + random.IntN(8)
		parcels := make([]Parcel, n)
		for i := range parcels {
			parcels[i] = parcelOf(fmt.Sprint(i), random.IntN(90), random.IntN(70))
		}
		slices.SortFunc(parcels, func(a, b Parcel) int { return a.Need.Compare(b.Need) })
		orders := group(parcels, tenDays)
		inTime := func(run []Parcel) bool {
			due := latest(tenDays.orderBy(run[0].Need), run[0].Ready)
			return !slices.ContainsFunc(run, func(p Parcel) bool { return p.Ready.After(due) })
		}
		short := func(run []Parcel) bool { return tenDays.stored(run[0].Need, run[len(run)-1].Need) <= tenDays.most }
		require.Len(t, orders, fewest(parcels, inTime), "%s", shape(orders))
		var all []Parcel
		for _, o := range orders {
			var held []Parcel
			for _, d := range o.Drops {
				require.True(t, short(d.Parcels))
				require.Equal(t, d.Parcels[0].Need, d.Need)
				held = append(held, d.Parcels...)
			}
			require.True(t, inTime(held), "%s", shape(orders))
			require.Len(t, o.Drops, fewest(held, short), "%s", shape(orders))
			require.Equal(t, tenDays.orderBy(held[0].Need), o.OrderBy)
			all = append(all, held...)
		}
		require.Equal(t, parcels, all, "every parcel once")
	}
}
