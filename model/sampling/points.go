package sampling

import (
	"fmt"
	"math/rand/v2"
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
