package pattern

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"jambwright/scheduler/length"
)

// An order from the drawings is made to them; one from the survey to the newest size that was known when it was placed.
func TestSizeOf_GoesByBasisAndByWhatWasKnown(t *testing.T) {
	t.Parallel()
	day := func(n int) time.Time { return time.Date(2026, 11, n, 12, 0, 0, 0, time.UTC) }
	ordered := func(n int) *time.Time { at := day(n); return &at }
	first := FieldSize{At: day(3), Width: 35 * length.Inch, Height: 96 * length.Inch}
	second := FieldSize{At: day(10), Width: 36 * length.Inch, Height: 95 * length.Inch}
	both := []FieldSize{first, second}
	for name, c := range map[string]struct {
		order       ItemOrder
		sizes       []FieldSize
		used, later *FieldSize
	}{
		"survey, not measured":              {ItemOrder{Item: Glass, Basis: FromSurvey}, nil, nil, nil},
		"survey, measured":                  {ItemOrder{Item: Glass, Basis: FromSurvey}, both, &second, nil},
		"usual basis of glass":              {ItemOrder{Item: Glass}, both, &second, nil},
		"usual basis of leaves":             {ItemOrder{Item: Leaf}, both, nil, nil},
		"after framing, measured":           {ItemOrder{Item: Glass, Basis: AfterFraming}, both, &second, nil},
		"ordered after measuring":           {ItemOrder{Item: Glass, Basis: FromSurvey, Ordered: ordered(12)}, both, &second, nil},
		"ordered as it was measured":        {ItemOrder{Item: Glass, Basis: FromSurvey, Ordered: ordered(10)}, both, &second, nil},
		"measured again after ordering":     {ItemOrder{Item: Glass, Basis: FromSurvey, Ordered: ordered(5)}, both, &first, &second},
		"measured after ordering":           {ItemOrder{Item: Glass, Basis: FromSurvey, Ordered: ordered(2)}, both, nil, &second},
		"drawings, measured":                {ItemOrder{Item: Glass, Basis: FromDrawings}, both, nil, nil},
		"drawings, measured after ordering": {ItemOrder{Item: Glass, Basis: FromDrawings, Ordered: ordered(2)}, both, nil, &second},
	} {
		s := SizeOf(c.order, c.sizes)
		assert.Equal(t, c.used, s.Used, name)
		assert.Equal(t, c.later, s.Later, name)
	}
}

func TestLeadingItem_IsGlassThenFrameThenLeaf(t *testing.T) {
	t.Parallel()
	order, ok := LeadingItem([]ItemOrder{{Item: Hardware}, {Item: FrameKit}, {Item: Glass, Basis: AfterFraming}})
	assert.True(t, ok)
	assert.Equal(t, ItemOrder{Item: Glass, Basis: AfterFraming}, order)
	order, _ = LeadingItem([]ItemOrder{{Item: Leaf}, {Item: FrameKit}})
	assert.Equal(t, FrameKit, order.Item)
	_, ok = LeadingItem([]ItemOrder{{Item: Hardware}})
	assert.False(t, ok)
}
