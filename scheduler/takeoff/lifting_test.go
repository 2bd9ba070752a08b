package takeoff

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// At the load constant of the revised NIOSH equation (publication 94-110), 51 lb, the trade table's panes take: 68.7 lb two
// people, 157 lb four, 196 lb four. Sharing a lift is a house rule; the equation does not speak of team lifts.
func TestLifting_HandsByWeight(t *testing.T) {
	t.Parallel()
	niosh := Lifting{LimitGrams: GramsOfPounds(51)}
	for _, row := range []struct {
		pounds float64
		hands  int
	}{{20, 1}, {51, 1}, {51.01, 2}, {68.7, 2}, {102, 2}, {157, 4}, {196, 4}} {
		assert.Equal(t, row.hands, niosh.Hands(GramsOfPounds(row.pounds), SquareFoot), "%v lb", row.pounds)
	}
	assert.Equal(t, 2, Lifting{}.Hands(GramsOfPounds(50.1), SquareFoot), "the default limit is 50 lb")
}

func TestLifting_ALargePaneTakesTwoHoweverLight(t *testing.T) {
	t.Parallel()
	assert.Equal(t, 1, Lifting{}.Hands(1000, 10*SquareFoot))
	assert.Equal(t, 2, Lifting{}.Hands(1000, 10*SquareFoot+1))
}

func TestLifting_NobodyCarriesMoreThanTheLimitAndNoHandIsTooMany(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		l := Lifting{LimitGrams: rapid.Int64Range(5_000, 60_000).Draw(t, "limit")}
		grams := rapid.Int64Range(0, 1_000_000).Draw(t, "grams")
		hands := l.Hands(grams, SquareFoot)
		assert.LessOrEqual(t, grams, int64(hands)*l.LimitGrams)
		assert.True(t, hands == 1 || grams > int64(hands-1)*l.LimitGrams)
	})
}
