//go:build slow

package screen_test

import "testing"

func TestHourlyAnswerIsOfItsOwnRow(t *testing.T) {
	for i, n := range []int{8, 4} {
		p := &portfolios[i]
		ownRowAlone(t, p, spread(p.homes(t), n), hourByHour(nil), 2, userFile(t, twoStrategies))
	}
}

func TestHourlyExplanationEqualsTable(t *testing.T) {
	for i, n := range []int{24, 16} {
		p := &portfolios[i]
		explainEqualsTable(t, p, spread(p.homes(t), n), hourByHour(map[string]any{"chance.draws": 4}), userFile(t, twoStrategies))
	}
}
