package server

import (
	"encoding/csv"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"golang.org/x/net/html"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
	"jambwright/server/buying"
	"jambwright/web"
)

// theOne is the row of a list that is asked for.
func theOne[T any](t *testing.T, list []T, err error, what string, is func(*T) bool) *T {
	t.Helper()
	require.NoError(t, err)
	for i := range list {
		if is(&list[i]) {
			return &list[i]
		}
	}
	t.Fatalf("the demo has no %s", what)
	return nil
}

// releaseOf finds a release of the demo by its code.
func (s *site) releaseOf(code string) *models.Release {
	s.t.Helper()
	project, err := models.FirstProject(s.t.Context(), s.db)
	require.NoError(s.t, err)
	list, err := models.Releases(s.t.Context(), s.db, project.ID)
	return theOne(s.t, list, err, "release "+code, func(r *models.Release) bool { return r.Code == code })
}

// hiddenForm are the fields of the page's form for a change.
func hiddenForm(p *page) url.Values {
	form := url.Values{}
	p.each(func(n *html.Node) {
		if name := attribute(n, "name"); name != "" && n.Data == "input" && attribute(n, "type") != "checkbox" && name != "viewport" {
			form.Set(name, attribute(n, "value"))
		}
	})
	return form
}

// headings are the texts of all elements of a kind within the page's main part.
func headings(p *page, kind string) (list []string) {
	p.each(func(n *html.Node) {
		if n.Data == kind {
			list = append(list, (&page{root: n}).text())
		}
	})
	return list
}

func TestMaterial_ListsWhatToOrderByUrgency(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.as(web.RoleProject).get("/material")
	require.Equal(t, http.StatusOK, p.status)
	require.Equal(t, []string{"To order", "On its way: promised against needed", "Remakes", "Deliveries by day", "Releases"}, headings(p, "h2"))
	board, err := buying.Read(t.Context(), s.db)
	require.NoError(t, err)
	toOrder := 0
	for i := range board.Lines {
		l := &board.Lines[i]
		if l.Ordered == nil {
			toOrder++
		}
		if l.Ordered == nil && l.OrderBy != nil && !l.Remake {
			// The network's backward pass over the supplier's and the buyer's calendars says the same, by other code.
			order := board.Spans[pattern.OrderTask(l.Project, l.Release)]
			assert.Equal(t, order.LateFinish.UTC(), l.OrderBy.Likely, "%s", l.Release)
			assert.False(t, l.OrderBy.Least.Before(l.OrderBy.Likely) || l.OrderBy.Likely.Before(l.OrderBy.Most), "%s", l.Release)
		}
	}
	var words []string
	p.each(func(n *html.Node) {
		if attribute(n, "class") == "buy-word" {
			words = append(words, (&page{root: n}).text())
		}
	})
	require.Len(t, words, toOrder, "a line each")
	require.Equal(t, "late", words[0], "the remade pane of the demo's bad day")
	rank := map[string]int{"late": 0, "this week": 1, "later": 2, "no date": 3}
	for i := 1; i < len(words); i++ {
		require.LessOrEqual(t, rank[words[i-1]], rank[words[i]], "%v", words)
	}
	require.Regexp(t, regexp.MustCompile(`Order-by date passed \d+ working days? ago: earliest delivery \w{3} \d+ \w{3}, needed by`), p.text())
}

func TestMaterial_FiltersStayInTheAddress(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	all := b.get("/material")
	glass := b.get("/material?item=glass&show=coming")
	require.Contains(t, glass.text(), "L2-glass")
	require.NotContains(t, strings.Join(headings(glass, "h3"), " "), "L3-frames")
	require.Len(t, headings(glass, "h3"), 0, "nothing that is to be ordered")
	require.Contains(t, all.text(), "L3-frames")
	level := b.get("/material?area=L2&show=coming")
	require.Contains(t, level.text(), "L2-frames", "an area holds for those inside it")
	require.Contains(t, b.get("/material?supplier=nobody").text(), "Nothing passes this filter")
}

