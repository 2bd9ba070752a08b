package web

import (
	"bytes"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

// routes are all addresses that a page may link or send to; {} stands for one part.
var routes = map[string][]string{
	"get": {
		"/", "/tomorrow", "/report", "/openings", "/openings/{}", "/openings/{}/sooner", "/openings/{}/edit", "/crews", "/plans/issue", "/dates", "/nights", "/nights/{}", "/rates", "/rates/edit", "/rates/factor", "/rates/table.csv", "/rates/table.xlsx", "/settings", "/patterns", "/patterns/edit", "/import",
		"/import/blank/{}", "/projects", "/dates/calibration",
		"/dates/{}/recovery", "/scenarios/{}", "/recovery/prices", "/dates/assumptions", "/cost",
		"/material", "/material/releases/{}", "/material/remakes/{}", "/material/edit", "/material/export/{}", "/material/suggest", "/material/limits",
		"/handovers", "/handovers/{}", "/handovers/export/{}", "/cost/export/{}", "/dates/{}/recovery/export/{}", "/handovers/try/{}", "/report/try/{}", "/handovers/new", "/tolerances", "/photos/{}", "/photos/{}/small",
		"/delays", "/delays/statement.pdf", "/delays/statement.xlsx",
	},
	"post": {
		"/sign-in", "/sign-out", "/demo/sign-in", "/welcome/{}", "/report", "/report/try", "/report/record", "/reports/{}/take-back", "/openings/{}/edit", "/crews/move", "/crews/accept", "/plans/issue", "/rates/decide", "/rates/edit", "/rates/factor", "/settings", "/patterns/edit", "/nights/run",
		"/import/preview", "/import/apply", "/dates/forecast", "/dates/forecast/{}/cancel",
		"/dates/{}/recovery", "/dates/{}/recovery/cancel", "/dates/{}/recovery/try", "/scenarios/{}", "/recovery/prices", "/dates/assumptions",
		"/handovers/{}/try", "/handovers/record", "/handovers/new", "/tolerances", "/material/edit", "/material/suggest", "/material/limits",
		"/delays/terms", "/delays/confirm", "/delays/notice",
	},
}

func TestEveryPage_IsSoundHTML(t *testing.T) {
	t.Parallel()
	pages := loaded(t)
	covered := map[string]bool{}
	for name, page := range samplePages() {
		covered[page.template()] = true
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			document, err := html.Parse(bytes.NewReader(rendered(t, pages, page)))
			require.NoError(t, err)
			d := readDocument(document)
			d.checkNothingInline(t)
			d.checkIDs(t)
			d.checkLandmarks(t)
			d.checkHeadings(t)
			d.checkFields(t)
			d.checkDrawings(t)
			d.checkTargets(t)
			d.checkTables(t)
		})
	}
	for _, page := range pageTemplates() {
		assert.True(t, covered[page.template()], "page %s has no sample", page.template())
	}
}

// document is a parsed page with its elements in document order.
type document struct {
	elements []*html.Node
	byID     map[string]*html.Node
	twice    []string
}

func readDocument(root *html.Node) *document {
	d := &document{byID: map[string]*html.Node{}}
	for node := range root.Descendants() {
		if node.Type != html.ElementNode {
			continue
		}
		d.elements = append(d.elements, node)
		if id := attribute(node, "id"); id != "" {
			if d.byID[id] != nil {
				d.twice = append(d.twice, id)
			}
			d.byID[id] = node
		}
	}
	return d
}

