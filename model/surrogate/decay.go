package surrogate

import "math"

// powers[j] = 2^(j/64).
var powers = func() (v [64]float64) {
	for j := range v {
		v[j] = math.Exp2(float64(j) / 64)
	}
	return v
}()

// decay is e^(−a) for a ≥ 0 to about 1e-13, 0 beyond a = 700. Two thirds of a
// prediction would be spent in math.Exp.
func decay(a float64) float64 {
	if !(a < 700) {
		return math.Exp(-a) // 0, or NaN
	}
	const (
		perStep = 64 / math.Ln2
		step    = math.Ln2 / 64
		round   = 3 << 51 // adding it leaves the nearest integer in the low bits
	)
	t := round - a*perStep
	n := int(int32(math.Float64bits(t)))
	r := -a - (t-round)*step
	p := 1 + r*(1+r*(0.5+r*(1.0/6+r*(1.0/24))))
	return p * powers[n&63] * math.Float64frombits(uint64(1023+n>>6)<<52)
}
