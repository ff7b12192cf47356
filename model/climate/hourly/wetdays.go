package hourly

import (
	"math/rand/v2"

	"wallsift/model/climate"
)

// persistence is the correlation of wet with wet on the next day, which gives
// P(wet|wet) = 0.25 + 0.75·p and P(wet|dry) = 0.75·p for a share p of wet days.
// Source: Geng, Penning de Vries & Supit 1986, from memory.
const persistence = 0.25

// wetDays draws which days are wet from a two-state Markov chain, under the
// condition that every month has exactly its number of them.
func wetDays(r *rand.Rand, counts climate.Months) (wet [days]bool) {
	state := r.Float64() < counts[11]/31
	for m, count := range counts {
		state = wetMonth(r, wet[firstDay[m]:firstDay[m+1]], int(count), state)
	}
	return wet
}

// wetMonth draws one month after the given state and returns its last state.
// The chain is drawn forward with the odds of each step weighed by the chance
// that the rest of the month brings the days still missing, so that it is the
// chain itself, conditioned.
func wetMonth(r *rand.Rand, wet []bool, count int, state bool) bool {
	n := len(wet)
	p := float64(count) / float64(n)
	toWet := func(from bool) float64 {
		if from {
			return persistence + (1-persistence)*p
		}
		return (1 - persistence) * p
	}
	// rest[d][k][s]: chance that days d… have k wet ones after state s.
	var rest [32][33][2]float64
	rest[n][0] = [2]float64{1, 1}
	for d := n - 1; d >= 0; d-- {
		for k := 0; k <= min(count, n-d); k++ {
			for s := range 2 {
				q := toWet(s == 1)
				v := (1 - q) * rest[d+1][k][0]
				if k > 0 {
					v += q * rest[d+1][k-1][1]
				}
				rest[d][k][s] = v
			}
		}
	}
	for d := range wet {
		s := 0
		if state {
			s = 1
		}
		x := r.Float64()
		state = false
		if count > 0 {
			// With no chance left for a dry day the quotient is exactly 1.
			odds := toWet(s == 1) * rest[d+1][count-1][1] / rest[d][count][s]
			state = x < odds || rest[d+1][count][0] == 0
		}
		if state {
			wet[d] = true
			count--
		}
	}
	return state
}
