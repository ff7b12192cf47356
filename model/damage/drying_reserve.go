package damage

import "wallsift/model/air"

// DryingReserve sums up how much more vapour a face within the wall could give
// off to both sides if it were wet than it does at its actual humidity:
//
//	Σ δ0·(p_sat(θ) − p)·(1/s_d inward + 1/s_d outward)·Δt
//
// It is an absolute amount, independent of how much water a test puts in, to be
// compared with the wetting DIN 68800-2 demands (from memory). A wetter face has
// a smaller reserve. Capillary flow is left out: in absorbent masonry, which
// draws water away from the face, the reserve is a lower bound.
type DryingReserve struct {
	watch watch
	sum   float64
}

// Hours takes n hours of the face, θ in °C and relative humidity 0–1, and the
// s_d to either side air in m, films included, both above 0.
func (d *DryingReserve) Hours(hour, n int, theta, rh, inward, outward float64) {
	if d.watch.take(hour, n, celsius(theta) && amount(rh) && inward > 0 && outward > 0) {
		d.sum += 3600 * float64(n) * air.DeltaStandard * air.PsatFast(theta) * max(0, 1-rh) * (1/inward + 1/outward)
	}
}

// Reserve returns the yearly mean, kg/m²a. Less than a year is not scaled up.
func (d *DryingReserve) Reserve() Peak {
	d.watch.rise(d.sum/d.watch.years(), -1, true)
	return d.watch.peak(true)
}
