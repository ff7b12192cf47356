package sampling_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"wallsift/model/sampling"
)

// Factors of the one-sided tolerance interval, unknown mean and deviation, as
// tabulated in ISO 16269-6:2014 annex C and in handbooks of statistics (Natrella,
// Experimental Statistics, NBS Handbook 91, table A-7), from memory; the last row
// is the worked example of the NIST/SEMATECH e-Handbook, 7.2.6.3, from memory.
func TestToleranceFactorAgainstPublishedTables(t *testing.T) {
	for _, c := range []struct {
		n                   int
		content, confidence float64
		want                float64
	}{
		{5, 0.95, 0.95, 4.203}, {10, 0.90, 0.95, 2.355}, {10, 0.95, 0.95, 2.911}, {10, 0.99, 0.95, 3.981},
		{20, 0.90, 0.95, 1.926}, {20, 0.95, 0.95, 2.396}, {50, 0.95, 0.95, 2.065}, {43, 0.90, 0.99, 1.8752},
	} {
		if got := sampling.ToleranceFactor(c.n, c.content, c.confidence); math.Abs(got-c.want) > 2e-3 {
			t.Errorf("n %d, content %v, confidence %v: %.4f, published %.4f", c.n, c.content, c.confidence, got, c.want)
		}
	}
}

// Clopper and Pearson's bound where it has a closed form: none of n exceeds, and
// the values are such that no normal law holds, one far below among many near.
func TestCountSpeaksWhereNoNormalLawHolds(t *testing.T) {
	logs, weights := make([]float64, 16), make([]float64, 16)
	for i := range logs {
		logs[i], weights[i] = 0.02, 1
	}
	logs[3] = -9
	c := sampling.Assess(logs, weights, 0.9)
	// 15 of 16: low is the tenth percentile of Beta(15, 2), high 1 − 0.1^… has no
	// closed form; the low one solves 16 p^15 − 15 p^16 = 0.1.
	p := c.Low
	if got := 16*math.Pow(p, 15) - 15*math.Pow(p, 16); c.P != 15.0/16 || math.Abs(got-0.1) > 1e-6 {
		t.Errorf("share %v, bounds %v to %v: chance at the low bound %v, want 0.1", c.P, c.Low, c.High, got)
	}
}

// Values far below the limit that hardly differ are clear after four draws.
func TestClearValuesSettleAtOnce(t *testing.T) {
	r := sampling.Rule{Below: 0.1, Above: 0.7, Confidence: 0.9}
	for _, x := range []float64{-2, -0.3, 0.3, 2} {
		c := sampling.Assess([]float64{x, x, x, x}, []float64{1, 1, 1, 1}, r.Confidence)
		if !c.Settled(r) {
			t.Errorf("four draws at %v: %+v is not settled", x, c)
		}
	}
}

// A bound at 90 % confidence must hold in about nine normal samples of ten; a
// little less, because the count stands in where it contradicts the normal law.
func TestBoundsHoldAsOftenAsTheySay(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, mean := range []float64{-2, -1.2816, -0.5, 0.3} { // chances 2.3, 10, 31, 62 %
		chance := 0.5 * math.Erfc(-mean/math.Sqrt2)
		const runs = 1000
		for _, n := range []int{8, 32} {
			below, above := 0, 0
			for range runs {
				logs, weights := make([]float64, n), make([]float64, n)
				for i := range logs {
					logs[i], weights[i] = mean+rng.NormFloat64(), 1
				}
				c := sampling.Assess(logs, weights, 0.9)
				if c.Low <= chance {
					below++
				}
				if c.High >= chance {
					above++
				}
			}
			if below < runs*86/100 || above < runs*86/100 {
				t.Errorf("n %d, chance %.3f: low bound holds in %d, high in %d of %d", n, chance, below, above, runs)
			}
		}
	}
}

func TestWeightsCountAsDraws(t *testing.T) {
	logs := []float64{0.2, -0.3, 0.1, -0.6, -0.2, 0.3, -0.9, -0.1}
	all := sampling.Assess(logs, []float64{1, 0, 1, 0, 1, 0, 1, 0}, 0.9)
	some := sampling.Assess([]float64{0.2, 0.1, -0.2, -0.9}, []float64{1, 1, 1, 1}, 0.9)
	some.Draws = all.Draws
	if math.Abs(all.High-some.High) > 1e-9 || math.Abs(all.Dev-some.Dev) > 1e-12 || all.P != some.P {
		t.Errorf("weight 0 is not as if the draw were not there: %+v, %+v", all, some)
	}
}

func TestSettledNeedsBothParts(t *testing.T) {
	r := sampling.Rule{Below: 0.1, Above: 0.7, Confidence: 0.9}
	for _, c := range []struct {
		c    sampling.Chance
		want bool
	}{
		{sampling.Chance{P: 0.01, High: 0.05}, true},
		{sampling.Chance{P: 0.05, Low: 0.01, High: 0.2}, false},
		{sampling.Chance{P: 0.4, Low: 0.2, High: 0.6}, true},
		{sampling.Chance{P: 0.9, Low: 0.8, High: 1}, true},
		{sampling.Chance{P: 0.6, Low: 0.4, High: 0.8}, false},
	} {
		if got := c.c.Settled(r); got != c.want {
			t.Errorf("%+v: settled %v", c.c, got)
		}
	}
}

func TestPartsOfARule(t *testing.T) {
	r := sampling.Rule{Below: 0.1, Above: 0.7}
	for _, c := range []struct {
		p    float64
		want int
	}{{0, 0}, {0.1, 0}, {0.11, 1}, {0.7, 1}, {0.71, 2}, {1, 2}} {
		if got := r.Part(c.p); got != c.want {
			t.Errorf("chance %g lies in part %d, want %d", c.p, got, c.want)
		}
	}
}