func attribute(node *html.Node, name string) string {
	for _, a := range node.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func text(node *html.Node) string {
	var b strings.Builder
	for n := range node.Descendants() {
		if n.Type == html.TextNode {
			b.WriteString(n.Data)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func (d *document) all(tags ...string) []*html.Node {
	var found []*html.Node
	for _, node := range d.elements {
		for _, tag := range tags {
			if node.Data == tag {
				found = append(found, node)
			}
		}
	}
	return found
}

func (d *document) count(tag string) int { return len(d.all(tag)) }

func within(node *html.Node, tag string) bool {
	for parent := node.Parent; parent != nil; parent = parent.Parent {
		if parent.Data == tag {
			return true
		}
	}
	return false
}

// checkNothingInline holds what the content security policy default-src 'self' refuses.
func (d *document) checkNothingInline(t *testing.T) {
	t.Helper()
	assert.Empty(t, d.all("style"))
	for _, script := range d.all("script") {
		assert.True(t, strings.HasPrefix(attribute(script, "src"), assetRoot), "a script without an address of ours")
	}
	for _, node := range d.elements {
		for _, a := range node.Attr {
			assert.NotEqual(t, "style", a.Key, "%s has a style", node.Data)
			assert.False(t, strings.HasPrefix(a.Key, "on"), "%s has %s", node.Data, a.Key)
			assert.NotContains(t, strings.ToLower(a.Val), "javascript:")
			assert.NotContains(t, a.Val, "ZgotmplZ", "%s of %s was refused by the template", a.Key, node.Data)
		}
	}
}

func (d *document) checkIDs(t *testing.T) {
	t.Helper()
	assert.Empty(t, d.twice, "ids that stand twice")
	for _, node := range d.elements {
		for _, name := range []string{"aria-describedby", "aria-labelledby", "for"} {
			for _, id := range strings.Fields(attribute(node, name)) {
				assert.Contains(t, d.byID, id, "%s of %s leads nowhere", name, node.Data)
			}
		}
	}
}

func (d *document) checkLandmarks(t *testing.T) {
	t.Helper()
	assert.Equal(t, "en", attribute(d.all("html")[0], "lang"))
	assert.NotEmpty(t, text(d.all("title")[0]))
	assert.True(t, within(d.all("title")[0], "head"))
	assert.Equal(t, 1, d.count("main"))
	assert.Equal(t, 1, d.count("footer"))
	first := d.all("a")[0]
	assert.Equal(t, "#main", attribute(first, "href"), "the first link skips to the content")
	for _, nav := range d.all("nav") {
		assert.NotEmpty(t, attribute(nav, "aria-label"), "a navigation without a name")
	}
}

func (d *document) checkHeadings(t *testing.T) {
	t.Helper()
	assert.Equal(t, 1, d.count("h1"))
	level := 1
	for _, heading := range d.all("h1", "h2", "h3", "h4", "h5", "h6") {
		next := int(heading.Data[1] - '0')
		assert.LessOrEqual(t, next, level+1, "heading %q skips a level", text(heading))
		assert.NotEmpty(t, text(heading))
		level = next
	}
}

// checkFields wants a visible label for every field that people fill.
func (d *document) checkFields(t *testing.T) {
	t.Helper()
	labelled := map[string]bool{}
	for _, label := range d.all("label") {
		assert.NotEmpty(t, text(label))
		labelled[attribute(label, "for")] = true
	}
	for _, field := range d.all("input", "select", "textarea") {
		if attribute(field, "type") == "hidden" {
			continue
		}
		assert.True(t, labelled[attribute(field, "id")], "%s %s has no label", field.Data, attribute(field, "name"))
		assert.NotEmpty(t, attribute(field, "name"))
	}
	for _, form := range d.all("form") {
		assertRoute(t, strings.ToLower(attribute(form, "method")), attribute(form, "action"))
	}
	for _, fieldset := range d.all("fieldset") {
		require.NotNil(t, fieldset.FirstChild)
		assert.Equal(t, "legend", fieldset.FirstChild.Data)
	}
}

// checkDrawings wants every drawing to be named or hidden. Pictures are photos alone, of known size, named by their link.
func (d *document) checkDrawings(t *testing.T) {
	t.Helper()
	for _, photo := range d.all("img") {
		assertRoute(t, "get", attribute(photo, "src"))
		assert.True(t, within(photo, "a"))
		assert.NotEmpty(t, attribute(photo, "width"))
		assert.NotEmpty(t, attribute(photo, "height"))
	}
	for _, svg := range d.all("svg") {
		if within(svg, "svg") || attribute(svg, "aria-hidden") == "true" {
			continue
		}
		assert.Equal(t, "img", attribute(svg, "role"))
		if assert.NotNil(t, svg.FirstChild) && assert.Equal(t, "title", svg.FirstChild.Data) {
			assert.NotEmpty(t, text(svg.FirstChild))
		}
	}
}

// checkTargets follows every link as far as this package can: to an id on the page, an asset or a route.
func (d *document) checkTargets(t *testing.T) {
	t.Helper()
	for _, link := range d.all("a", "link") {
		address := attribute(link, "href")
		if link.Data == "a" {
			assert.NotEmpty(t, text(link), "a link without words to %s", address)
		}
		switch {
		case strings.HasPrefix(address, assetRoot):
		case strings.HasPrefix(address, "#"):
			assert.Contains(t, d.byID, address[1:])
		default:
			assertRoute(t, "get", address)
		}
	}
	for _, button := range d.all("button", "summary") {
		assert.NotEmpty(t, text(button))
	}
}

func (d *document) checkTables(t *testing.T) {
	t.Helper()
	for _, table := range d.all("table") {
		assert.Equal(t, "caption", firstElement(table).Data)
	}
	for _, head := range d.all("th") {
		assert.NotEmpty(t, attribute(head, "scope"))
	}
	for _, list := range d.all("ul", "ol") {
		for child := range list.ChildNodes() {
			if child.Type == html.ElementNode {
				assert.Equal(t, "li", child.Data)
			}
		}
	}
}

func firstElement(node *html.Node) *html.Node {
	for child := range node.ChildNodes() {
		if child.Type == html.ElementNode {
			return child
		}
	}
	return &html.Node{}
}

func assertRoute(t *testing.T, method, address string) {
	t.Helper()
	u, err := url.Parse(address)
	if !assert.NoError(t, err) {
		return
	}
	assert.Empty(t, u.Host)
	for _, route := range routes[method] {
		pattern := "^" + strings.ReplaceAll(regexp.QuoteMeta(route), `\{\}`, "[^/]+") + "$"
		if regexp.MustCompile(pattern).MatchString(u.Path) {
			return
		}
	}
	assert.Fail(t, "no such route", "%s %s", method, address)
}

func TestPages_EscapeWhatPeopleType(t *testing.T) {
	t.Parallel()
	pages := loaded(t)
	const nasty = `"><script>alert(1)</script>`
	page := typicalOpening()
	page.Mark, page.Room, page.Elevation.Mark, page.Elevation.Hold = nasty, nasty, nasty, nasty
	dates := datesPage(2)
	dates.Rows[0].Name = nasty
	for _, document := range []string{string(rendered(t, pages, page)), string(rendered(t, pages, dates))} {
		assert.NotContains(t, document, "<script>alert")
		assert.Contains(t, document, "&lt;script&gt;")
	}
}

func TestOpenings_TwoThousandStayLight(t *testing.T) {
	t.Parallel()
	size := len(rendered(t, loaded(t), openingsPage(20, 100)))
	// About 700 bytes a drawing with its link and title; phones on site get it over a thin line, packed to a tenth.
	assert.Less(t, size, 2_000_000)
}
