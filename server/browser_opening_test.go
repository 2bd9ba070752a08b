package server

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
)

// The quantities on an opening's page are those of a pencil. Faces of doors and storefronts are 2 in, bite 5/16 in on each edge, two
// setting blocks a pane, gasket on both faces; common practice all of it.
//
// The pair 103 has a door opening of 72 x 84 in. Its frame is 84 + 2 = 86 high and 72 + 2 x 2 = 76 wide: jambs 2 x 86 = 172 in, 14'-4";
// the head is cut between them, 6'-0"; sealant on two faces of 2 x 86 + 76 = 248, 496 in, 41'-4". Each leaf has a hinge for each
// started 30 in of 84, 3, a closer, a stop and a lock, the second one two bolts for its lock: 2 x 6 + 1 = 13.
//
// The run 107 of 4 lights is 192 x 120 in: (192 - 5 x 2) / 4 = 45 1/2 by 120 - 2 x 2 = 116 of daylight, glass of 46 1/8 x 116 5/8;
// gasket 4 x 2 x (2 x 45 1/2 + 2 x 116) = 2,584 in, 215'-4"; 8 blocks.
func TestBrowser_QuantitiesOfAnOpeningAreThoseOfAPencil(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, w := range []window{desk, phone} {
		b := newTab(t, s.url, w)
		b.signIn("Operations manager")
		for mark, want := range map[string]map[string]string{
			"103": {"jamb": `14'-4"`, "head": `6'-0"`, "perimeter sealant": `41'-4"`, "leaves": "2", "hardware points": "13"},
			"107": {"panes": "4", "gasket": `215'-4"`, "setting blocks": "8"},
		} {
			b.open("/openings/" + itoa(s.openingOf(mark).ID))
			for name, value := range want {
				shown := look[string](b, fmt.Sprintf(
					`[...document.querySelectorAll("section[aria-labelledby=quantities] tbody tr")].find((r) => r.cells[0].textContent === %q)?.cells[1].textContent ?? ""`, name))
				require.Equal(t, value, shown, "%s of %s", name, mark)
			}
			b.seen("opening-" + mark)
		}
		b.open("/openings/" + itoa(s.openingOf("207").ID))
		require.Contains(t, b.words("section[aria-labelledby=sizes]"), "measured after ordering, differs by width 3/16\" more")
		b.seen("opening-measured")
		b.open("/openings/" + itoa(s.openingOf("320").ID) + "/edit")
		b.seen("opening-edit")
		b.open("/rates/factor")
		b.seen("factor")
		b.open("/rates#conditions")
		b.seen("rates-conditions")
	}
}
