package sampling

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distmv"
	"gonum.org/v1/gonum/stat/samplemv"
)

// MaxDims is the greatest count of dimensions.
const MaxDims = 100

// Points returns n points of dims coordinates, each in the open interval
// (0, 1): the Halton sequence with an own random permutation of every digit
// (A. B. Owen, A randomized Halton algorithm in R, arXiv:1706.02808). The same
// seed with a greater n or greater dims gives the same points, continued.
//
// Coordinate j is evenly spread over every stretch of pⱼ points, with pⱼ the
// j-th prime: put what matters most first, and let n be well above the last
// prime (89 at 24 dimensions).
//
// It panics if n < 0 or dims is outside 1…MaxDims.
func Points(n, dims int, seed uint64) [][]float64 {
	return Replicated(n, 1, dims, seed)
}

// Replicated returns replicates × n points: replicate r holds the rows r·n to
// (r+1)·n − 1 and is scrambled independently of the others. [Chance] reads the
// sampling error from how the replicates differ. The first replicate is
// Points(n, dims, seed); more replicates continue the rows.
//
// It panics if n < 0, replicates < 1, or dims is outside 1…MaxDims.
func Replicated(n, replicates, dims int, seed uint64) [][]float64 {
	if n < 0 || replicates < 1 || dims < 1 || dims > MaxDims {
		panic(fmt.Sprintf("sampling: %d points × %d replicates of %d dimensions; expected n ≥ 0, replicates ≥ 1, dims 1 to %d",
			n, replicates, dims, MaxDims))
	}
	out := make([][]float64, 0, n*replicates)
	if n == 0 {
		return out
	}
	for r := range replicates {
		batch := mat.NewDense(n, dims, nil)
		samplemv.Halton{
			Kind: samplemv.Owen,
			Q:    distmv.NewUnitUniform(dims, nil),
			Src:  rand.NewPCG(seed, uint64(r)),
		}.Sample(batch)
		for i := range n {
			row := batch.RawRowView(i)
			for j, u := range row {
				row[j] = open(u)
			}
			out = append(out, row[:dims:dims])
		}
	}
	return out
}

// open moves the ends of [0, 1], which the sum of digits can reach by
// rounding, into the interval.
func open(u float64) float64 {
	return min(max(u, 0x1p-54), math.Nextafter(1, 0))
}
