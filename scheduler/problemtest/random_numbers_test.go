package problemtest

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The first numbers for seed 1234567, as published with the method's reference program (S. Vigna, splitmix64.c, 2015;
// the values are those commonly quoted for it, from memory).
func TestRandom_DrawsTheNumbersOfItsMethod(t *testing.T) {
	t.Parallel()
	r := random{state: 1234567}
	for _, want := range []uint64{6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821} {
		assert.Equal(t, want, r.next())
	}
}
