package server

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/web"
)

func TestSooner_AnswersForEveryUnfinishedTaskOfAnOpening(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	opening := b.get("/openings/150")
	require.Equal(t, http.StatusOK, opening.status)
	asked := ""
	for _, link := range opening.links() {
		if u, err := url.Parse(link); err == nil && strings.HasSuffix(u.Path, "/sooner") {
			asked = u.Path
			require.NotEmpty(t, u.Fragment, "each task has an answer of its own")
		}
	}
	require.NotEmpty(t, asked, "the opening asks why not sooner: %s", opening.text())
	p := b.get(asked)
	require.Equal(t, http.StatusOK, p.status, p.text())
	require.Contains(t, p.text(), "By the plan in force")
	starts := regexp.MustCompile(`(Starts|Goes on) \w+ \d+ \w+`).FindAllString(p.text(), -1)
	steps := strings.Count(p.text(), "sooner than planned")
	require.NotEmpty(t, starts)
	require.Positive(t, steps, p.text())
	require.Equal(t, http.StatusNotFound, b.get("/openings/99999/sooner").status)
	require.Equal(t, http.StatusNotFound, b.get("/openings/x/sooner").status)
}
