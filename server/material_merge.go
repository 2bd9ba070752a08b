package server

import (
	"cmp"
	"fmt"
	"net/url"
	"strconv"
	"strings"

	"jambwright/models"
	"jambwright/scheduler/ordering"
	"jambwright/server/buying"
	"jambwright/web"
)

// suggestForm is what the buttons beside a suggestion send.
type suggestForm struct {
	Days     int     `form:"days"`
	Items    int     `form:"items"`
	Releases []int64 `form:"release"` // one to group, several to make one of
	Seen     string  `form:"seen"`    // names what was suggested
	Do       string  `form:"do"`      // "": show what it does; save: do it
}

// mostMerged bounds how many releases a form can name.
const mostMerged = 200

func (f *suggestForm) isWhole() bool {
	return f.Days >= 1 && f.Days <= longestStorage && f.Items >= 1 && f.Items <= largestTruck && len(f.Releases) > 0 && len(f.Releases) <= mostMerged
}

func (f *suggestForm) rules() ordering.MergeRules {
	return ordering.MergeRules{StorageDays: f.Days, TruckItems: f.Items}
}

// page is the preview of what the form asks for.
func (f *suggestForm) page(releases []*models.Release) web.RevisionPage {
	ids, names := make([]string, len(releases)), make([]string, len(releases))
	for i, rel := range releases {
		ids[i], names[i] = strconv.FormatInt(rel.ID, 10), cmp.Or(rel.Name, rel.Code)
	}
	project := strconv.FormatInt(releases[0].ProjectID, 10)
	days, items := strconv.Itoa(f.Days), strconv.Itoa(f.Items)
	page := web.RevisionPage{
		Action: "/material/suggest", Back: "/material/suggest?project=" + project + "&days=" + days + "&items=" + items,
		Title: "What grouping " + names[0] + " by need does", Accept: "Group " + names[0] + " so",
		Lead: []string{"Nothing is ordered by it. Items can be moved back until they are ordered."},
		Fields: fields(url.Values{
			"project": {project}, "days": {days}, "items": {items}, "release": ids, "seen": {f.Seen},
		}),
	}
	if len(names) > 1 {
		page.Title = "What making one order of " + strconv.Itoa(len(names)) + " releases does"
		page.Accept = "Make one order of " + strings.Join(names, ", ")
		page.Lead = append([]string{fmt.Sprintf("What %s hold comes with %s. They stay behind empty, with their history.", togetherWords(names[1:]), names[0])}, page.Lead...)
		if len(names) == 2 {
			page.Lead[0] = fmt.Sprintf("What %s holds comes with %s. It stays behind empty, with its history.", names[1], names[0])
		}
	}
	return page
}

// togetherWords joins names: "A", "A and B", "A, B and C".
func togetherWords(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// suggested counts the orders that could be made of several releases, and the releases that are too late for some of what they hold.
func (v *materialView) suggested() (merges, splits int) {
	usual := ordering.MergeRules{StorageDays: ordering.DefaultStorageDays, TruckItems: ordering.DefaultTruckItems}
	for _, g := range v.board.Suggestions(v.project.Code, usual.StorageDays) {
		if len(g.Behind) > 0 {
			splits++
		}
	}
	return len(v.board.Merges(v.project.Code, usual)), splits
}

// merging is a merge as the page of suggestions shows it.
func (v *materialView) merging(m *ordering.Merge) web.Merging {
	out := web.Merging{Seen: buying.MergeFingerprint(m), OrderBy: m.OrderBy, Late: m.Ready.After(m.OrderBy)}
	var names []string
	for i := range m.Parts {
		part := &m.Parts[i]
		line := web.MergedRelease{Name: part.Release, What: whatWords(part.Contents), Where: v.where(part.Contents), Need: part.Need, OrderBy: part.OrderBy}
		if rel := v.byCode[part.Release]; rel != nil {
			line.ID = strconv.FormatInt(rel.ID, 10)
			line.Name, line.Href = cmp.Or(rel.Name, rel.Code), "/material/releases/"+line.ID
		}
		out.Releases = append(out.Releases, line)
		names = append(names, line.Name)
	}
	out.Title = togetherWords(names)
	f := v.format
	why := fmt.Sprintf("One order of %s and one truck to %s.", m.Supplier, v.names.d.Areas[v.project.Code+"/"+m.Level])
	if out.Late {
		why += fmt.Sprintf(" By the likely lead of %d working days it had to be ordered by %s; all of it can be ordered by %s, as each of them alone.", m.Days.Likely, f.FinishDay(m.OrderBy), f.FinishDay(m.Ready))
	} else {
		why += fmt.Sprintf(" By the likely lead of %d working days it is due to be ordered by %s, and all of it can be ordered by %s.", m.Days.Likely, f.FinishDay(m.OrderBy), f.FinishDay(m.Ready))
	}
	if days := int(m.StoredDays + 0.5); days > 0 {
		why += fmt.Sprintf(" What is used last lies %s on site.", f.Of(days, "working day", "working days"))
	}
	out.Why = why
	return out
}
