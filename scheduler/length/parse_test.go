package length_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/length"
)

// The inch is 25.4 mm exactly (international yard and pound agreement, 1959), so every wanted value below is the inches
// times 25.4, worked by hand: 36 in = 914.4 mm, 84 in = 2133.6 mm, 36.5 in = 927.1 mm.
func TestParse_ReadsEveryUsualSpelling(t *testing.T) {
	t.Parallel()
	const in, mm, none = length.Inch, length.Millimetre, length.Length(0)
	for _, tc := range []struct {
		text string
		bare length.Length
		want string // millimetres
	}{
		{`3'-0"`, none, "914.4"},
		{`3'0"`, none, "914.4"},
		{`3' 0"`, none, "914.4"},
		{`3' - 0"`, none, "914.4"},
		{`3'-0`, none, "914.4"},
		{`3'`, none, "914.4"},
		{`3'-`, none, "914.4"},
		{`3.5'`, none, "1066.8"},
		{`3 1/2'`, none, "1066.8"},
		{`3-0`, none, "914.4"},
		{`3 - 0`, none, "914.4"},
		{`3-0"`, none, "914.4"},
		{`3-0 1/2`, none, "927.1"},
		{`3' 0 1/2"`, none, "927.1"},
		{`3'-0 1/2"`, none, "927.1"},
		{`3'-0-1/2"`, none, "927.1"},
		{`3'-1/2"`, none, "927.1"},
		{`3'½"`, none, "927.1"},
		{`3'-0½"`, none, "927.1"},
		{`3'-0.5"`, none, "927.1"},
		{`3′-0″`, none, "914.4"},
		{`3’–0”`, none, "914.4"},
		{`3‘—0“`, none, "914.4"},
		{`3'-0''`, none, "914.4"},
		{"3\u00a0ft\u00a06\u202fin", none, "1066.8"},
		{`3 ft 6 in`, none, "1066.8"},
		{`3ft6in`, none, "1066.8"},
		{`3 ft. 6 in.`, none, "1066.8"},
		{`3 feet, 6 inches`, none, "1066.8"},
		{`3 FT`, none, "914.4"},
		{`36"`, none, "914.4"},
		{`36 in`, none, "914.4"},
		{`36in.`, none, "914.4"},
		{`36 1/2"`, none, "927.1"},
		{`36-1/2"`, none, "927.1"},
		{`36.5"`, none, "927.1"},
		{`1¾"`, none, "44.45"},
		{`1-3/4`, in, "44.45"},
		{`1-3/4`, none, "44.45"},
		{`1 3/4`, mm, "44.45"},
		{`1 ³⁄₄`, in, "44.45"},
		{`1/16"`, none, "1.5875"},
		{`3/8`, in, "9.525"},
		{`1/32"`, none, "0.7938"}, // 0.79375, to the nearest unit
		{`36`, in, "914.4"},
		{`36.5`, in, "927.1"},
		{`914`, mm, "914"},
		{`3`, length.Foot, "914.4"},
		{`914 mm`, none, "914"},
		{`914.4mm`, none, "914.4"},
		{`914㎜`, none, "914"},
		{`914 Millimetres`, none, "914"},
		{`914 mm`, in, "914"},
		{`91.4 cm`, none, "914"},
		{`0.915 m`, none, "915"},
		{`0,915 m`, none, "915"},
		{`2,134 mm`, none, "2134"},
		{`2,134.5 mm`, none, "2134.5"},
		{`2.134,5 mm`, none, "2134.5"},
		{`2,134 m`, none, "2134"},
		{`914,4 mm`, none, "914.4"},
		{`.915 m`, none, "915"},
		{`0.7619999999999989 m`, none, "762"},
		{`914.4000000000001`, mm, "914.4"},
		{`0"`, none, "0"},
	} {
		got, err := length.Parse(tc.text, tc.bare)
		if assert.NoError(t, err, "reading %s", tc.text) {
			assert.Equal(t, tc.want, got.Millimetres(), "reading %s", tc.text)
		}
	}
}

