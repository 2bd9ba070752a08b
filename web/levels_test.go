package web

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// No label runs out of its drawing on a phone, wherever it stands, as long as it is no wider than the drawing.
func TestLabel_StaysWithinTheDrawingOfAPhone(t *testing.T) {
	t.Parallel()
	placed := regexp.MustCompile(`x="([0-9.]+)%".*text-anchor="(start|middle|end)"`)
	for letters := 4; letters <= 44; letters += 4 {
		width := letterWidth * float64(letters)
		for at := 0.0; at <= 100; at++ {
			m := placed.FindStringSubmatch(label("rule-text", at, 0, strings.Repeat("m", letters)))
			require.NotNil(t, m)
			x, err := strconv.ParseFloat(m[1], 64)
			require.NoError(t, err)
			left := map[string]float64{"start": x, "middle": x - width/2, "end": x - width}[m[2]]
			assert.GreaterOrEqual(t, left, -0.01, "%d letters at %v", letters, at)
			assert.LessOrEqual(t, left+width, 100.01, "%d letters at %v", letters, at)
		}
	}
}
