package sampling

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Triangular is the inverse distribution function of the triangular
// distribution at u in [0, 1], in the unit of its bounds. low = high gives that
// value. It panics unless low ≤ mode ≤ high and u is in [0, 1].
func Triangular(low, mode, high, u float64) float64 {
	if low == mode && mode == high {
		return low
	}
	// Rounding must not carry a value out of its range.
	return min(max(distuv.NewTriangle(low, high, mode, nil).Quantile(u), low), high)
}

// LogTriangular is the inverse distribution function of a positive value whose
// logarithm is triangular, for ranges over decades. mode is the mode of the
// logarithm. It panics unless 0 < low ≤ mode ≤ high are finite and u is in
// [0, 1].
func LogTriangular(low, mode, high, u float64) float64 {
	if !(low > 0) {
		panic(fmt.Sprintf("sampling: log-triangular from %v; expected a positive value", low))
	}
	v := math.Exp(Triangular(math.Log(low), math.Log(mode), math.Log(high), u))
	return min(max(v, low), high)
}

// Pick returns the index of the category that u in [0, 1) falls to, with
// chances in proportion to weights, which are 0 or more. A category of weight 0 is
// never picked. It panics if none is positive or u is outside [0, 1].
func Pick(weights []float64, u float64) int {
	sum, last := 0.0, -1
	for i, w := range weights {
		if w > 0 {
			last = i
		}
		sum += w
	}
	if !(sum > 0 && u >= 0 && u <= 1) {
		panic(fmt.Sprintf("sampling: pick from weights %v at %v; expected a positive weight and u in [0, 1]", weights, u))
	}
	at := u * sum
	for i, w := range weights {
		if at < w {
			return i
		}
		at -= w
	}
	return last
}
