package web

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func loaded(t *testing.T) *Pages {
	t.Helper()
	pages, err := Load()
	require.NoError(t, err)
	return pages
}

func rendered(t *testing.T, pages *Pages, page Page) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, pages.Render(&b, page))
	return b.Bytes()
}

// TestGallery_IsWholeWithoutAServer writes every sample page to the folder named by JAMBWRIGHT_GALLERY, to be looked at in
// a browser, or to a folder that is thrown away.
func TestGallery_IsWholeWithoutAServer(t *testing.T) {
	t.Parallel()
	folder := os.Getenv("JAMBWRIGHT_GALLERY")
	if folder == "" {
		folder = t.TempDir()
	}
	pages := loaded(t)
	require.NoError(t, os.MkdirAll(filepath.Join(folder, "assets"), 0o755))
	for address, content := range pages.assets.content {
		require.NoError(t, os.WriteFile(filepath.Join(folder, address), content, 0o644))
	}
	for name, page := range samplePages() {
		document := strings.ReplaceAll(string(rendered(t, pages, page)), `"/assets/`, `"assets/`)
		require.NoError(t, os.WriteFile(filepath.Join(folder, name+".html"), []byte(document), 0o644))
		for _, name := range []string{"style.css", "main.js", "mark.svg"} {
			address, err := pages.assets.address(name)
			require.NoError(t, err)
			require.Contains(t, document, `"`+strings.TrimPrefix(address, "/")+`"`)
		}
	}
}

// A preview stands where what it asks about was begun.
func TestRoomOf_APreviewStandsWhereItWasBegun(t *testing.T) {
	t.Parallel()
	for action, want := range map[string]string{"/material/suggest": "material", "/openings/3/edit": "openings", "/rates/edit": "rates", "/patterns/edit": "rates"} {
		require.Equal(t, want, roomOf("revision", RevisionPage{Action: action}), action)
	}
	require.Equal(t, "cost", roomOf("cost", CostPage{}))
}
