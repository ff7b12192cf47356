package transient

import "math"

// CapillaryUptake is liquid transport from the water absorption coefficient:
// D_ws(w) = 3.8·(A_w/w_f)²·1000^(w/w_f−1) while the face takes up water, and
// Redistribution times that otherwise (Künzel 1995; about a tenth).
type CapillaryUptake struct {
	Aw             float64 // kg/(m²·√s), ≥ 0
	Wf             float64 // kg/m³
	Redistribution float64 // D_ww/D_ws; 0 means 0.1
}

// Diffusivity returns D_ws in m²/s at water content w.
func (c CapillaryUptake) Diffusivity(w float64) float64 {
	r := c.Aw / c.Wf
	return 3.8 * r * r * math.Pow(1000, w/c.Wf-1)
}

// Conductivity implements Liquid: K = −D_w·dw/ds.
func (c CapillaryUptake) Conductivity(_, w, slope float64, wetting bool) float64 {
	k := -c.Diffusivity(w) * slope
	switch {
	case wetting:
		return k
	case c.Redistribution > 0:
		return c.Redistribution * k
	}
	return 0.1 * k
}

// LiquidFunc is a conductivity given as a closure, the same in wetting and
// redistribution.
type LiquidFunc func(s, w, slope float64) float64

// Conductivity implements Liquid.
func (f LiquidFunc) Conductivity(s, w, slope float64, _ bool) float64 { return f(s, w, slope) }
