package hourly

import (
	"math"
	"testing"

	"wallsift/model/climate"
)

// The two constants that undo what joining the days does, against 40 years of
// joined days: lag and spread of the daily means, five standard errors.
func TestDailyMeansKeepTheirLag(t *testing.T) {
	var square, cross, n float64
	for seed := range uint64(40) {
		day := autoregressive(stream(seed, 99), days, knotToKnot)
		var mean [days]float64
		for k := range HoursPerYear {
			mean[k/24] += between(day, k) / 24
		}
		for d := 1; d < days; d++ {
			square += mean[d] * mean[d]
			cross += mean[d] * mean[d-1]
			n++
		}
	}
	if lag := cross / square; math.Abs(lag-dayToDay) > 0.04 {
		t.Errorf("lag %.3f, expected %v", lag, dayToDay)
	}
	if s := math.Sqrt(square / n); math.Abs(s-lineSigma) > 0.05 {
		t.Errorf("spread %.3f, expected %v", s, lineSigma)
	}
}

// The gamma distribution has mean and variance equal to its shape.
func TestGammaVariate(t *testing.T) {
	for _, shape := range []float64{0.55, 1, 3} {
		r := stream(1, 98)
		const n = 40000
		sum, square := 0.0, 0.0
		for range n {
			x := gammaVariate(r, shape)
			sum += x / n
			square += x * x / n
		}
		if v := square - sum*sum; math.Abs(sum/shape-1) > 0.04 || math.Abs(v/shape-1) > 0.08 {
			t.Errorf("shape %v: mean %.3f, variance %.3f", shape, sum, v)
		}
	}
}

// Every month has its count whatever the count, and wet days follow wet ones as the
// chain of Geng et al. has it, 0.25 + 0.75·p, to 0.06.
func TestWetDays(t *testing.T) {
	for _, count := range []float64{0, 1, 8, 15, 28} {
		var counts [12]float64
		for m := range counts {
			counts[m] = count
		}
		again, all := 0.0, 0.0
		for seed := range uint64(40) {
			wet := wetDays(stream(seed, 97), counts)
			for m := range counts {
				have := 0.0
				for d := climate.FirstDay[m]; d < climate.FirstDay[m+1]; d++ {
					if wet[d] {
						have++
						all++
						if wet[(d+364)%365] {
							again++
						}
					}
				}
				if have != count {
					t.Fatalf("%v wet days, expected %v", have, count)
				}
			}
		}
		p := 12 * count / 365
		if want := 0.25 + 0.75*p; count >= 8 && math.Abs(again/all-want) > 0.06 {
			t.Errorf("%v wet days: P(wet|wet) %.3f, the chain has %.3f", count, again/all, want)
		}
	}
}

// The curve takes up what the months lack in a few rounds, and bends without steps.
func TestCurve(t *testing.T) {
	want := [12]float64{-22, -18, -11, 0, 9, 15, 16, 13, 7, -4, -16, -19}
	out := make([]float64, HoursPerYear)
	for range extremeIterations {
		rest := want
		for m := range rest {
			rest[m] -= mean(out, m)
		}
		addCurve(out, rest)
	}
	for m, w := range want {
		if math.Abs(mean(out, m)-w) > 1e-4 {
			t.Errorf("month %d: %v, expected %v", m+1, mean(out, m), w)
		}
	}
	for k := range out {
		if d := math.Abs(out[k] - out[(k+1)%HoursPerYear]); d > 0.1 {
			t.Errorf("step of %.2f K after hour %d", d, k)
		}
	}
}
