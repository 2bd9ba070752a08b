package server

import (
	"net/http"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// The buyer's path: what is due, a promise of the supplier, what it does, the margin that has changed, the list to send.
func TestBrowser_BuyerRecordsAPromise(t *testing.T) {
	t.Parallel()
	for name, w := range map[string]window{"phone": phone, "desk": desk} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := newSite(t)
			b := newTab(t, s.url, w)
			b.signIn("Project")
			b.follow("a", "Material")
			require.Contains(t, b.words("h1"), "Material")
			require.Contains(t, b.words(".buy-late"), "Order-by date passed")
			b.seen("material")

			b.followFirst(`a[href*="do=promise"][href*="release="]`)
			b.seen("material-promise")
			before := b.words("#main .buy-now")
			b.answered(http.StatusUnprocessableEntity, chromedp.Click(element("button", "Show what it does")))
			require.Contains(t, b.words("#promised-fault"), "which day it is promised")
			b.choose("#promised", "2027-01-29")
			b.choose("#cause", "furnace down")
			b.follow("button", "Show what it does")
			require.Contains(t, b.words("h1 ~ .sum"), "Nothing is changed yet")
			b.seen("material-check")
			b.follow("button", "Write it down")
			require.Contains(t, b.notice(), "Written down")
			after := b.words(".drop .why")
			require.Contains(t, after, "Promised for Fri 29 Jan 2027")
			require.Contains(t, after, "late")
			require.NotEqual(t, before, after)
			require.Contains(t, b.words("#history ~ .reports"), "furnace down")
			b.seen("release")

			file := look[string](b, `fetch(document.querySelector('a[href*="order-list.csv"]').href).then((r) => r.text())`)
			require.Contains(t, file, "verify against approved shop drawings")
			b.open("/material?show=late")
			require.Contains(t, b.words(".level-late"), "Fri 29 Jan 2027")
			b.seen("material-late")
		})
	}
}

func TestBrowser_MaterialPagesAreUsable(t *testing.T) {
	t.Parallel()
	axe := axeRules(t)
	s := newSite(t)
	b := newTab(t, s.url, desk)
	b.signIn("Project")
	rel := s.releaseOf("L2-frames")
	for name, path := range map[string]string{
		"material": "/material", "release": "/material/releases/" + itoa(rel.ID), "material-part": "/material/edit?do=receive_part&drop=1&release=" + itoa(rel.ID),
		"material-terms": "/material/edit?do=terms&release=" + itoa(rel.ID), "material-move": "/material/edit?do=move&release=" + itoa(rel.ID),
	} {
		b.open(path)
		b.usable(axe, name)
	}
	b.open("/material/limits?project=" + itoa(rel.ProjectID))
	b.usable(axe, "limits")
	b.choose("#dock", "2")
	b.follow("button", "Show what it does")
	require.Contains(t, b.words(".notice"), "Nothing is changed yet")
	b.usable(axe, "limits-check")
}
