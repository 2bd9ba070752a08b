package web

import (
	"html/template"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAssets_AddressHoldsTheContent(t *testing.T) {
	t.Parallel()
	first, err := loadAssets(fstest.MapFS{"assets/a.css": {Data: []byte("a{}")}})
	require.NoError(t, err)
	second, err := loadAssets(fstest.MapFS{"assets/a.css": {Data: []byte("b{}")}})
	require.NoError(t, err)
	one, err := first.address("a.css")
	require.NoError(t, err)
	two, err := second.address("a.css")
	require.NoError(t, err)
	assert.NotEqual(t, one, two)
	assert.Regexp(t, `^/assets/a\.[0-9a-f]{12}\.css$`, one)
	_, err = first.address("b.css")
	assert.ErrorContains(t, err, "b.css")
}

func TestAssets_AreServedForEverAndNothingElseIs(t *testing.T) {
	t.Parallel()
	pages := loaded(t)
	for name, address := range pages.assets.addressOf {
		recorder := httptest.NewRecorder()
		pages.Assets().ServeHTTP(recorder, httptest.NewRequest(http.MethodGet, address, nil))
		assert.Equal(t, http.StatusOK, recorder.Code, name)
		assert.Contains(t, recorder.Header().Get("Cache-Control"), "immutable")
		assert.Equal(t, "nosniff", recorder.Header().Get("X-Content-Type-Options"))
		assert.NotEmpty(t, recorder.Header().Get("Content-Type"))
		assert.NotEmpty(t, recorder.Body.String())
	}
	for _, address := range []string{"/assets/style.css", "/assets/", "/assets/../render.go", "/assets/style.000000000000.css"} {
		recorder := httptest.NewRecorder()
		request := httptest.NewRequest(http.MethodGet, "/", nil)
		request.URL.Path = address
		pages.Assets().ServeHTTP(recorder, request)
		assert.Equal(t, http.StatusNotFound, recorder.Code, address)
	}
}

// brokenPage has a template that writes a little before it fails.
type brokenPage struct{}

func (brokenPage) template() string { return "broken" }

func TestRender_WritesNothingOnAFault(t *testing.T) {
	t.Parallel()
	pages := loaded(t)
	pages.byName["broken"] = template.Must(template.New("broken").Parse(`begun {{index "short" 99}}`))
	var b strings.Builder
	require.ErrorContains(t, pages.Render(&b, brokenPage{}), "broken")
	assert.Empty(t, b.String())
}
