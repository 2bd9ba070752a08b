package server

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/server/jobtest"
)

// paper is what a foreman works out of one opening with a pencil: quantities by their names on the page, and panes with their sizes
// and weights, from left to right, the transom's after them, the leaf's last.
type paper struct {
	mark  string
	lines map[string]string
	panes [][2]string
}

// What the calculations below go by. Common practice, and ours to edit: screws of jambs and channel at 18 in, each end included, a
// screw more than the spaces between; head in two rows at 12 in; mullions at 12 in; two screws in each end of a transom bar; bite of
// 5/16 in on each framed edge, none at a butt joint; two setting blocks a pane; gasket on both faces along framed edges; a floor is
// concrete, so that screws of the channel are anchors. Faces of storefronts and door frames are 2 in, of fronts 1 3/4 in; rails of a glass
// leaf are 10 in below and 2 in above, its stiles 2 in. One person lifts 50 lb.
//
// Glass weighs 2.5 kg/m2 for each mm (EN 572-1: 2,500 kg/m3): 1/4 in is 6 mm and 15 kg/m2, 3/8 in 10 mm and 25, 1/2 in 12 mm and 30. A
// square inch is 0.00064516 m2, a pound 0.45359237 kg, both exact. Weights are rounded up to the whole pound or kilogram.
const pencilSheet = `Mark,Level,Type,Width,Height,Lights,Butt joints,Leaf width,Left sidelight,Right sidelight,Transom,Glass
K1,Level 3,Storefront,12'-4",9'-0",3,yes,,,,,"1/2"" tempered"
K2,Level 3,Hinged front,10'-0",9'-0",,,3'-0",2'-0",4'-5",,"3/8"" tempered"
K3,Level 3,Door and frame,3'-0",7'-0",,,,,,1'-6","1/4"" tempered"
K4,Level 3,Storefront,16'-2",11'-0",4,,,,,2'-0","1/2"" tempered"
`

