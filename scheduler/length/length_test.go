package length_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/length"
)

func TestLength_HoldsBothSystemsExactly(t *testing.T) {
	t.Parallel()
	// 25.4 mm to the inch, 16 sixteenths to the inch: 1.5875 mm.
	assert.Equal(t, length.Length(15_875), length.Sixteenth)
	assert.Equal(t, length.Length(254_000), length.Inch)
	assert.Equal(t, length.Length(3_048_000), length.Foot)
	assert.Equal(t, 1000*length.Millimetre, length.Metre)
}

func TestFeetInches_MarksWhatItRounds(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		units        length.Length
		feet, inches string
	}{
		{36 * length.Inch, `3'-0"`, `36"`},
		{84*length.Inch + 8*length.Sixteenth, `7'-0 1/2"`, `84 1/2"`},
		{28 * length.Sixteenth, `0'-1 3/4"`, `1 3/4"`},
		{length.Sixteenth, `0'-0 1/16"`, `1/16"`},
		{0, `0'-0"`, `0"`},
		{915 * length.Millimetre, `≈3'-0"`, `≈36"`},            // 36.02 in
		{900 * length.Millimetre, `≈2'-11 7/16"`, `≈35 7/16"`}, // 35.433 in = 35 6.93/16
		{-36 * length.Inch, `-3'-0"`, `-36"`},
		{12*length.Inch - length.Sixteenth/2, `≈1'-0"`, `≈12"`},
	} {
		assert.Equal(t, tc.feet, tc.units.FeetInches(), "%v", tc.units)
		assert.Equal(t, tc.inches, tc.units.Inches(), "%v", tc.units)
	}
	assert.True(t, (36 * length.Inch).IsWholeSixteenths())
	assert.False(t, (915 * length.Millimetre).IsWholeSixteenths())
}

func TestMillimetres_AreExactDecimals(t *testing.T) {
	t.Parallel()
	for units, want := range map[length.Length]string{
		36 * length.Inch:                      "914.4",
		length.Sixteenth:                      "1.5875",
		1:                                     "0.0001",
		0:                                     "0",
		915 * length.Millimetre:               "915",
		-length.Inch:                          "-25.4",
		2*length.Metre + 5*length.Millimetre:  "2005",
		length.Length(-9223372036854775808):   "-922337203685477.5808",
		84*length.Inch + length.Millimetre/10: "2133.7",
	} {
		assert.Equal(t, want, units.Millimetres())
		text, err := json.Marshal(units.MillimetreNumber())
		require.NoError(t, err)
		assert.Equal(t, want, string(text))
	}
	assert.Equal(t, "914.4 mm", (36 * length.Inch).String())
}

func TestFromMillimetres_TakesBinaryNoiseOff(t *testing.T) {
	t.Parallel()
	assert.Equal(t, 762*length.Millimetre, length.FromMillimetres(761.9999999999989))
	assert.Equal(t, 36*length.Inch, length.FromMillimetres(914.4))
	assert.Equal(t, -36*length.Inch, length.FromMillimetres(-914.4))
	assert.InDelta(t, 914.4, (36 * length.Inch).FloatMillimetres(), 1e-9)
	assert.InDelta(t, 0.9144, (36 * length.Inch).FloatMetres(), 1e-12)
	assert.InDelta(t, 36, (36 * length.Inch).FloatInches(), 1e-12)
}
