package ordering_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/leadtime"
	"jambwright/scheduler/ordering"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

// small is a release of the merge tests: frames of one opening, needed and ready so many days after the data date.
type small struct {
	code, area  string
	need, ready int
	change      func(*pattern.Project, *pattern.Release)
}

// day0 is the data date of the merge tests. No calendar is known to them, so that all their days count, weekends too.
var day0 = time.Date(2026, time.December, 7, 7, 0, 0, 0, time.UTC)

func dayAt(n int) time.Time { return day0.AddDate(0, 0, n) }

// smallFirm is a job with two levels of two zones each, and frames by a supplier of ten days.
func smallFirm(releases ...small) (pattern.Firm, map[pattern.TaskKey]ordering.Planned) {
	p := pattern.Project{
		Code: "NC", Suppliers: []pattern.Supplier{
			{ID: "pellam", Lead: leadtime.Days{Least: 8, Likely: 10, Most: 14}}, {ID: "bay", Lead: leadtime.Days{Least: 8, Likely: 10, Most: 14}},
		},
	}
	for _, level := range []string{"L1", "L2"} {
		p.Areas = append(p.Areas, pattern.Area{ID: level, Kind: pattern.Level},
			pattern.Area{ID: level + "-E", Parent: level, Kind: pattern.Zone}, pattern.Area{ID: level + "-W", Parent: level, Kind: pattern.Zone})
	}
	plan := map[pattern.TaskKey]ordering.Planned{}
	for _, s := range releases {
		rel := pattern.Release{ID: s.code, Supplier: "pellam", Basis: pattern.AfterFraming}
		mark := "of " + s.code
		p.Openings = append(p.Openings, pattern.Opening{
			Mark: mark, Area: s.area, Takeoff: takeoff.Opening{Type: takeoff.HingedFront}, Material: []pattern.Material{{Item: pattern.Glass, Release: s.code}},
		})
		plan[pattern.OpeningTask("NC", mark, takeoff.Frame)] = ordering.Planned{Finish: dayAt(s.ready)}
		plan[pattern.OpeningTask("NC", mark, takeoff.Glaze)] = ordering.Planned{LateStart: dayAt(s.need)}
		if s.change != nil {
			s.change(&p, &rel)
		}
		p.Releases = append(p.Releases, rel)
	}
	return pattern.Firm{DataDate: day0, Projects: []pattern.Project{p}}, plan
}

var usualMerge = ordering.MergeRules{StorageDays: 15, TruckItems: ordering.DefaultTruckItems}

// merged writes merges by their codes.
func merged(list []ordering.Merge) (text string) {
	for i := range list {
		text += fmt.Sprint(list[i].Codes())
	}
	return text
}

