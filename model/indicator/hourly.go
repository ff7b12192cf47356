package indicator

// hourly describes the indicators of the transient tier; model/damage has the
// equations, model/transient the transport behind them.
var hourly = [Count]Info{
	SurfaceMould: {
		Unit:    "1",
		Demand:  "highest mould index at the inner surface, sensitive surface",
		Limit:   "mould index that indoor air may meet",
		Formula: "dM/dt = k1 k2 / (7 t_m), years repeated until the index does",
		Source:  "Hukka & Viitanen 1999, Ojanen et al. 2010, from memory",
	},
	ColdFaceMould: {
		Unit:    "1",
		Demand:  "highest mould index at the cold face of the insulation, medium resistant surface",
		Limit:   "mould index of ASHRAE 160",
		Formula: "dM/dt = k1 k2 / (7 t_m), years repeated until the index does",
		Source:  "Hukka & Viitanen 1999, Ojanen et al. 2010; limit ASHRAE 160; from memory",
	},
	Condensate: {
		Unit:    "kg/m2",
		Demand:  "most water gathered in the lining beyond what it holds at 80 % relative humidity",
		Limit:   "what the lining may hold",
		Formula: "hourly water content of the layers inside the masonry",
		Source:  "limits DIN 4108-3, from memory",
	},
	DryingReserve: {
		Unit:    "kg/m2a",
		Demand:  "wetting of a year by air leaks, beyond the rain behind the face that the year has already",
		Limit:   "what is gone after a year of water put on the critical face of the masonry",
		Formula: "reserve = pulse - water still stored after a year",
		Source:  "wetting DIN 68800-2 and ASHRAE 160, from memory; test common practice, no source",
	},
	TimberHumidity: {
		Unit:    "1",
		Demand:  "highest daily mean of the pore humidity at the timber, against its limit",
		Limit:   "pore humidity limit at its temperature",
		Formula: "limit falls in a straight line from 0 to 30 degC",
		Source:  "WTA 6-8, from memory",
	},
	TimberMoisture: {
		Unit:    "kg/kg",
		Demand:  "highest moisture content of a timber end that follows the pore humidity",
		Limit:   "bound of caution",
		Formula: "Hailwood-Horrobin isotherm with a lag of five days",
		Source:  "Wood Handbook FPL-GTR-190 chapter 4, from memory",
	},
	TimberDecay: {
		Unit:    "1",
		Demand:  "activation of brown rot in pine sapwood, and from 1 on the dry mass lost in five such years, percent, on top",
		Limit:   "activation at which rot begins",
		Formula: "d alpha = dt / t_crit(theta, RH) from 95 % relative humidity, slow recovery below",
		Source:  "Viitanen et al. 2010, from memory",
	},
	WetFront: {
		Unit:    "m",
		Demand:  "deepest place in the masonry that fills beyond the threshold",
		Limit:   "share of the masonry that may be wetted",
		Formula: "daily profile of water content over free saturation",
		Source:  "common practice, no source",
	},
	Frost: {
		Unit:    "1/a",
		Demand:  "freeze-thaw cycles above critical saturation that the strategy adds",
		Limit:   "cycles a year that may be added",
		Formula: "cycles through -1 degC with w >= S_crit porosity 1000, with less without the strategy",
		Source:  "Fagerlund's critical saturation, from memory; limit a screening choice of this tool",
	},
}
