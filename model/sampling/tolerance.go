package sampling

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// noncentral returns, for samples of n (at least 2), the confidence with which at least
// the share of content quantile z of a normal population, of unknown mean and deviation,
// lies below mean + k·s:
//
//	P(T(n−1, z√n) ≤ k√n) = P(Z + z√n ≤ k√n·s), T noncentral Student, Z standard normal
//
// with s² a chi-square of n−1 degrees over n−1, as an integral over s by Simpson's
// rule. Source: ISO 16269-6:2014, clause on one-sided intervals with unknown σ; its
// tables check this.
func noncentral(n int) func(k, z float64) float64 {
	const parts = 120
	nu, root := float64(n-1), math.Sqrt(float64(n))
	lnGamma, _ := math.Lgamma(nu / 2)
	logC := math.Ln2 + nu/2*math.Log(nu/2) - lnGamma
	step := (1 + 9/math.Sqrt(nu)) / parts
	var weights [parts + 1]float64 // of even steps of s: its density, times that of the rule
	for i := range weights {
		s, weight := float64(i)*step, 4.0
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
		weights[i] = weight * step / 3
	}
	return func(k, z float64) float64 {
		sum := 0.0
		for i, weight := range weights {
			sum += weight * distuv.UnitNormal.CDF(root*(k*float64(i)*step-z))
		}
		return sum
	}
}

// leastContent is as near to none or all of a population as contentAt looks.
const leastContent = 1e-5

// contentAt is the share of the population that lies below mean + k·s with the
// confidence given.
func contentAt(n int, k, confidence float64) float64 {
	below, low, high := noncentral(n), leastContent, 1-leastContent
	for range 24 {
		p := (low + high) / 2
		if below(k, distuv.UnitNormal.Quantile(p)) >= confidence {
			low = p
		} else {
			high = p
		}
	}
	return (low + high) / 2
}
