package surrogate

import (
	"math"
	"slices"
)

// searchRows bounds the rows of a search. The shape settles
// with fewer rows than the surface needs, and the cost grows with their cube.
const searchRows = 250

// rowsPerFeature is the least count of rows for each feature at which features
// are told apart by relevance.
const rowsPerFeature = 3

var (
	searchRidges = []float64{3, 1e-1, 1e-2, 1e-3, 1e-5}
	finalRidges  = []float64{3, 3e-1, 3e-2, 1e-2, 3e-3, 1e-3, 1e-4, 1e-5, 1e-6}
)

// trial is one shape, the surfaces it gives and its score: the mean over
// outputs of the leave-one-out error relative to the spread of the output.
type trial struct {
	shape shape
	fits  [][]solution // by block
	score float64
}

func try(s shape, blocks []block) trial {
	t := trial{shape: s, fits: make([][]solution, len(blocks))}
	n := 0
	for k := range blocks {
		b := &blocks[k]
		t.fits[k] = b.solve(s.gram(b.z, b.h), searchRidges)
		for _, fit := range t.fits[k] {
			t.score += math.Sqrt(fit.mse)
			n++
		}
	}
	t.score /= float64(n)
	return t
}

// plainShape is where the search starts: all p features alike.
func plainShape(p int) shape {
	s := shape{length: 1, weight: uniform(p)}
	s.setTrend(trendShares[0])
	return s
}

// trendShares are τ₁ and τ₂, the shares of the linear and the quadratic trend.
var trendShares = [][2]float64{{10, 0.1}, {10, 10}, {1, 1}, {100, 100}}

func (s *shape) setTrend(tau [2]float64) {
	s.constant, s.linear, s.quadratic = max(tau[0], 10), tau[0], tau[1]
}

// searchShape looks for the shape of least score: by turns the shares of
// the trend, the relevance, the length and the kernel. The path depends on
// nothing but the data.
func searchShape(blocks []block, f *features) shape {
	start := plainShape(len(f.keep))
	if len(f.keep) == 0 {
		return start
	}
	blocks = thin(blocks, searchRows)
	best := try(start, blocks)
	accept := func(change func(*shape)) bool {
		s := best.shape
		change(&s)
		t := try(s, blocks)
		// What is not clearly better is not worth following, and the path must
		// not hang on rounding.
		if !(t.score < best.score*(1-1e-3)) {
			return false
		}
		best = t
		return true
	}
	length := func(factor float64) func(*shape) {
		return func(s *shape) { s.length *= factor }
	}
	climb := func(factor float64, most int) {
		up := 0
		for up < most && accept(length(factor)) {
			up++
		}
		for down := 0; up == 0 && down < most && accept(length(1/factor)); down++ {
		}
	}
	shares := func() {
		for _, tau := range trendShares {
			// Strong terms in a number near that of the rows pass through all rows
			// and run wild between them.
			if tau[1] < 1 || 3*f.terms() <= leastRows(blocks) {
				accept(func(s *shape) { s.setTrend(tau) })
			}
		}
	}

	shares()
	// The relevance is drawn from all rows, also those left out in turn. With
	// few rows for each feature it fits them by chance, and the error looks
	// many times too small.
	trusted := leastRows(blocks) >= rowsPerFeature*len(f.keep)
	if trusted {
		effects := trendEffects(blocks, f)
		accept(func(s *shape) { s.weight = effects })
	}
	climb(2, 3)
	for step := 0; trusted && step < 3; step++ {
		w := gradientEffects(&best.shape, blocks, best.fits)
		if !accept(func(s *shape) { s.weight = w }) {
			break
		}
		climb(1.5, 2)
	}
	shares()
	for k := kernel(0); k < kernels; k++ {
		if k != best.shape.kernel {
			accept(func(s *shape) { s.kernel = k })
		}
	}
	climb(1.5, 2)
	return best.shape
}

func leastRows(blocks []block) int {
	n := len(blocks[0].rows)
	for _, b := range blocks {
		n = min(n, len(b.rows))
	}
	return n
}

// thin gives the blocks fewer rows, evenly spread over their order, so that
// all together cost no more than one block of limit rows.
func thin(blocks []block, limit float64) []block {
	most := int(limit / math.Cbrt(float64(len(blocks))))
	out := slices.Clone(blocks)
	for k := range out {
		n := len(out[k].rows)
		if n <= most {
			continue
		}
		picked := make([]int, most)
		for i := range picked {
			picked[i] = i * n / most
		}
		out[k] = blocks[k].pick(picked)
	}
	return out
}
