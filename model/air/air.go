// Package air holds the properties of moist air that every other chapter of
// the model uses. It refuses to know about walls or weather.
package air

import "math"

// Physical constants. Sources beside each.
const (
	// DeltaStandard is the vapour permeability of still air that ISO 13788 uses
	// for all its sums, kg/(m·s·Pa).
	DeltaStandard = 2e-10
	// GasConstantVapour is R/M of water vapour, J/(kg·K) (ISO 13788, 461.5).
	GasConstantVapour = 461.5
	// KelvinOffset converts °C to K.
	KelvinOffset = 273.15
	// LatentHeat of evaporation, J/kg, taken constant (EN 15026).
	LatentHeat = 2.5e6
	// StandardPressure is the standard atmosphere, Pa.
	StandardPressure = 101325
)

// Psat returns the saturation vapour pressure in Pa over water for theta ≥ 0
// and over ice below, theta in °C, −40…60. Source: ISO 13788, annex E.
func Psat(theta float64) float64 {
	if theta >= 0 {
		return 610.5 * math.Exp(17.269*theta/(237.3+theta))
	}
	return 610.5 * math.Exp(21.875*theta/(265.5+theta))
}

// DewPoint returns the temperature in °C at which p (Pa, > 0) saturates: the
// inverse of Psat. Source: ISO 13788, annex E.
func DewPoint(p float64) float64 {
	l := math.Log(p / 610.5)
	if l >= 0 {
		return 237.3 * l / (17.269 - l)
	}
	return 265.5 * l / (21.875 - l)
}

// VapourPressure returns the partial pressure in Pa of air at theta (°C) that
// holds density kg of vapour a cubic metre (ideal gas).
func VapourPressure(density, theta float64) float64 {
	return density * GasConstantVapour * (theta + KelvinOffset)
}

// Permeability returns the vapour permeability of still air in kg/(m·s·Pa) at
// theta (°C) and atmospheric pressure p (Pa). Source: Künzel 1995.
func Permeability(theta, p float64) float64 {
	return 2.0e-7 * math.Pow(theta+KelvinOffset, 0.81) / p
}

// The table spans what walls meet, finely enough that straight lines between
// its points are within 4e-6 of the formula.
const (
	tableFrom = -40.0
	tableTo   = 60.0
	tableStep = 0.05
	tableSize = int((tableTo-tableFrom)/tableStep) + 2
)

var psatTable = func() *[tableSize]float64 {
	t := new([tableSize]float64)
	for i := range t {
		t[i] = Psat(tableFrom + float64(i)*tableStep)
	}
	return t
}()

// PsatFast is Psat read from a table, for inner loops: within 4e-6 of the
// formula from −40 to 60 °C, and the formula itself outside that range.
func PsatFast(theta float64) float64 {
	x := (theta - tableFrom) * (1 / tableStep)
	if !(x >= 0 && x < float64(tableSize-2)) {
		return Psat(theta)
	}
	i := int(x)
	a := psatTable[i]
	return a + (x-float64(i))*(psatTable[i+1]-a)
}
