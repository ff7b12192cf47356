package sampling_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"

	"wallsift/model/sampling"
)

// Mean, variance and median of the triangular distribution as in Evans,
// Hastings and Peacock, Statistical Distributions (Wiley 2000), ch. 42, from
// memory.
func TestTriangular(t *testing.T) {
	for _, c := range []struct{ low, mode, high float64 }{{0, 1, 4}, {-3, 2, 2.5}, {1, 1, 2}, {1, 2, 2}} {
		a, m, b := c.low, c.mode, c.high
		const n = 20000
		v := make([]float64, n)
		for i := range v {
			v[i] = sampling.Triangular(a, m, b, (float64(i)+0.5)/n)
		}
		mean, variance := stat.PopMeanVariance(v, nil)
		if want := (a + m + b) / 3; math.Abs(mean-want) > 1e-4 {
			t.Errorf("%+v: mean %v, expected %v", c, mean, want)
		}
		if want := (a*a + b*b + m*m - a*b - a*m - b*m) / 18; math.Abs(variance-want) > 1e-3 {
			t.Errorf("%+v: variance %v, expected %v", c, variance, want)
		}
		median := a + math.Sqrt((b-a)*(m-a)/2)
		if m < (a+b)/2 {
			median = b - math.Sqrt((b-a)*(b-m)/2)
		}
		if got := sampling.Triangular(a, m, b, 0.5); math.Abs(got-median) > 1e-12 {
			t.Errorf("%+v: median %v, expected %v", c, got, median)
		}
	}
	if v := sampling.Triangular(2, 2, 2, 0.3); v != 2 {
		t.Errorf("a single value gave %v", v)
	}
}

func TestLogTriangular(t *testing.T) {
	// Even in the logarithm: the median is the mode, and a quarter of the way
	// in ranks is half √½ of the way in decades.
	if v := sampling.LogTriangular(1e-3, 1e-1, 10, 0.5); math.Abs(v-0.1) > 1e-12 {
		t.Errorf("median %v, expected 0.1", v)
	}
	want := math.Pow(10, -3+2*math.Sqrt(0.5))
	if v := sampling.LogTriangular(1e-3, 1e-1, 10, 0.25); math.Abs(v-want) > 1e-12 {
		t.Errorf("lower quartile %v, expected %v", v, want)
	}
}

func TestInverseProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(1e-6, 10).Draw(t, "low")
		high := low + rapid.Float64Range(0, 1e3).Draw(t, "width")
		mode := low + (high-low)*rapid.Float64Range(0, 1).Draw(t, "mode")
		mode = min(mode, high)
		u := rapid.Float64Range(0, 1).Draw(t, "u")
		v := rapid.Float64Range(u, 1).Draw(t, "v")
		for _, f := range []func(l, m, h, u float64) float64{sampling.Triangular, sampling.LogTriangular} {
			a, b := f(low, mode, high, u), f(low, mode, high, v)
			if !(low <= a && b <= high) || a > b*(1+1e-12) {
				t.Fatalf("%v at %v, %v at %v in %v, %v, %v", a, u, b, v, low, mode, high)
			}
		}
	})
}

func TestPick(t *testing.T) {
	weights := []float64{0, 2, 0, 5, 3, 0}
	count := make([]int, len(weights))
	const n = 1000
	for i := range n {
		count[sampling.Pick(weights, (float64(i)+0.5)/n)]++
	}
	for i, w := range weights {
		if count[i] != int(w*100) {
			t.Errorf("category %d picked %d times of %d, weight %v of 10", i, count[i], n, w)
		}
	}
	if a, b := sampling.Pick(weights, 0), sampling.Pick(weights, 1); a != 1 || b != 4 {
		t.Errorf("ends pick %d and %d, expected 1 and 4", a, b)
	}
}

func TestValuePanics(t *testing.T) {
	nan := math.NaN()
	for _, f := range []func(){
		func() { sampling.Triangular(1, 0, 2, 0.5) },
		func() { sampling.Triangular(0, 3, 2, 0.5) },
		func() { sampling.Triangular(0, 1, 2, 1.5) },
		func() { sampling.LogTriangular(0, 1, 2, 0.5) },
		func() { sampling.Pick(nil, 0.5) },
		func() { sampling.Pick([]float64{0, 0}, 0.5) },
		func() { sampling.Pick([]float64{1, -1}, 0.5) },
		func() { sampling.Pick([]float64{1, nan}, 0.5) },
		func() { sampling.Pick([]float64{1}, nan) },
	} {
		mustPanic(t, f)
	}
}