// With ten days of lead, what is needed on day 20 is due to be ordered on day 10, by the buyer's day.
func TestMerges_WorkedByHand(t *testing.T) {
	t.Parallel()
	ordered := func(_ *pattern.Project, r *pattern.Release) { r.Ordered = &day0 }
	for _, c := range []struct {
		name     string
		releases []small
		want     string
	}{
		{"needed within days of one another, both ready: one order, one truck", []small{{"A", "L1-E", 20, 3, nil}, {"B", "L1-W", 27, 5, nil}}, "[A B]"},
		{"the one that is needed first keeps its code", []small{{"A", "L1-E", 27, 3, nil}, {"B", "L1-E", 20, 5, nil}}, "[B A]"},
		{"the second would lie too long", []small{{"A", "L1-E", 20, 3, nil}, {"B", "L1-E", 36, 3, nil}}, ""},
		{"and just does not", []small{{"A", "L1-E", 20, 3, nil}, {"B", "L1-E", 35, 3, nil}}, "[A B]"},
		{"the first would wait for the second", []small{{"A", "L1-E", 20, 3, nil}, {"B", "L1-E", 27, 11, nil}}, ""},
		{"the second comes to another level", []small{{"A", "L1-E", 20, 3, nil}, {"B", "L2-E", 20, 3, nil}}, ""},
		{"what is ordered joins nothing", []small{{"A", "L1-E", 20, 3, ordered}, {"B", "L1-E", 22, 3, nil}, {"C", "L1-W", 23, 3, nil}}, "[B C]"},
		// A is due on day -5 and can be ordered on day 1: overdue. B is due on day 3: it would be overdue for the sake of A.
		{"what is overdue takes in nothing that is not", []small{{"A", "L1-E", 5, 1, nil}, {"B", "L1-E", 13, 1, nil}}, ""},
		{"what is overdue takes in what is overdue and ready by then", []small{{"A", "L1-E", 5, 2, nil}, {"B", "L1-E", 8, 2, nil}}, "[A B]"},
		{"what is overdue does not wait for what is", []small{{"A", "L1-E", 5, 2, nil}, {"B", "L1-E", 8, 3, nil}}, ""},
		{"another supplier", []small{{"A", "L1-E", 20, 3, nil}, {"B", "L1-E", 20, 3, func(_ *pattern.Project, r *pattern.Release) { r.Supplier = "bay" }}}, ""},
		{"another basis", []small{{"A", "L1-E", 20, 3, nil}, {"B", "L1-E", 20, 3, func(_ *pattern.Project, r *pattern.Release) { r.Basis = pattern.FromDrawings }}}, ""},
		{"a lead of its own", []small{{"A", "L1-E", 20, 3, nil}, {"B", "L1-E", 20, 3, func(_ *pattern.Project, r *pattern.Release) { r.Lead = &leadtime.Days{Least: 3, Likely: 4, Most: 5} }}}, ""},
		{"other material", []small{{"A", "L1-E", 20, 3, nil}, {"B", "L1-E", 20, 3, func(p *pattern.Project, _ *pattern.Release) {
			p.Openings[1].Material[0].Item = pattern.FrameKit
		}}}, ""},
		{"the zone stores one item only", []small{{"A", "L1-E", 20, 3, nil}, {"B", "L1-E", 20, 3, func(p *pattern.Project, _ *pattern.Release) {
			one := 1
			p.Areas[1].MaxStored = &one
		}}}, ""},
		{"three of four fit into the weeks before use", []small{{"A", "L1-E", 20, 1, nil}, {"B", "L1-E", 24, 1, nil}, {"C", "L1-W", 34, 1, nil}, {"D", "L1-W", 44, 1, nil}}, "[A B C]"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			f, plan := smallFirm(c.releases...)
			require.Equal(t, c.want, merged(ordering.Merges(&f, plan, usualMerge)))
		})
	}
	f, plan := smallFirm(small{"A", "L1-E", 20, 3, nil}, small{"B", "L1-E", 22, 3, nil}, small{"C", "L1-E", 23, 3, nil})
	require.Equal(t, "[A B]", merged(ordering.Merges(&f, plan, ordering.MergeRules{StorageDays: 15, TruckItems: 2})), "a truck of two")
	delete(plan, "NC/of A/glaze")
	require.Equal(t, "[B C]", merged(ordering.Merges(&f, plan, usualMerge)), "nobody knows when A is needed")
}

// drawDay draws a day within the narrow bounds three times in four, else within the wide ones.
func drawDay(t *rapid.T, name string, from, to, least, most int) int {
	if rapid.IntRange(0, 3).Draw(t, "which") > 0 {
		return rapid.IntRange(from, to).Draw(t, name)
	}
	return rapid.IntRange(least, most).Draw(t, name)
}