func TestMaterial_PromiseIsShownBeforeItIsWrittenDown(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	rel := s.releaseOf("L3-leaves+hardware")
	href := "/material/releases/" + itoa(rel.ID)
	require.Contains(t, b.get(href).text(), "Not promised; by the likely lead it comes")
	form := hiddenForm(b.get("/material/edit?release=" + itoa(rel.ID) + "&drop=1&do=promise"))
	form.Set("promised", "2027-02-01")
	form.Set("cause", "short of crews")
	check := b.post("/material/edit", form)
	require.Equal(t, http.StatusOK, check.status, check.text())
	require.Contains(t, check.text(), "Nothing is changed yet")
	require.Regexp(t, `Promised for Mon 1 Feb 2027, needed by [^:]+: [\d.]+ working days late`, check.text())
	require.Contains(t, check.text(), "GC dates")
	stored, err := models.ReleaseByID(t.Context(), s.db, rel.ID)
	require.NoError(t, err)
	require.Nil(t, stored.Drops[0].Promised, "a look saves nothing")
	require.Equal(t, rel.Version, stored.Version)

	done := b.post("/material/edit", hiddenForm(check))
	require.Equal(t, href, done.path)
	require.Contains(t, done.text(), "Written down")
	require.Contains(t, done.text(), "promised Mon 1 Feb; short of crews")
	require.Regexp(t, `Promised for Mon 1 Feb 2027, needed by [^:]+: [\d.]+ working days late`, done.text())
	require.Contains(t, b.get("/material?show=late").text(), "L3-leaves+hardware")

	again := b.post("/material/edit", hiddenForm(check))
	require.Equal(t, http.StatusUnprocessableEntity, again.status, "what somebody else changed meanwhile is not written over")
	require.Contains(t, again.text(), "Somebody changed L3-leaves+hardware meanwhile")
}

func TestMaterial_TellsEveryFaultOfAForm(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	rel := s.releaseOf("L3-frames")
	for _, c := range []struct {
		name   string
		form   url.Values
		faults []string
	}{
		{"future order", url.Values{"do": {"order"}, "date": {"2027-01-01"}}, []string{"lies in the future"}},
		{"no promise", url.Values{"do": {"promise"}}, []string{"say for which day it is promised"}},
		{"not a date", url.Values{"do": {"promise"}, "promised": {"soon"}}, []string{"Write the date as 2026-11-25."}},
		{"a drop that is not there", url.Values{"do": {"promise"}, "promised": {"2026-12-11"}, "drop": {"7"}}, []string{"has no drop 7"}},
		{"terms", url.Values{"do": {"terms"}, "basis": {"guess"}, "least": {"9"}, "likely": {"3"}, "most": {"5"}}, []string{"choose who makes it", "choose what it is ordered from", "least, likely and most in this order"}},
		{"nothing to move", url.Values{"do": {"move"}, "target": {"new"}}, []string{"choose at least one item"}},
		{"a part that is nothing", url.Values{"do": {"receive_part"}, "date": {"2026-11-17"}}, []string{"tick what came"}},
		{"nothing to take back", url.Values{"do": {"take_back"}}, []string{"No date of L3-frames has been entered"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.form.Set("release", itoa(rel.ID))
			p := b.post("/material/edit", c.form)
			require.Equal(t, http.StatusUnprocessableEntity, p.status, p.text())
			for _, fault := range c.faults {
				require.Contains(t, p.text(), fault)
			}
		})
	}
	stored := s.releaseOf("L3-frames")
	require.Equal(t, rel.Version, stored.Version)
}

func TestMaterial_IsForManagersOfTheProject(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	rel := s.releaseOf("L3-frames")
	require.Equal(t, http.StatusForbidden, s.as(web.RoleForeman).get("/material").status)
	require.Equal(t, http.StatusForbidden, s.as(web.RoleForeman).post("/material/edit", url.Values{"release": {itoa(rel.ID)}, "do": {"order"}}).status)
	require.Equal(t, http.StatusNotFound, s.as(web.RoleProject).get("/material/releases/99999").status)
}