// K1, three panes that meet at butt joints. Daylight: 148 - 2 x 2 of jambs = 144 wide, a third of it 48; 108 - 2 of base - 2 of
// head = 104 high.
//
//	jambs      2 x 108 = 216 in, 18'-0"             head, channel, base    144 in, 12'-0"
//	screws     jambs 2 x (108 / 18 + 1) = 14; head 2 rows x (144 / 12 + 1) = 26; channel 144 / 18 + 1 = 9; together 49
//	anchors    9, those of the channel
//	sealant    around it, 2 faces x (2 x 108 + 148) = 728 in, 60'-8"; of the joints 2 x 104 = 208 in, 17'-4"
//	panes      the outer ones have one framed side: 48 + 5/16 = 48 5/16 in, the middle one none: 48; all 104 + 2 x 5/16 = 104 5/8 high
//	blocks     3 x 2 = 6
//	gasket     2 x [2 faces x (2 x 48 + 104)] + 2 faces x 2 x 48 = 800 + 192 = 992 in, 82'-8"
//	weight     48 5/16 x 104 5/8 = 5,054.695 sq in = 3.26109 m2, x 30 = 97.833 kg = 215.7 lb; 48 x 104 5/8 = 5,022 sq in = 3.23999 m2,
//	           97.200 kg = 214.3 lb; together 2 x 97.833 + 97.200 = 292.865 kg = 645.7 lb
//	people     215.7 / 50 = 4.3: 5
//
// K2, a front with unequal sidelights. Daylight: 120 - 2 x 1 3/4 of jambs - 2 x 1 3/4 of mullions - 36 of the leaf = 77 = 24 + 53;
// 108 - 1 3/4 of base - 1 3/4 of head = 104 1/2 high.
//
//	jambs      2 x 108 = 216 in, 18'-0"             head        120 - 3 1/2 = 116 1/2 in, 9'-8 1/2"
//	mullions   2 x (108 - 1 3/4) = 212 1/2 in, 17'-8 1/2"       channel, base     24 + 53 = 77 in, 6'-5"
//	trim       2 faces x (2 x 108 + 120) = 672 in, 56'-0"
//	screws     jambs 14; head 116 1/2 / 12 = 9.7: 2 x (10 + 1) = 22; channel 24 / 18 = 1.3: 2 + 1 = 3, and 53 / 18 = 2.9: 3 + 1 = 4;
//	           mullions 106 1/4 / 12 = 8.9: 2 x (9 + 1) = 20; together 14 + 22 + 7 + 20 = 63
//	anchors    7
//	panes      24 + 5/8 = 24 5/8 and 53 + 5/8 = 53 5/8, by 104 1/2 + 5/8 = 105 1/8 in
//	blocks     4
//	gasket     2 x (2 x 24 + 2 x 104 1/2) + 2 x (2 x 53 + 2 x 104 1/2) = 514 + 630 = 1,144 in, 95'-4"
//	weight     24 5/8 x 105 1/8 = 2,588.703 sq in = 1.67013 m2, x 25 = 41.753 kg = 92.1 lb; 53 5/8 x 105 1/8 = 5,637.328 sq in =
//	           3.63698 m2, 90.924 kg = 200.5 lb; together 132.677 kg = 292.5 lb
//	people     200.5 / 50 = 4.01: 5
//	leaf       36 x 106 1/4 in; glass 36 - 2 x 2 + 5/8 = 32 5/8 by 106 1/4 - 10 - 2 + 5/8 = 94 7/8 in, 3,095.297 sq in = 1.99696 m2,
//	           49.924 kg = 110.1 lb; hinges 106 1/4 / 30 = 3.5: 4, with closer, stop and lock 7 pieces
//
// K3, a door with a transom. The frame is built around the door: 36 + 2 x 2 = 40 wide, 84 + 2 of bar + 18 + 2 of head = 106 high.
//
//	jambs      2 x 106 = 212 in, 17'-8"             head, bar   36 in, 3'-0"
//	screws     jambs 106 / 18 = 5.9: 2 x (6 + 1) = 14; head 2 x (36 / 12 + 1) = 8; bar 2 ends x 2 = 4; together 26
//	sealant    2 faces x (2 x 106 + 40) = 504 in, 42'-0"
//	pane       36 + 5/8 by 18 + 5/8; 2 blocks; gasket 2 x (2 x 36 + 2 x 18) = 216 in, 18'-0"
//	weight     36 5/8 x 18 5/8 = 682.141 sq in = 0.44009 m2, x 15 = 6.601 kg = 14.6 lb; one person
//	hardware   hinges 84 / 30 = 2.8: 3, with closer, stop and lock 6
//
// K4, a run of four lights with a transom over each. Daylight: 194 - 5 x 2 = 184, a quarter of it 46; 132 - 2 - 24 - 2 - 2 = 102 high.
//
//	jambs      2 x 132 = 264 in, 22'-0"             head        194 - 4 = 190 in, 15'-10"
//	mullions   3 x (132 - 2) = 390 in, 32'-6"       bar, channel, base     4 x 46 = 184 in, 15'-4"
//	screws     jambs 132 / 18 = 7.3: 2 x (8 + 1) = 18; head 190 / 12 = 15.8: 2 x (16 + 1) = 34; channel 46 / 18 = 2.6: 4 x (3 + 1) = 16;
//	           mullions 130 / 12 = 10.8: 3 x (11 + 1) = 36; bars 4 x 2 x 2 = 16; together 120
//	anchors    16
//	sealant    2 faces x (2 x 132 + 194) = 916 in, 76'-4"
//	panes      4 of 46 5/8 x 102 5/8 and 4 of 46 5/8 x 24 5/8 in; 16 blocks
//	gasket     4 x 2 x (2 x 46 + 2 x 102) + 4 x 2 x (2 x 46 + 2 x 24) = 2,368 + 1,120 = 3,488 in, 290'-8"
//	weight     46 5/8 x 102 5/8 = 4,784.891 sq in = 3.08702 m2, x 30 = 92.611 kg = 204.2 lb; 46 5/8 x 24 5/8 = 1,148.141 sq in =
//	           0.74073 m2, 22.222 kg = 49.0 lb (48.99); together 4 x 114.833 = 459.331 kg = 1,012.7 lb
//	people     204.2 / 50 = 4.1: 5
func pencilImperial() []paper {
	return []paper{
		{"K1", map[string]string{
			"width of the frame": `12'-4"`, "height of the frame": `9'-0"`, "jamb": `18'-0"`, "head": `12'-0"`, "channel": `12'-0"`, "base": `12'-0"`,
			"mullion": "", "fasteners": "49", "anchors": "9", "perimeter sealant": `60'-8"`, "butt joint sealant": `17'-4"`, "panes": "3",
			"setting blocks": "6", "gasket": `82'-8"`, "glass weight": "646 lb", "heaviest pane": "216 lb", "people at the heaviest pane": "5",
		}, [][2]string{{`4'-0 5/16" × 8'-8 5/8"`, "216 lb"}, {`4'-0" × 8'-8 5/8"`, "215 lb"}, {`4'-0 5/16" × 8'-8 5/8"`, "216 lb"}}},
		{"K2", map[string]string{
			"width of the frame": `10'-0"`, "jamb": `18'-0"`, "head": `9'-8 1/2"`, "mullion": `17'-8 1/2"`, "channel": `6'-5"`, "base": `6'-5"`, "trim": `56'-0"`,
			"fasteners": "63", "anchors": "7", "panes": "2", "setting blocks": "4", "gasket": `95'-4"`, "glass weight": "293 lb", "heaviest pane": "201 lb",
			"people at the heaviest pane": "5", "leaves": "1", "hardware points": "7", "butt joint sealant": "",
		}, [][2]string{{`2'-0 5/8" × 8'-9 1/8"`, "93 lb"}, {`4'-5 5/8" × 8'-9 1/8"`, "201 lb"}, {`2'-8 5/8" × 7'-10 7/8"`, "111 lb"}}},
		{"K3", map[string]string{
			"width of the frame": `3'-4"`, "height of the frame": `8'-10"`, "jamb": `17'-8"`, "head": `3'-0"`, "transom bar": `3'-0"`, "channel": "", "fasteners": "26",
			"anchors": "", "perimeter sealant": `42'-0"`, "panes": "1", "setting blocks": "2", "gasket": `18'-0"`, "glass weight": "15 lb",
			"people at the heaviest pane": "1", "hardware points": "6",
		}, [][2]string{{`3'-0 5/8" × 1'-6 5/8"`, "15 lb"}}},
		{"K4", map[string]string{
			"jamb": `22'-0"`, "head": `15'-10"`, "mullion": `32'-6"`, "transom bar": `15'-4"`, "channel": `15'-4"`, "base": `15'-4"`, "fasteners": "120", "anchors": "16",
			"perimeter sealant": `76'-4"`, "panes": "8", "setting blocks": "16", "gasket": `290'-8"`, "glass weight": "1,013 lb", "heaviest pane": "205 lb",
			"people at the heaviest pane": "5",
		}, [][2]string{
			{`3'-10 5/8" × 8'-6 5/8"`, "205 lb"},
			{`3'-10 5/8" × 8'-6 5/8"`, "205 lb"},
			{`3'-10 5/8" × 8'-6 5/8"`, "205 lb"},
			{`3'-10 5/8" × 8'-6 5/8"`, "205 lb"},
			{`3'-10 5/8" × 2'-0 5/8"`, "49 lb"},
			{`3'-10 5/8" × 2'-0 5/8"`, "49 lb"},
			{`3'-10 5/8" × 2'-0 5/8"`, "49 lb"},
			{`3'-10 5/8" × 2'-0 5/8"`, "49 lb"},
		}},
	}
}

