package sampling

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Chance is what draws tell of the chance that a limit is exceeded.
type Chance struct {
	P         float64 // share of the draws, by weight, 0–1
	Low, High float64 // one-sided bounds on the chance, each at the confidence asked, 0–1
	Dev       float64 // of the log-utilisations, by weight
	Draws     int

	countLow, countHigh float64 // the same bounds from the count alone
}

// Rule says when draws settle a question.
type Rule struct {
	Below, Above float64 // chances that part the answers, 0–1
	Confidence   float64 // of each bound, 0–1
}

// Assess bounds the chance that a log-utilisation is above 0. logs and weights
// have equal length, at least 2; a weight is 0 or more and not all are 0. The
// bounds are those of the tolerance interval of a normal quantity
// (ISO 16269-6); where the share counted lies outside them, so that no
// normal law can hold, they are those of the count alone (Clopper and Pearson
// 1934). Weights lower the number of draws to the effective one, (Σw)²/Σw² (Kish 1965).
func Assess(logs, weights []float64, confidence float64) Chance {
	var sum, square, over, mean float64
	for i, w := range weights {
		sum += w
		square += w * w
		mean += w * logs[i]
		if logs[i] > 0 {
			over += w
		}
	}
	mean /= sum
	dev := 0.0
	for i, w := range weights {
		dev += w * (logs[i] - mean) * (logs[i] - mean)
	}
	n := sum * sum / square
	c := Chance{P: over / sum, Draws: len(logs)}
	c.countLow, c.countHigh = counted(c.P*n, n, confidence)
	c.Low, c.High = c.countLow, c.countHigh
	whole := int(n + 1e-9)
	if whole < 2 {
		return c
	}
	// Values that hardly differ say as much as their number: a chance of nothing or
	// of one is as sure as the tolerance interval of the least deviation makes it.
	c.Dev = max(math.Sqrt(dev/sum*n/(n-1)), leastDev)
	low := contentAt(whole, mean/c.Dev, confidence)
	high := 1 - contentAt(whole, -mean/c.Dev, confidence)
	if low <= c.P+2*leastContent && c.P-2*leastContent <= high {
		c.Low, c.High = min(low, high), max(low, high) // both may stand at the least content
	}
	return c
}

// leastDev is the least deviation of a log-utilisation that is believed, 3 %: the
// engine as screening runs it is no more exact than that.
const leastDev = 0.03

// counted returns the one-sided Clopper–Pearson bounds for k of n, which need not
// be whole.
func counted(k, n, confidence float64) (low, high float64) {
	high = 1
	if k > 1e-9 {
		low = distuv.Beta{Alpha: k, Beta: n - k + 1}.Quantile(1 - confidence)
	}
	if n-k > 1e-9 {
		high = distuv.Beta{Alpha: k + 1, Beta: n - k}.Quantile(confidence)
	}
	return low, high
}

// Part says which of the rule's three parts a chance lies in: 0 below, 1 between, 2 above.
func (r Rule) Part(p float64) int {
	switch {
	case p <= r.Below:
		return 0
	case p <= r.Above:
		return 1
	}
	return 2
}

// Settled says whether the bounds leave no doubt which answer of the rule the
// chance belongs to. That it lies between the two parts may be said by the count
// alone as well.
func (c Chance) Settled(r Rule) bool {
	return c.High < r.Below || c.Low > r.Above || c.Low > r.Below && c.High < r.Above ||
		c.countLow > r.Below && c.countHigh < r.Above
}

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
		power := 0.0 // of s, its logarithm
		if n > 2 {
			power = (nu - 1) * math.Log(s)
		}
		weights[i] = weight * math.Exp(logC+power-nu*s*s/2) * step / 3
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
