package transient

import "math"

// expTable[j] = 2^(j/64).
var expTable = func() (v [64]float64) {
	for j := range v {
		v[j] = math.Exp2(float64(j) / 64)
	}
	return v
}()

// exp is e^x to about 1e-13, for −700 < x < 700 (held there): the step loop
// spends a fifth of its time in math.Exp otherwise.
func exp(x float64) float64 {
	if x < -700 || x > 700 {
		return math.Exp(x)
	}
	const (
		k     = 64 / math.Ln2
		kInv  = math.Ln2 / 64
		round = 3 << 51 // adding it leaves the nearest integer in the low bits
	)
	t := x*k + round
	n := int(int32(math.Float64bits(t)))
	r := x - (t-round)*kInv
	p := 1 + r*(1+r*(0.5+r*(1.0/6+r*(1.0/24))))
	return p * expTable[n&63] * math.Float64frombits(uint64(1023+n>>6)<<52)
}