// The same rules in millimetres: 18 in are 457.2 mm, 12 in 304.8, 2 in 50.8, 1 3/4 in 44.45, 5/16 in 7.9375; lengths that are no tenth of a
// millimetre are shown as about the nearest one.
const pencilSheetMetric = `Mark,Level,Type,Width (mm),Height (mm),Lights,Leaf width (mm),Sidelight,Glass thickness (mm)
M1,Level 4,Storefront,6000,3000,4,,,12
M2,Level 4,Hinged front,2400,2600,,950,yes,10
`

// M1, a run of four lights. Daylight: 6,000 - 5 x 50.8 = 5,746 mm, a quarter of it 1,436.5; 3,000 - 2 x 50.8 = 2,898.4 high.
//
//	jambs      2 x 3,000 = 6,000 mm                 head        6,000 - 101.6 = 5,898.4 mm
//	mullions   3 x (3,000 - 50.8) = 8,847.6 mm      channel, base          4 x 1,436.5 = 5,746 mm
//	screws     jambs 3,000 / 457.2 = 6.6: 2 x (7 + 1) = 16; head 5,898.4 / 304.8 = 19.4: 2 x (20 + 1) = 42; channel 1,436.5 / 457.2 = 3.1:
//	           4 x (4 + 1) = 20; mullions 2,949.2 / 304.8 = 9.7: 3 x (10 + 1) = 33; together 111
//	anchors    20
//	sealant    2 faces x (2 x 3,000 + 6,000) = 24,000 mm
//	panes      1,436.5 + 15.875 = 1,452.375 by 2,898.4 + 15.875 = 2,914.275 mm; 8 blocks
//	gasket     4 x 2 x (2 x 1,436.5 + 2 x 2,898.4) = 8 x 8,669.8 = 69,358.4 mm
//	weight     1.452375 x 2.914275 = 4.23262 m2, x 30 = 126.979 kg; together 507.914 kg
//	people     126.979 kg = 279.9 lb, / 50 = 5.6: 6
//
// M2, a front. Beside the leaf: 2,400 - 2 x 44.45 - 44.45 of the mullion - 950 = 1,316.65; 2,600 - 2 x 44.45 = 2,511.1 high.
//
//	jambs      5,200 mm       head   2,400 - 88.9 = 2,311.1 mm       mullion   2,600 - 44.45 = 2,555.55 mm       channel, base   1,316.65 mm
//	trim       2 faces x (2 x 2,600 + 2,400) = 15,200 mm
//	screws     jambs 2,600 / 457.2 = 5.7: 2 x (6 + 1) = 14; head 2,311.1 / 304.8 = 7.6: 2 x (8 + 1) = 18; channel 1,316.65 / 457.2 = 2.9:
//	           3 + 1 = 4; mullion 2,555.55 / 304.8 = 8.4: 9 + 1 = 10; together 46
//	anchors    4
//	pane       1,316.65 + 15.875 = 1,332.525 by 2,511.1 + 15.875 = 2,526.975 mm; 2 blocks; gasket 2 x (2,633.3 + 5,022.2) = 15,311 mm
//	weight     1.332525 x 2.526975 = 3.36726 m2, x 25 = 84.181 kg
//	people     84.181 kg = 185.6 lb, / 50 = 3.7: 4
//	leaf       glass 950 - 101.6 + 15.875 = 864.275 by 2,555.55 - 304.8 + 15.875 = 2,266.625 mm: 1.95899 m2, 48.975 kg; hinges
//	           2,555.55 / 762 = 3.4: 4, with closer, stop and lock 7 pieces
func pencilMetric() []paper {
	return []paper{
		{"M1", map[string]string{
			"jamb": "6000 mm", "head": "5898.4 mm", "mullion": "8847.6 mm", "channel": "5746 mm", "base": "5746 mm", "fasteners": "111", "anchors": "20",
			"perimeter sealant": "24000 mm", "panes": "4", "setting blocks": "8", "gasket": "69358.4 mm", "glass weight": "508 kg", "heaviest pane": "127 kg",
			"people at the heaviest pane": "6",
		}, [][2]string{
			{"≈1452.4 mm × ≈2914.3 mm", "127 kg"}, {"≈1452.4 mm × ≈2914.3 mm", "127 kg"}, {"≈1452.4 mm × ≈2914.3 mm", "127 kg"}, {"≈1452.4 mm × ≈2914.3 mm", "127 kg"},
		}},
		{"M2", map[string]string{
			"jamb": "5200 mm", "head": "2311.1 mm", "mullion": "≈2555.6 mm", "channel": "≈1316.7 mm", "trim": "15200 mm", "fasteners": "46", "anchors": "4", "panes": "1",
			"setting blocks": "2", "gasket": "15311 mm", "glass weight": "85 kg", "people at the heaviest pane": "4", "hardware points": "7",
		}, [][2]string{{"≈1332.5 mm × ≈2527 mm", "85 kg"}, {"≈864.3 mm × ≈2266.6 mm", "49 kg"}}},
	}
}

