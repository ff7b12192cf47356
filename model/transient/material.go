package transient

import (
	"fmt"
	"math"

	"wallsift/model/air"
)

const (
	latentHeat   = air.LatentHeat    // J/kg, evaporation at 0 °C
	deltaAir     = air.DeltaStandard // kg/(m·s·Pa), turns s_d values into resistances (ISO 13788)
	fusionHeat   = 3.34e5            // J/kg (handbook value)
	waterHeat    = 4186.0            // J/(kg·K), liquid water
	waterDensity = 1000.0            // kg/m³
	// rhoRv turns suction into the exponent of Kelvin's law, Pa/K.
	rhoRv = waterDensity * air.GasConstantVapour
	// kelvinRef is the temperature at which sorption data given as w(φ) are
	// read as w(suction), K.
	kelvinRef = 20 + air.KelvinOffset
)

// Suction returns the capillary suction in Pa in equilibrium with relative
// humidity rh (0–1, exclusive of 0) at theta °C (Kelvin).
func Suction(rh, theta float64) float64 {
	return -rhoRv * (theta + air.KelvinOffset) * math.Log(rh)
}

// Material holds the dry properties and the functions of one layer.
// λ = Lambda·(1 + LambdaMoisture·w/Density), W/(m·K).
type Material struct {
	Name           string
	Density        float64 // dry, kg/m³, > 0
	HeatCapacity   float64 // dry, J/(kg·K), > 0
	Lambda         float64 // dry, W/(m·K), > 0
	LambdaMoisture float64 // b_λ, ≥ 0
	Storage        Storage
	Liquid         Liquid // nil conducts none
	Vapour         Vapour
}

// Storage is a water retention curve.
type Storage interface {
	// Water returns the water content w in kg/m³ and its slope dw/ds in
	// kg/(m³·Pa), ≤ 0, at suction s ≥ 0 in Pa.
	Water(s float64) (w, slope float64)
	// Free returns w at zero suction (free saturation), kg/m³.
	Free() float64
}

// Liquid is a capillary conductivity.
type Liquid interface {
	// Conductivity returns K in kg/(m·s·Pa) at suction s ≥ 0, where the
	// storage curve gives water content w and slope dw/ds. wetting is true
	// while the face takes up rain.
	Conductivity(s, w, slope float64, wetting bool) float64
}

// Vapour is a vapour permeability δ(s, T) = Permeability(s, w)·(T/283.15 K)^n.
type Vapour interface {
	// Permeability returns δ in kg/(m·s·Pa) at 10 °C, suction s and content w.
	Permeability(s, w float64) float64
	// Exponent returns n.
	Exponent() float64
}

// Parametric is the storage curve w(φ) = w_f·(b−1)·φ/(b−φ) (Künzel 1995), read
// as a function of suction through Kelvin's law at 20 °C.
type Parametric struct {
	Wf float64 // free saturation, kg/m³
	B  float64 // approximation factor, > 1
}

// NewParametric fits b so that the curve passes through w80 at 80 % RH. It
// needs 0 < w80 < 0.8·w_f; at or beyond that the curve would bend the wrong way.
func NewParametric(w80, wf float64) (Parametric, error) {
	if !(wf > 0 && w80 > 0 && w80 < 0.8*wf) {
		return Parametric{}, fmt.Errorf("transient: storage needs 0 < w80 < 0.8·w_f, got w80 = %g, w_f = %g kg/m³", w80, wf)
	}
	// w80 = wf(b−1)·0.8/(b−0.8) solved for b.
	return Parametric{Wf: wf, B: 0.8 * (wf - w80) / (0.8*wf - w80)}, nil
}

// Water implements Storage.
func (p Parametric) Water(s float64) (w, slope float64) {
	phi := exp(-s / (rhoRv * kelvinRef))
	d := p.B - phi
	w = p.Wf * (p.B - 1) * phi / d
	dwdphi := p.Wf * (p.B - 1) * p.B / (d * d)
	return w, -dwdphi * phi / (rhoRv * kelvinRef)
}

// Free implements Storage.
func (p Parametric) Free() float64 { return p.Wf }

// CapillaryUptake is liquid transport from the water absorption coefficient:
// D_ws(w) = 3.8·(A_w/w_f)²·1000^(w/w_f−1) while the face takes up water, and a
// tenth of that otherwise (Künzel 1995).
type CapillaryUptake struct {
	Aw float64 // kg/(m²·√s), ≥ 0
	Wf float64 // kg/m³
}

// Conductivity implements Liquid: K = −D_w·dw/ds.
func (c CapillaryUptake) Conductivity(_, w, slope float64, wetting bool) float64 {
	r := c.Aw / c.Wf
	k := -3.8 * r * r * exp(3*math.Ln10*(w/c.Wf-1)) * slope
	if wetting {
		return k
	}
	return 0.1 * k
}

// Mu is the vapour permeability δ_a/μ with a dry-cup and a wet-cup resistance
// factor; 1/μ runs linearly with RH between the mean RH of the two cups,
// 25 % and 71.5 % (EN ISO 12572 dry cup 0/50, wet cup 50/93).
type Mu struct {
	Dry, Wet float64 // > 0
}

// Permeability implements Vapour.
func (m Mu) Permeability(s, _ float64) float64 {
	f := (exp(-s/(rhoRv*kelvinRef)) - 0.25) / (0.715 - 0.25)
	f = math.Max(0, math.Min(1, f))
	return air.Permeability(10, air.StandardPressure) * ((1-f)/m.Dry + f/m.Wet)
}

// Exponent implements Vapour (Künzel 1995: δ_a ∝ T^0.81).
func (m Mu) Exponent() float64 { return 0.81 }
