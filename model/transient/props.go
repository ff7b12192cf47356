package transient

import (
	"fmt"
	"math"

	"wallsift/model/air"
)

// Storage is a water retention curve.
type Storage interface {
	// Water returns the water content w in kg/m³ and its slope dw/ds in
	// kg/(m³·Pa), ≤ 0, at suction s ≥ 0 in Pa.
	Water(s float64) (w, slope float64)
	// Free returns w at zero suction (free saturation), kg/m³.
	Free() float64
}

// Liquid is a capillary conductivity. A nil Liquid conducts none.
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

// Material holds the dry properties and the functions of one layer.
// λ = Lambda·(1 + LambdaMoisture·w/Density), W/(m·K).
type Material struct {
	Name           string
	Density        float64 // dry, kg/m³, > 0
	HeatCapacity   float64 // dry, J/(kg·K), > 0
	Lambda         float64 // dry, W/(m·K), > 0
	LambdaMoisture float64 // b_λ, ≥ 0
	Storage        Storage
	Liquid         Liquid
	Vapour         Vapour
}

func (m *Material) check() error {
	switch {
	case m == nil:
		return fmt.Errorf("transient: layer without material")
	case !(m.Density > 0 && m.HeatCapacity > 0 && m.Lambda > 0 && m.LambdaMoisture >= 0):
		return fmt.Errorf("transient: material %q: density %g, heat capacity %g and λ %g must be > 0, b_λ %g ≥ 0",
			m.Name, m.Density, m.HeatCapacity, m.Lambda, m.LambdaMoisture)
	case m.Storage == nil || m.Vapour == nil:
		return fmt.Errorf("transient: material %q: needs a storage and a vapour function", m.Name)
	case !(m.Storage.Free() > 0):
		return fmt.Errorf("transient: material %q: free saturation %g must be > 0", m.Name, m.Storage.Free())
	}
	return nil
}

// Mu is the vapour permeability δ_a/μ with a dry-cup and a wet-cup resistance
// factor; 1/μ runs linearly with RH between the mean RH of the two cups,
// 25 % and 71.5 % (EN ISO 12572 dry cup 0/50, wet cup 50/93).
type Mu struct {
	Dry, Wet float64 // > 0; Wet 0 means the same as Dry
}

// Permeability implements Vapour.
func (m Mu) Permeability(s, _ float64) float64 {
	wet := m.Wet
	if wet == 0 {
		wet = m.Dry
	}
	f := (math.Exp(-s/(rhoRv*kelvinRef)) - 0.25) / (0.715 - 0.25)
	f = math.Max(0, math.Min(1, f))
	return air.Permeability(10, air.StandardPressure) * ((1-f)/m.Dry + f/wet)
}

// Exponent implements Vapour (Künzel 1995: δ_a ∝ T^0.81).
func (m Mu) Exponent() float64 { return 0.81 }

// VapourFunc is a vapour permeability given as a closure of (s, w) at 10 °C.
type VapourFunc struct {
	F func(s, w float64) float64
	N float64
}

// Permeability implements Vapour.
func (v VapourFunc) Permeability(s, w float64) float64 { return v.F(s, w) }

// Exponent implements Vapour.
func (v VapourFunc) Exponent() float64 { return v.N }

// Suction returns the capillary suction in Pa in equilibrium with relative
// humidity rh (0–1, exclusive of 0) at theta °C (Kelvin).
func Suction(rh, theta float64) float64 {
	return -rhoRv * (theta + air.KelvinOffset) * math.Log(rh)
}

// Humidity is the inverse of Suction.
func Humidity(s, theta float64) float64 {
	return math.Exp(-s / (rhoRv * (theta + air.KelvinOffset)))
}
