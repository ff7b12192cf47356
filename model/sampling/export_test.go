package sampling

import "gonum.org/v1/gonum/stat/distuv"

// ToleranceFactor is k of the one-sided tolerance interval, as the standard tabulates
// it: what contentAt is the inverse of.
func ToleranceFactor(n int, content, confidence float64) float64 {
	z := distuv.UnitNormal.Quantile(content)
	below, low, high := noncentral(n), z-50, z+50
	for range 60 {
		k := (low + high) / 2
		if below(k, z) < confidence {
			low = k
		} else {
			high = k
		}
	}
	return (low + high) / 2
}
