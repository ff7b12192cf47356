package sampling

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// ToleranceFactor returns k of the one-sided tolerance interval for a normal
// quantity of unknown mean and deviation: with confidence, at least the share
// content of the population lies below mean + k·s of a sample of n.
//
//	P(T(n−1, z√n) ≤ k√n) = confidence, T noncentral Student, z the content quantile
//
// content below one half gives negative factors. Source: ISO 16269-6:2014,
// clause on one-sided intervals with unknown σ; its tables check this. n is at
// least 2, content and confidence lie in (0, 1).
func ToleranceFactor(n int, content, confidence float64) float64 {
	z := distuv.UnitNormal.Quantile(content)
	low, high := z-50, z+50
	for range 60 {
		k := (low + high) / 2
		if noncentral(k, z, n) < confidence {
			low = k
		} else {
			high = k
		}
	}
	return (low + high) / 2
}

// noncentral is P(Z + z√n ≤ k√n·s) with Z standard normal and s² a chi-square of
// n−1 degrees over n−1: the distribution function above, as an integral over s by
// Simpson's rule.
func noncentral(k, z float64, n int) float64 {
	nu := float64(n - 1)
	root := math.Sqrt(float64(n))
	lnGamma, _ := math.Lgamma(nu / 2)
	logC := math.Ln2 + nu/2*math.Log(nu/2) - lnGamma
	density := func(s float64) float64 {
		if s <= 0 {
			if n == 2 {
				return math.Exp(logC)
			}
			return 0
		}
		return math.Exp(logC + (nu-1)*math.Log(s) - nu*s*s/2)
	}
	const parts = 120
	to := 1 + 9/math.Sqrt(nu)
	h := to / parts
	sum := 0.0
	for i := range parts + 1 {
		s := float64(i) * h
		weight := 4.0
		switch {
		case i == 0 || i == parts:
			weight = 1
		case i%2 == 0:
			weight = 2
		}
		sum += weight * density(s) * distuv.UnitNormal.CDF(root*(k*s-z))
	}
	return sum * h / 3
}

// leastContent is as near to none or all of a population as contentAt looks.
const leastContent = 1e-5

// contentAt is the inverse of ToleranceFactor in content: the share of the
// population that lies below mean + k·s with the confidence given.
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
