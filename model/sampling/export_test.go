package sampling

import "gonum.org/v1/gonum/stat/distuv"

// ToleranceFactor is k of the one-sided tolerance interval, as the standard tabulates
// it: what contentAt is the inverse of.
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