// randomSmall draws releases of up to three openings each, some ordered, some for several levels, some in drops.
func randomSmall(t *rapid.T) (pattern.Firm, map[pattern.TaskKey]ordering.Planned) {
	var releases []small
	for i := range rapid.IntRange(0, 9).Draw(t, "releases") {
		code := fmt.Sprintf("R%d", i)
		releases = append(releases, small{
			code, rapid.SampledFrom([]string{"L1-E", "L1-W", "L2-E", "L1"}).Draw(t, "area"), drawDay(t, "need", 18, 30, -5, 40), drawDay(t, "ready", 0, 8, 0, 25),
			func(p *pattern.Project, r *pattern.Release) {
				r.Supplier = rapid.SampledFrom([]string{"pellam", "pellam", "pellam", "bay"}).Draw(t, "supplier")
				if rapid.IntRange(0, 5).Draw(t, "ordered") == 5 {
					r.Ordered = &day0
				}
				if rapid.IntRange(0, 5).Draw(t, "drops") == 5 {
					r.Drops = []pattern.Drop{{Number: 1}, {Number: 2}}
				}
			},
		})
	}
	f, plan := smallFirm(releases...)
	p := &f.Projects[0]
	for i := range rapid.IntRange(0, 8).Draw(t, "more") {
		if len(releases) == 0 {
			break
		}
		mark := fmt.Sprintf("more %d", i)
		o := pattern.Opening{Mark: mark, Area: rapid.SampledFrom([]string{"L1-E", "L1-W", "L2-E"}).Draw(t, "area"), Takeoff: takeoff.Opening{Type: takeoff.Storefront}}
		code := rapid.SampledFrom(releases).Draw(t, "release").code
		drop := 0
		if len(p.Releases[slices.IndexFunc(p.Releases, func(r pattern.Release) bool { return r.ID == code })].Drops) > 0 {
			drop = rapid.IntRange(1, 2).Draw(t, "drop")
		}
		o.Material = []pattern.Material{{Item: pattern.Glass, Release: code, Drop: drop}}
		p.Openings = append(p.Openings, o)
		plan[pattern.OpeningTask("NC", mark, takeoff.Frame)] = ordering.Planned{Finish: dayAt(drawDay(t, "ready", 0, 8, 0, 25))}
		plan[pattern.OpeningTask("NC", mark, takeoff.Glaze)] = ordering.Planned{LateStart: dayAt(drawDay(t, "need", 18, 30, -5, 40))}
	}
	for i := range p.Areas {
		if rapid.IntRange(0, 9).Draw(t, "stores") == 9 {
			most := rapid.IntRange(1, 6).Draw(t, "most")
			p.Areas[i].MaxStored = &most
		}
	}
	return f, plan
}

// dueOf is when an opening's glass must be ordered by hand: ten days before it is needed, by the clock.
func dueOf(plan map[pattern.TaskKey]ordering.Planned, mark string) time.Time {
	return plan[pattern.OpeningTask("NC", mark, takeoff.Glaze)].LateStart.AddDate(0, 0, -10)
}

