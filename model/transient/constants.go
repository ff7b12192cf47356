package transient

import "wallsift/model/air"

const (
	latentHeat   = air.LatentHeat // J/kg, evaporation at 0 °C
	fusionHeat   = 3.34e5         // J/kg (handbook value)
	waterHeat    = 4186.0         // J/(kg·K), liquid water
	waterDensity = 1000.0         // kg/m³
	// rhoRv turns suction into the exponent of Kelvin's law, Pa/K.
	rhoRv = waterDensity * air.GasConstantVapour
	// kelvinRef is the temperature at which sorption data given as w(φ) are
	// read as w(suction), K.
	kelvinRef = 20 + air.KelvinOffset
	// freezeSuction is the suction that ice exerts on the unfrozen pore water
	// per kelvin below 0 °C (Clapeyron: ρ·L_f/T0), Pa/K.
	freezeSuction = waterDensity * fusionHeat / air.KelvinOffset
	stefan        = 5.670374e-8 // W/(m²·K⁴)
	hourSeconds   = 3600.0
)
