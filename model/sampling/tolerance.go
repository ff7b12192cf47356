package sampling

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/stat/distuv"
)

// noncentral is the confidence with which at least the share of content quantile z
// of a normal population, of unknown mean and deviation, lies below mean + k·s of a
// sample of n (at least 2):
//
//	P(T(n−1, z√n) ≤ k√n) = P(Z + z√n ≤ k√n·s), T noncentral Student, Z standard normal
//
// with s² a chi-square of n−1 degrees over n−1, as an integral over s by Simpson's
// rule. Source: ISO 16269-6:2014, clause on one-sided intervals with unknown σ; its
// tables check this.
func noncentral(k, z float64, n int) float64 {
	root, sum := math.Sqrt(float64(n)), 0.0
	d := deviations(n)
	for i, weight := range d.weights {
		sum += weight * distuv.UnitNormal.CDF(root*(k*float64(i)*d.step-z))
	}
	return sum
}

// deviation is the density of s at even steps, times the weight of each.
type deviation struct {
	step    float64
	weights []float64
}

var known sync.Map // deviation by n

func deviations(n int) deviation {
	if d, ok := known.Load(n); ok {
		return d.(deviation)
	}
	const parts = 120
	nu := float64(n - 1)
	lnGamma, _ := math.Lgamma(nu / 2)
	logC := math.Ln2 + nu/2*math.Log(nu/2) - lnGamma
	d := deviation{(1 + 9/math.Sqrt(nu)) / parts, make([]float64, parts+1)}
	for i := range d.weights {
		s, weight := float64(i)*d.step, 4.0
		switch {
		case i == 0 || i == parts:
			weight = 1
		case i%2 == 0:
			weight = 2
		}
		switch {
		case i > 0:
			weight *= math.Exp(logC + (nu-1)*math.Log(s) - nu*s*s/2)
		case n == 2:
			weight *= math.Exp(logC)
		default:
			weight = 0
		}
		d.weights[i] = weight * d.step / 3
	}
	known.Store(n, d)
	return d
}

// leastContent is as near to none or all of a population as contentAt looks.
const leastContent = 1e-5

// contentAt is the share of the population that lies below mean + k·s with the
// confidence given.
func contentAt(n int, k, confidence float64) float64 {
	low, high := leastContent, 1-leastContent
	for range 24 {
		p := (low + high) / 2
		if noncentral(k, distuv.UnitNormal.Quantile(p), n) >= confidence {
			low = p
		} else {
			high = p
		}
	}
	return (low + high) / 2
}
