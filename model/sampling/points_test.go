package sampling_test

import (
	"math"
	"reflect"
	"testing"

	"wallsift/model/sampling"
)

// A run may stop at any power of two: its points must then lie one in each
// stratum of every coordinate, as in Latin hypercube sampling (McKay, Beckman and
// Conover 1979).
func TestPointsAreNestedInEveryCoordinate(t *testing.T) {
	for _, seed := range []uint64{1, 2, 99} {
		all := sampling.Points(64, 24, seed)
		for n := 2; n <= 64; n *= 2 {
			for dim := range 24 {
				seen := make([]bool, n)
				for _, p := range all[:n] {
					if p[dim] <= 0 || p[dim] >= 1 {
						t.Fatalf("coordinate %v outside (0, 1)", p[dim])
					}
					k := int(p[dim] * float64(n))
					if seen[k] {
						t.Fatalf("seed %d, dimension %d: two of the first %d points in stratum %d", seed, dim, n, k)
					}
					seen[k] = true
				}
			}
		}
	}
}

func TestMorePointsContinue(t *testing.T) {
	few, many := sampling.Points(8, 5, 7), sampling.Points(64, 9, 7)
	for i := range few {
		if !reflect.DeepEqual(few[i], many[i][:5]) {
			t.Fatalf("point %d changed when more were asked for", i)
		}
	}
}

// Two coordinates must not follow each other: over many seeds their
// correlation, of standard error 1/√63, must average to nothing.
func TestCoordinatesAreIndependent(t *testing.T) {
	sum := 0.0
	const seeds = 400
	for seed := range uint64(seeds) {
		r := 0.0
		for _, p := range sampling.Points(64, 12, seed) {
			r += 12 * (p[3] - 0.5) * (p[11] - 0.5) / 64
		}
		sum += r
	}
	if mean := sum / seeds; math.Abs(mean) > 4/math.Sqrt(63*seeds) {
		t.Errorf("mean correlation %v", mean)
	}
}

func TestPointsRefuseWhatTheyCannotGive(t *testing.T) {
	for _, c := range []struct{ n, dims int }{{-1, 1}, {65, 1}, {8, 0}} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%d points of %d dimensions: no panic", c.n, c.dims)
				}
			}()
			sampling.Points(c.n, c.dims, 1)
		}()
	}
}
