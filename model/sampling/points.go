package sampling

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// MostPoints is the greatest count of points.
const MostPoints = 64

// Points returns n points of dims coordinates, each in the open interval (0, 1).
// In every coordinate the first 2, 4, 8 … 64 points lie one in each half,
// quarter, eighth … of the interval, so that a run that stops early has still
// seen the whole of each range; otherwise the coordinates are drawn
// independently. It is Latin hypercube sampling (McKay, Beckman and Conover
// 1979) that doubles: each stratum is halved, and its empty half is given to one
// of the new points at random. The same seed with more points or coordinates
// gives the same points, continued.
//
// It panics if n is outside 0…MostPoints or dims is below 1.
func Points(n, dims int, seed uint64) [][]float64 {
	if n < 0 || n > MostPoints || dims < 1 {
		panic(fmt.Sprintf("sampling: %d points of %d dimensions; expected 0 to %d points and at least 1 dimension", n, dims, MostPoints))
	}
	out := make([][]float64, n)
	for i := range out {
		out[i] = make([]float64, dims)
	}
	for j := range dims {
		for i, x := range coordinate(rand.New(rand.NewPCG(seed, uint64(j)))) {
			if i < n {
				out[i][j] = x
			}
		}
	}
	return out
}

func coordinate(rng *rand.Rand) (x [MostPoints]float64) {
	stratum := []int{0} // of each point
	for len(stratum) < MostPoints {
		n := len(stratum)
		empty := make([]int, n)
		for i, s := range stratum {
			half := rng.IntN(2)
			stratum[i], empty[i] = 2*s+half, 2*s+1-half
		}
		rng.Shuffle(n, func(a, b int) { empty[a], empty[b] = empty[b], empty[a] })
		stratum = append(stratum, empty...)
	}
	for i, s := range stratum {
		// Never at a border: a stratum's ends belong to its neighbours.
		x[i] = (float64(s) + 0.5 + 0.999*(rng.Float64()-0.5)) / MostPoints
	}
	return x
}

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