// A schedule with butt joints, unequal sidelights and transoms, and one of a metric job, imported by their pages: every opening's
// page shows what the pencil does.
func TestBrowser_ImportedOpeningsAreThoseOfAPencil(t *testing.T) {
	t.Parallel()
	s := newSmallSite(t)
	pm := s.as("project")
	s.importSheet(pm, "openings", pencilSheet)
	b := newTab(t, s.url, desk)
	b.signIn("Project manager")
	s.holdsPaper(b, pencilImperial())

	require.NoError(t, s.db.Write(t.Context(), func(tx *models.Tx) error {
		project, err := models.ProjectByID(t.Context(), tx, 1)
		if err != nil {
			return err
		}
		project.Units = models.Metric
		return models.UpdateProject(t.Context(), tx, project, jobtest.Actor())
	}))
	s.importSheet(pm, "openings", pencilSheetMetric)
	s.holdsPaper(b, pencilMetric())
}

// holdsPaper opens the page of each opening and holds it against the paper.
func (s *site) holdsPaper(b *tab, list []paper) {
	s.t.Helper()
	for _, p := range list {
		b.open("/openings/" + itoa(s.openingOf(p.mark).ID))
		for name, value := range p.lines {
			shown := look[string](b, fmt.Sprintf(
				`[...document.querySelectorAll("section[aria-labelledby=quantities] tbody tr")].find((r) => r.cells[0].textContent === %q)?.cells[1].textContent ?? ""`, name))
			require.Equal(s.t, value, shown, "%s of %s", name, p.mark)
		}
		panes := look[[][2]string](b, `[...document.querySelectorAll("section[aria-labelledby=panes] tbody tr")].map((r) => [r.cells[1].textContent, r.cells[3].textContent])`)
		require.Equal(s.t, p.panes, panes, "panes of %s", p.mark)
		b.seen("pencil-" + p.mark)
	}
}
