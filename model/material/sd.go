package material

import "math"

// Mu returns the vapour resistance factor used in the steady tier: the mean of
// the dry-cup and the wet-cup value, since walls work between the two.
func (m *Material) Mu() float64 { return (m.MuDry + m.MuWet) / 2 }

// SdLayer returns the s_d value in m of a layer of thickness d (m): the
// material's own s_d for membranes and coats, μ·d for the rest. Variable
// retarders answer with their driest point; use SdAt for them.
func (m *Material) SdLayer(d float64) float64 {
	switch {
	case len(m.SdCurve) > 0:
		return m.SdCurve[0].Sd
	case m.Sd > 0:
		return m.Sd
	}
	return m.Mu() * d
}

// SdAt returns the s_d value in m of a variable retarder whose two faces have
// the mean relative humidity rh (0–1). Between the points of the curve log s_d
// is linear in rh; outside them the end value holds.
func SdAt(curve []SdPoint, rh float64) float64 {
	last := len(curve) - 1
	if rh <= curve[0].RH {
		return curve[0].Sd
	}
	if rh >= curve[last].RH {
		return curve[last].Sd
	}
	i := 1
	for curve[i].RH < rh {
		i++
	}
	a, b := curve[i-1], curve[i]
	t := (rh - a.RH) / (b.RH - a.RH)
	return a.Sd * math.Pow(b.Sd/a.Sd, t)
}