// Whatever the releases: no opening is lost or doubled, nothing ordered is touched, nothing becomes overdue or waits for the sake of
// others, what is merged lies no longer and is no more than people said, and once it is done there is nothing to merge or divide.
func TestMerges_KeepWhatTheyPromise(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f, plan := randomSmall(t)
		rules := ordering.MergeRules{StorageDays: rapid.IntRange(1, 30).Draw(t, "storage"), TruckItems: rapid.IntRange(2, 9).Draw(t, "truck")}
		list := ordering.Merges(&f, plan, rules)
		p := &f.Projects[0]
		held := map[string][]string{}
		for _, o := range p.Openings {
			held[o.Material[0].Release] = append(held[o.Material[0].Release], o.Mark)
		}
		seen := map[string]bool{}
		for i := range list {
			m := &list[i]
			require.Greater(t, len(m.Parts), 1)
			require.Equal(t, m.Parts[0].OrderBy, m.OrderBy)
			items := 0
			var first, last time.Time
			for _, part := range m.Parts {
				require.False(t, seen[part.Release], "%s joins one merge", part.Release)
				seen[part.Release] = true
				at := slices.IndexFunc(p.Releases, func(r pattern.Release) bool { return r.ID == part.Release })
				require.Nil(t, p.Releases[at].Ordered)
				var marks []string
				for _, c := range part.Contents {
					marks = append(marks, c.Mark)
					need := plan[pattern.OpeningTask("NC", c.Mark, takeoff.Glaze)].LateStart
					if first.IsZero() || need.Before(first) {
						first = need
					}
				}
				require.ElementsMatch(t, held[part.Release], marks, "all of it and nothing else")
				if last.Before(part.Last) {
					last = part.Last
				}
				items += len(part.Contents)
				require.False(t, m.OrderBy.Before(day0) && !part.OrderBy.Before(day0), "%s would be overdue", part.Release)
				require.False(t, m.Ready.After(part.OrderBy) && m.Ready.After(part.Ready), "%s would wait", part.Release)
			}
			require.LessOrEqual(t, items, rules.TruckItems)
			require.LessOrEqual(t, last.Sub(first), time.Duration(rules.StorageDays)*24*time.Hour)
			for _, part := range m.Parts {
				for _, c := range part.Contents {
					require.False(t, dueOf(plan, c.Mark).Before(m.OrderBy.Add(-24*time.Hour)), "ordered by %s, %s is in time as far as it was", m.OrderBy, c.Mark)
				}
			}
		}
		require.Equal(t, list, ordering.Merges(&f, plan, rules), "the firm is as it was")

		shuffled := f
		shuffled.Projects = []pattern.Project{*p}
		shuffled.Projects[0].Releases = slices.Clone(p.Releases)
		random := rand.New(rand.NewPCG(uint64(len(p.Openings)), 7))
		random.Shuffle(len(p.Releases), func(i, j int) {
			r := shuffled.Projects[0].Releases
			r[i], r[j] = r[j], r[i]
		})
		require.Equal(t, list, ordering.Merges(&shuffled, plan, rules), "the order of rows does not matter")

		into := map[string]string{}
		for i := range list {
			for _, code := range list[i].Codes()[1:] {
				into[code] = list[i].Parts[0].Release
			}
		}
		done := f
		done.Projects = []pattern.Project{*p}
		done.Projects[0].Openings = slices.Clone(p.Openings)
		for i := range done.Projects[0].Openings {
			o := &done.Projects[0].Openings[i]
			if code := into[o.Material[0].Release]; code != "" {
				drop := 0
				for j := range done.Projects[0].Openings {
					if other := p.Openings[j].Material[0]; other.Release == code {
						drop = other.Drop
					}
				}
				o.Material = []pattern.Material{{Item: pattern.Glass, Release: code, Drop: drop}}
			}
		}
		require.Empty(t, ordering.Merges(&done, plan, rules))
		for _, s := range ordering.Suggest(&done, plan, rules.StorageDays) {
			if slices.ContainsFunc(list, func(m ordering.Merge) bool { return m.Parts[0].Release == s.Release }) {
				require.True(t, s.Same, "%s would be divided again", s.Release)
			}
		}
	})
}

// Splitting loses and doubles nothing either, and what a release is said to be too late for is in time once it is split.
func TestSuggest_SplitsLoseNothingAndHelpWhatTheyName(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f, plan := randomSmall(t)
		for _, s := range ordering.Suggest(&f, plan, 15) {
			var marks, want []string
			ready := map[string]time.Time{}
			for _, order := range s.Orders {
				for _, d := range order.Drops {
					for _, parcel := range d.Parcels {
						for _, c := range parcel.Contents {
							marks, ready[c.Mark] = append(marks, c.Mark), order.Ready
						}
					}
				}
			}
			for _, o := range f.Projects[0].Openings {
				if o.Material[0].Release == s.Release {
					want = append(want, o.Mark)
				}
			}
			require.ElementsMatch(t, want, marks)
			require.False(t, len(s.Behind) > 0 && len(s.Orders) == 1)
			for _, parcel := range s.Behind {
				for _, c := range parcel.Contents {
					own := plan[pattern.OpeningTask("NC", c.Mark, takeoff.Frame)].Finish
					require.False(t, ready[c.Mark].After(dueOf(plan, c.Mark)) && ready[c.Mark].After(parcel.Ready), "%s does not wait for others past its day", c.Mark)
					require.False(t, own.After(parcel.Ready))
				}
			}
		}
	})
}