func TestParse_RefusesWhatItWouldHaveToGuess(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		text string
		bare length.Length
		want error
	}{
		{`36`, 0, length.ErrNoUnit},
		{`36.5`, 0, length.ErrNoUnit},
		{``, length.Inch, length.ErrNotLength},
		{"\u00a0", length.Inch, length.ErrNotLength},
		{`-36`, length.Inch, length.ErrNotLength},
		{`07-Mar`, length.Inch, length.ErrNotLength},
		{`3'-14"`, 0, length.ErrNotLength},
		{`3-12`, 0, length.ErrNotLength},
		{`3.5'-6"`, 0, length.ErrNotLength},
		{`3' 914 mm`, 0, length.ErrNotLength},
		{`3 0`, length.Inch, length.ErrNotLength},
		{`3/7`, length.Inch, length.ErrNotLength},
		{`5/4"`, 0, length.ErrNotLength},
		{`36" x 84"`, 0, length.ErrNotLength},
		{`36 mark`, length.Inch, length.ErrNotLength},
		{`36 interior`, length.Inch, length.ErrNotLength},
		{`1,067"`, 0, length.ErrTwoReadings},
		{`1,067`, length.Inch, length.ErrTwoReadings},
		{`1,234,567 mm`, 0, length.ErrTwoReadings},
		{`1,2345.6 mm`, 0, length.ErrNotLength},
		{`20 000 m`, 0, length.ErrNotLength},
		{`20000 m`, 0, length.ErrTooLong},
		{`123456789 mm`, 0, length.ErrTooLong},
		{`three feet`, 0, length.ErrNotLength},
		{`'`, 0, length.ErrNotLength},
	} {
		got, err := length.Parse(tc.text, tc.bare)
		require.ErrorIs(t, err, tc.want, "reading %q gave %v", tc.text, got)
		assert.Contains(t, err.Error(), "\"", "the message shows the text")
	}
}

// Every whole sixteenth survives being written in feet and inches, and every unit survives being written in millimetres.
func TestParse_ReadsBackWhatIsShown(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		sixteenths := length.Length(rapid.Int64Range(0, 1<<20).Draw(t, "sixteenths")) * length.Sixteenth
		got, err := length.Parse(sixteenths.FeetInches(), 0)
		require.NoError(t, err)
		require.Equal(t, sixteenths, got)
		got, err = length.Parse(sixteenths.Inches(), 0)
		require.NoError(t, err)
		require.Equal(t, sixteenths, got)

		units := length.Length(rapid.Int64Range(0, int64(length.Longest)).Draw(t, "units"))
		got, err = length.Parse(units.String(), 0)
		require.NoError(t, err)
		require.Equal(t, units, got)
	})
}

func FuzzParse_WhatIsAcceptedReadsBack(f *testing.F) {
	for _, seed := range []string{`3'-0 1/2"`, "3-0", "1¾", "0,915 m", "2,134.5 mm", "36", "07-Mar", `3'-14"`, ".5'", "3 ft. 6 in."} {
		f.Add(seed, int64(length.Inch))
		f.Add(seed, int64(0))
	}
	f.Fuzz(func(t *testing.T, text string, bare int64) {
		units := []length.Length{0, length.Millimetre, length.Inch, length.Foot, length.Metre}
		l, err := length.Parse(text, units[uint64(bare)%5])
		if err != nil {
			return
		}
		if l < 0 || l > length.Longest {
			t.Fatalf("%q read as %v", text, l)
		}
		again, err := length.Parse(l.String(), 0)
		if err != nil || again != l {
			t.Fatalf("%q read as %v, which reads back as %v, %v", text, l, again, err)
		}
		if strings.Contains(length.Plain(text), "  ") {
			t.Fatalf("%q keeps a double space", text)
		}
	})
}

func BenchmarkParse(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := length.Parse(`3'-0 1/2"`, 0); err != nil {
			b.Fatal(err)
		}
	}
}
