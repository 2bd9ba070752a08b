package web

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestLabour_StandsInWholeHours(t *testing.T) {
	t.Parallel()
	for hours, want := range map[float64]string{0: "0", 0.2: "under 1", 0.5: "1", 12.4: "12", 99.96: "100", 1204.75: "1,205"} {
		assert.Equal(t, want, labour(hours), "%v", hours)
	}
}