// Half the frames come: openings whose frame is there may go on, the others wait for the rest.
func TestMaterial_PartOfADropComes(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	rel := s.releaseOf("L2-frames")
	editPage := b.get("/material/edit?release=" + itoa(rel.ID) + "&drop=1&do=receive_part")
	items := values(editPage, "item")
	require.Greater(t, len(items), 10)
	form := hiddenForm(editPage)
	form["item"] = items[:9]
	form.Set("promised", "2026-12-04")
	check := b.post("/material/edit", form)
	require.Equal(t, http.StatusOK, check.status, check.text())
	require.Contains(t, check.text(), "9 items came")
	form.Set("confirm", "yes")
	done := b.post("/material/edit", form)
	require.Contains(t, done.text(), "the rest of drop 1")
	require.Contains(t, done.text(), "Promised for Fri 4 Dec")
	after, err := models.ReleaseByID(t.Context(), s.db, rel.ID)
	require.NoError(t, err)
	require.Len(t, after.Drops, 2)
	require.NotNil(t, after.Drops[0].ReceivedAt)
	require.Equal(t, 1, *after.Drops[1].RestOf)
	held, err := models.ReleaseItems(t.Context(), s.db, rel.ID)
	require.NoError(t, err)
	received := 0
	for i := range held {
		if held[i].State == models.Received {
			received++
		}
	}
	require.Equal(t, 9, received)
}

func itoa(id int64) string { return strconv.FormatInt(id, 10) }

// rowsIn reads a list back as a spreadsheet program would.
func rowsIn(t *testing.T, b *browser, path string) (rows [][]string) {
	t.Helper()
	p := b.get(path)
	require.Equal(t, http.StatusOK, p.status)
	if strings.Contains(path, ".csv") {
		r := csv.NewReader(strings.NewReader(strings.TrimPrefix(p.body, "\ufeff")))
		r.FieldsPerRecord = -1
		var err error
		rows, err = r.ReadAll()
		require.NoError(t, err)
	} else {
		book, err := excelize.OpenReader(strings.NewReader(p.body))
		require.NoError(t, err)
		rows, err = book.GetRows(book.GetSheetName(0))
		require.NoError(t, err)
		require.NoError(t, book.Close())
	}
	return rows
}

// belowHeadings are the rows of a list whose headings stand in the third one, each cell by its heading.
func belowHeadings(rows [][]string) (list []map[string]string) {
	for _, row := range rows[3:] {
		line := map[string]string{}
		for i, cell := range row {
			line[rows[2][i]] = cell
		}
		list = append(list, line)
	}
	return list
}

// listOf reads an order list back, each row by its heading.
func listOf(t *testing.T, b *browser, path string) []map[string]string {
	t.Helper()
	rows := rowsIn(t, b, path)
	require.Contains(t, rows[1][0], "verify against approved shop drawings")
	require.Equal(t, "Release", rows[2][0])
	return belowHeadings(rows)
}

// The order list of a release of glass holds every pane of its openings in the size, glass and weight that the takeoff gives.
func TestOrderList_IsTheTakeoffPieceByPiece(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	rel := s.releaseOf("L3-glass")
	b := s.as(web.RoleProject)
	query := "?project=" + itoa(rel.ProjectID) + "&release=" + itoa(rel.ID)
	list := listOf(t, b, "/material/export/order-list.xlsx"+query)
	require.Equal(t, list, listOf(t, b, "/material/export/order-list.csv"+query), "both files say the same")

	openings, err := models.OpeningsOf(t.Context(), s.db, rel.ProjectID)
	require.NoError(t, err)
	want, got := map[string]int{}, map[string]int{}
	f := web.Format{Units: web.Imperial}
	for i := range openings {
		o := &openings[i]
		for _, item := range o.Items {
			if item.ReleaseID == nil || *item.ReleaseID != rel.ID || item.Kind != pattern.Glass {
				continue
			}
			taken, err := takeoff.Of(o.Takeoff(), takeoff.DefaultRules())
			require.NoError(t, err)
			for _, pane := range taken.Panes {
				want[strings.Join([]string{o.Mark, f.Length(pane.Width), f.Length(pane.Height), f.Weight(float64(pane.Grams) / 1000)}, "|")]++
			}
		}
	}
	require.NotEmpty(t, want)
	for _, row := range list {
		n, err := strconv.Atoi(row["Quantity"])
		require.NoError(t, err)
		got[strings.Join([]string{row["Mark"], row["Width or length"], row["Height"], row["Weight each"]}, "|")] += n
		require.Equal(t, "verify against approved shop drawings", row["Check"], "every line says so")
		require.Equal(t, "L3-glass", row["Release"])
		require.Equal(t, "to order", row["State"])
		require.NotEmpty(t, row["Glass"])
		require.Regexp(t, `^\d{4}-\d{2}-\d{2}$`, row["Order by"])
	}
	require.Equal(t, want, got)
}

