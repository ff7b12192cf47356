package damage

import "math"

// timberLag is a time constant (h) for the end of a joist to follow the air
// around it: five days. Common practice, no source.
const timberLag = 120.0

// TimberMoisture is the moisture content of a timber end that follows its
// equilibrium with a lag: du/dt = (EquilibriumMoisture − u)/timberLag. It starts in
// equilibrium with the first hour. Liquid water taken up from wet masonry is
// not in it, so it ends near fibre saturation.
type TimberMoisture struct {
	watch watch
	u     float64
}

// Hours takes n hours of one temperature (°C) and relative humidity (0–1).
func (t *TimberMoisture) Hours(hour, n int, theta, rh float64) {
	first := t.watch.hours == 0
	if !t.watch.take(hour, n, celsius(theta) && amount(rh)) {
		return
	}
	even := EquilibriumMoisture(theta, rh)
	if first {
		t.u = even
	} else {
		t.u -= (even - t.u) * math.Expm1(-float64(n)/timberLag)
	}
	t.watch.rise(t.u, hour+n-1, first)
}

// Peak returns the highest moisture content, kg of water per kg of dry wood. 0.20
// is a usual bound of caution, fibre saturation lies near 0.28 to 0.30 (Wood
// Handbook, from memory).
func (t *TimberMoisture) Peak() Peak { return t.watch.peak(true) }

// EquilibriumMoisture returns the moisture content (kg/kg) of wood in lasting
// air of a temperature (°C, held to −1 to 130) and relative humidity (0–1, held
// to that range): the Hailwood–Horrobin isotherm with the coefficients of the
// Wood Handbook (Forest Products Laboratory, FPL-GTR-190, equation 4-5), from
// memory. It answers to the mean of wetting and drying.
func EquilibriumMoisture(theta, rh float64) float64 {
	t := min(max(theta, -1.1), 130)
	w := 349 + t*(1.29+0.0135*t)
	k := 0.805 + t*(0.000736-0.00000273*t)
	k1 := 6.27 + t*(-0.00938-0.000303*t)
	k2 := 1.91 + t*(0.0407-0.000293*t)
	kh := k * min(max(rh, 0), 1)
	b := k1 * k2 * kh * kh
	return 18 / w * (kh/(1-kh) + (k1*kh+2*b)/(1+k1*kh+b))
}
