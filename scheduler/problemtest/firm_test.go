package problemtest_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

func TestFirm_IsValidAndTheSameForTheSameSeed(t *testing.T) {
	for seed := range uint64(5) {
		p := problemtest.Firm(seed, 3, 120)
		assert.Empty(t, problem.Validate(p))
		assert.Len(t, p.Tasks, 3*(120*4+120/8*2))
		assert.Len(t, p.GCDates, 30)
		assert.Equal(t, p, problemtest.Firm(seed, 3, 120))
	}
}
