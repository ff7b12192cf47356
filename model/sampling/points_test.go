package sampling_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/stat"

	"wallsift/model/sampling"
)

func TestPointsContinue(t *testing.T) {
	long := sampling.Points(500, 24, 11)
	for _, c := range []struct{ n, dims int }{{500, 24}, {100, 24}, {500, 3}, {1, 1}} {
		for i, row := range sampling.Points(c.n, c.dims, 11) {
			if d := cmp.Diff(long[i][:c.dims], row); d != "" {
				t.Fatalf("%d × %d is not the start of the longer run at row %d:\n%s", c.n, c.dims, i, d)
			}
		}
	}
	if cmp.Equal(long, sampling.Points(500, 24, 12)) {
		t.Error("another seed gives the same points")
	}
	four := sampling.Replicated(100, 4, 24, 11)
	if len(four) != 400 || !cmp.Equal(four[:100], long[:100]) || cmp.Equal(four[100:200], four[:100]) {
		t.Error("replicates: expected the plain points first, then others")
	}
	if len(sampling.Points(0, 2, 1)) != 0 {
		t.Error("no points asked, some given")
	}
}

// In base p the first pᵏ points of a van der Corput sequence fall one into each
// of pᵏ equal strata; permuting digits keeps that. (Niederreiter, Random Number
// Generation and Quasi-Monte Carlo Methods, SIAM 1992, ch. 3; from memory.)
func TestStrata(t *testing.T) {
	primes := []int{2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67, 71, 73, 79, 83, 89}
	points := sampling.Points(4096, 24, 3)
	for j, p := range primes {
		for n := p; n <= len(points); n *= p {
			hit := make([]int, n)
			for _, row := range points[:n] {
				u := row[j]
				if !(u > 0 && u < 1) {
					t.Fatalf("dimension %d: %v is not inside (0, 1)", j, u)
				}
				// Digits are summed in floating point: a point on the lower edge
				// of its stratum may stand an ulp below it.
				hit[min(int(u*float64(n)+1e-9), n-1)]++
			}
			for k, h := range hit {
				if h != 1 {
					t.Fatalf("dimension %d, first %d points: stratum %d holds %d", j, n, k, h)
				}
			}
		}
	}
}

// Over seeds, a single point is uniform: mean ½ and variance 1/12, to four
// standard errors.
func TestPointIsUniform(t *testing.T) {
	const seeds = 2000
	for _, j := range []int{0, 5, 23} {
		for _, i := range []int{0, 4} {
			u := make([]float64, seeds)
			for s := range u {
				u[s] = sampling.Points(i+1, j+1, uint64(s))[i][j]
			}
			mean, variance := stat.MeanVariance(u, nil)
			if math.Abs(mean-0.5) > 4*math.Sqrt(1.0/12/seeds) {
				t.Errorf("point %d, dimension %d: mean %v", i, j, mean)
			}
			// The variance of the squared deviation of a uniform value is 1/180.
			if math.Abs(variance-1.0/12) > 4*math.Sqrt(1.0/180/seeds) {
				t.Errorf("point %d, dimension %d: variance %v", i, j, variance)
			}
		}
	}
}

// gFunction is the test integrand of Saltelli and Sobol', Reliability
// Engineering and System Safety 50 (1995), from memory. Its integral is 1, its
// variance Π(1 + 1/(3(1+a)²)) − 1.
func gFunction(x []float64) float64 {
	v := 1.0
	for j, a := range gCoefficients {
		v *= (math.Abs(4*x[j]-2) + a) / (1 + a)
	}
	return v
}

var gCoefficients = []float64{0, 1, 4.5, 9, 99, 99, 99, 99}

func TestIntegral(t *testing.T) {
	const n, seeds = 1024, 20
	variance := 1.0
	for _, a := range gCoefficients {
		variance *= 1 + 1/(3*(1+a)*(1+a))
	}
	random := math.Sqrt((variance - 1) / n)
	square := 0.0
	for seed := range seeds {
		sum := 0.0
		for _, x := range sampling.Points(n, 8, uint64(seed)) {
			sum += gFunction(x) / n
		}
		square += (sum - 1) * (sum - 1) / seeds
	}
	t.Logf("rms error of the integral %.5f, independent points %.5f", math.Sqrt(square), random)
	if math.Sqrt(square) > random/5 {
		t.Errorf("rms error %v, not even a fifth of the %v of independent points", math.Sqrt(square), random)
	}
}

func TestPointsPanics(t *testing.T) {
	for _, f := range []func(){
		func() { sampling.Points(-1, 2, 0) },
		func() { sampling.Points(1, 0, 0) },
		func() { sampling.Points(1, sampling.MaxDims+1, 0) },
		func() { sampling.Replicated(1, 0, 1, 0) },
	} {
		mustPanic(t, f)
	}
}

func mustPanic(t *testing.T, f func()) {
	t.Helper()
	defer func() {
		if recover() == nil {
			t.Error("no panic")
		}
	}()
	f()
}

func BenchmarkPoints4096x24(b *testing.B) {
	for b.Loop() {
		sampling.Points(4096, 24, 1)
	}
}
