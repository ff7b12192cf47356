package sampling_test

import (
	"math"
	"testing"

	"wallsift/model/sampling"
)

// Score intervals without continuity correction, R. G. Newcombe, Statistics in
// Medicine 17 (1998) 857, table I, method 3; from memory.
func TestWilson(t *testing.T) {
	for _, c := range []struct {
		count, n  int
		low, high float64
	}{
		{81, 263, 0.2553, 0.3662},
		{15, 148, 0.0624, 0.1605},
		{0, 20, 0, 0.1611},
		{1, 29, 0.0061, 0.1718},
	} {
		e := sampling.Wilson(c.count, c.n)
		if math.Abs(e.Low-c.low) > 5e-5 || math.Abs(e.High-c.high) > 5e-5 {
			t.Errorf("%d of %d: %.4f to %.4f, published %.4f to %.4f", c.count, c.n, e.Low, e.High, c.low, c.high)
		}
		m := sampling.Wilson(c.n-c.count, c.n)
		if math.Abs(m.Low-(1-e.High)) > 1e-12 || math.Abs(m.High-(1-e.Low)) > 1e-12 {
			t.Errorf("%d of %d: not the mirror of %d of %d", c.n-c.count, c.n, c.count, c.n)
		}
	}
}

// Shares 0.2, 0.4, 0.4, 0.2 of 5 each: mean 0.3, deviation 0.11547, standard
// error 0.057735; t for 3 degrees of freedom is 3.182 (any table of Student's
// t, such as Fisher and Yates).
func TestChanceByHand(t *testing.T) {
	var s []bool
	for _, k := range []int{1, 2, 2, 1} {
		for i := range 5 {
			s = append(s, i < k)
		}
	}
	e := sampling.Chance(s, 4)
	if math.Abs(e.P-0.3) > 1e-12 || math.Abs(e.StdErr-0.057735) > 1e-6 || e.Samples != 20 ||
		math.Abs(e.Low-(0.3-3.182*0.057735)) > 1e-4 || math.Abs(e.High-(0.3+3.182*0.057735)) > 1e-4 {
		t.Errorf("%+v", e)
	}
	for _, all := range []bool{false, true} {
		for i := range s {
			s[i] = all
		}
		e := sampling.Chance(s, 4)
		if !(e.StdErr > 0) || !(e.High-e.Low > 0.1) {
			t.Errorf("all %v: no spread in %+v", all, e)
		}
	}
}

// P(U·V > t) = 1 − t(1 − ln t). The 95 % interval of 4 replicates must hold it
// in about 95 of 100 runs, and be narrower than Wilson's on as many samples.
func TestChanceCovers(t *testing.T) {
	const limit, each, runs = 0.3, 250, 300
	want := 1 - limit*(1-math.Log(limit))
	held, narrow := 0, 0.0
	square, claimed := 0.0, 0.0
	for seed := range runs {
		points := sampling.Replicated(each, 4, 8, uint64(seed))
		s := make([]bool, len(points))
		count := 0
		for i, u := range points {
			// Neither of the coordinates with the smallest primes.
			s[i] = u[2]*u[5] > limit
			if s[i] {
				count++
			}
		}
		e := sampling.Chance(s, 4)
		if e.Low <= want && want <= e.High {
			held++
		}
		square += (e.P - want) * (e.P - want) / runs
		claimed += e.StdErr * e.StdErr / runs
		w := sampling.Wilson(count, len(s))
		narrow += w.StdErr / runs
	}
	t.Logf("held in %d of %d; true error %.5f, claimed %.5f, independent samples %.5f",
		held, runs, math.Sqrt(square), math.Sqrt(claimed), narrow)
	// Four standard errors of a share of 0.95 in 300.
	if float64(held)/runs < 0.95-4*math.Sqrt(0.95*0.05/runs) {
		t.Errorf("the interval held the truth in %d of %d runs", held, runs)
	}
	if math.Sqrt(square) > 0.7*narrow {
		t.Errorf("true error %v, independent samples would have %v", math.Sqrt(square), narrow)
	}
	if r := claimed / square; r < 0.7 || r > 1.4 {
		t.Errorf("claimed variance is %.2f of the true one", r)
	}
}

func TestChancePanics(t *testing.T) {
	for _, f := range []func(){
		func() { sampling.Chance(nil, 1) },
		func() { sampling.Chance(make([]bool, 10), 4) },
		func() { sampling.Chance(make([]bool, 10), 0) },
		func() { sampling.Wilson(3, 2) },
	} {
		mustPanic(t, f)
	}
}
