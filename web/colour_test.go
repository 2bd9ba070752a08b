package web

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The contrast of two colours after WCAG 2.2 (W3C Recommendation 2023): success criteria 1.4.3 asks 4.5 to 1 of text and
// 1.4.11 asks 3 to 1 of what is needed to understand graphics and to see controls.
func contrast(a, b string) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

// luminance is the relative luminance as WCAG 2.2 defines it.
func luminance(hex string) float64 {
	channel := func(at int) float64 {
		n, _ := strconv.ParseUint(hex[at:at+2], 16, 8)
		v := float64(n) / 255
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*channel(1) + 0.7152*channel(3) + 0.0722*channel(5)
}

func TestContrast_OfPublishedPairs(t *testing.T) {
	t.Parallel()
	assert.InDelta(t, 21, contrast("#000000", "#ffffff"), 0.001) // WCAG 2.2, definition of contrast ratio: 1 to 21
	assert.InDelta(t, 4.54, contrast("#767676", "#ffffff"), 0.01)
	// #767676 is the lightest grey that passes on white, as W3C's techniques G18 and G17 use it.
}

var colourLine = regexp.MustCompile(`--([a-z-]+): (#[0-9a-f]{6})`)

// themes reads the colours of the style sheet: light, and dark laid over it.
func themes(t *testing.T) map[string]map[string]string {
	t.Helper()
	data, err := assetFiles.ReadFile("assets/style.css")
	require.NoError(t, err)
	light, dark, found := strings.Cut(string(data), "@media (prefers-color-scheme: dark)")
	require.True(t, found)
	dark, _, _ = strings.Cut(dark, "\n}\n")
	read := func(css string) map[string]string {
		colours := map[string]string{}
		for _, match := range colourLine.FindAllStringSubmatch(css, -1) {
			colours[match[1]] = match[2]
		}
		return colours
	}
	return map[string]map[string]string{"light": read(light), "dark": read(dark)}
}

func TestStyle_MeetsContrastInLightAndDark(t *testing.T) {
	t.Parallel()
	wants := []struct {
		colour, ground string
		least          float64
	}{
		{"ink", "paper", 4.5},
		{"ink", "sheet", 4.5},
		{"ink", "glass", 4.5},
		{"ink", "warm-ground", 4.5},
		{"ink-soft", "paper", 4.5},
		{"ink-soft", "sheet", 4.5},
		{"ink-soft", "glass", 4.5},
		{"warm", "paper", 4.5},
		{"warm", "sheet", 4.5},
		{"warm", "warm-ground", 4.5},
		{"on-ink", "ink", 4.5},
		{"on-ink", "glass-line", 4.5}, // a button, and the same under the pointer
		{"line-strong", "paper", 3},
		{"line-strong", "sheet", 3}, // edges of fields and buttons
		{"glass-line", "paper", 3},
		{"focus", "paper", 3},
		{"focus", "sheet", 3},
	}
	for theme, colours := range themes(t) {
		for _, want := range wants {
			require.Contains(t, colours, want.colour)
			require.Contains(t, colours, want.ground)
			assert.GreaterOrEqual(t, contrast(colours[want.colour], colours[want.ground]), want.least,
				"%s: %s on %s", theme, want.colour, want.ground)
		}
	}
}

func TestStyle_LoadsNothingFromElsewhere(t *testing.T) {
	t.Parallel()
	data, err := assetFiles.ReadFile("assets/style.css")
	require.NoError(t, err)
	assert.NotContains(t, string(data), "url(")
	assert.NotContains(t, string(data), "@import")
}