func TestOrderList_CannotStartAFormula(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	rel := s.releaseOf("L3-glass")
	require.NoError(t, s.db.Write(t.Context(), func(tx *models.Tx) error {
		rel.Name = `=HYPERLINK("http://example.invalid","glass")`
		return models.UpdateRelease(t.Context(), tx, rel, "", models.Actor{Name: "test"})
	}))
	b := s.as(web.RoleProject)
	p := b.get("/material/export/order-list.csv?project=" + itoa(rel.ProjectID))
	require.Equal(t, http.StatusOK, p.status)
	for _, line := range strings.Split(p.body, "\r\n") {
		require.False(t, strings.HasPrefix(line, "=") || strings.HasPrefix(line, `"=`), line)
	}
	require.Contains(t, p.body, `"'=HYPERLINK`)
	require.Equal(t, http.StatusNotFound, b.get("/material/export/other.csv?project="+itoa(rel.ProjectID)).status)
	require.Equal(t, http.StatusForbidden, s.as(web.RoleForeman).get("/material/export/order-list.csv?project="+itoa(rel.ProjectID)).status)
}

// An opening's page leads to the release of its material, the release's page back to the opening.
func TestMaterial_OpeningAndReleaseKnowEachOther(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	rel := s.releaseOf("L3-glass")
	b := s.as(web.RoleProject)
	href := "/material/releases/" + itoa(rel.ID)
	opening := ""
	for _, link := range b.get(href).links() {
		if strings.HasPrefix(link, "/openings/") {
			opening = link
		}
	}
	require.NotEmpty(t, opening)
	p := b.get(opening)
	require.Contains(t, p.links(), href)
	require.NotContains(t, s.as(web.RoleForeman).get(opening).links(), href, "a foreman reads the name without a page that is not his")
}

// A suggestion that is accepted leaves nothing to suggest, keeps every item, and is refused once it is another one.
func TestSuggest_GroupsWhatIsNeededApart(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	rel := s.releaseOf("L3-frames")
	address := "/material/suggest?days=3&project=" + itoa(rel.ProjectID)
	p := b.get(address)
	require.Equal(t, http.StatusOK, p.status)
	require.Contains(t, p.text(), "needs it first, by")
	held, err := models.ReleaseItems(t.Context(), s.db, rel.ID)
	require.NoError(t, err)
	var form url.Values
	p.each(func(n *html.Node) {
		if n.Data == "form" && attribute(n, "method") == "post" {
			if f := hiddenForm(&page{root: n}); f.Get("release") == itoa(rel.ID) {
				form = f
			}
		}
	})
	require.NotNil(t, form, "with three days of storage the level comes in several drops: %s", p.text())

	stale := url.Values{"project": form["project"], "days": form["days"], "items": form["items"], "release": form["release"], "seen": {"something else"}}
	require.Equal(t, http.StatusConflict, b.post("/material/suggest", stale).status)

	before := planID(t, s.db)
	preview := b.post("/material/suggest", form)
	require.Equal(t, http.StatusOK, preview.status, preview.text())
	require.Contains(t, preview.text(), "What grouping L3-frames by need does")
	require.Equal(t, before, planID(t, s.db), "a preview saves nothing")
	form.Set("do", "save")
	done := b.post("/material/suggest", form)
	require.Contains(t, done.text(), "The plan is a draft until you issue it.")
	require.Greater(t, planID(t, s.db), before)
	board, err := buying.Read(t.Context(), s.db)
	require.NoError(t, err)
	items := 0
	for i := range board.Lines {
		if code := board.Lines[i].Release; code == rel.Code || strings.HasPrefix(code, rel.Code+"-") {
			items += len(board.Lines[i].Contents)
		}
	}
	require.Equal(t, len(held), items, "every item is somewhere")
	for _, g := range board.Suggestions("HB", 3) {
		if g.Release == rel.Code {
			require.True(t, g.Same, "%+v", g.Orders)
		}
	}
	require.Equal(t, http.StatusUnprocessableEntity, b.get("/material/suggest?days=soon&project="+itoa(rel.ProjectID)).status)
}
