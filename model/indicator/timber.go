package indicator

var timberHumidity = measure{
	name: "timber_humidity", label: "humidity at embedded timber", unit: "1",
	judge: (*Workspace).timberHumidity,
	monthly: Info{
		Demand:  "monthly mean pore humidity at the timber",
		Limit:   "pore humidity limit at its temperature",
		Formula: "phi = p / p_sat(theta); limit falls in a straight line from 0 to 30 degC",
		Source:  "WTA 6-8, from memory, applied to monthly means",
	},
	hourly: Info{
		Demand:  "highest daily mean of the pore humidity at the timber, against its limit",
		Limit:   "pore humidity limit at its temperature",
		Formula: "limit falls in a straight line from 0 to 30 degC",
		Source:  "WTA 6-8, from memory",
	},
}

// timberHumidity compares the monthly humidity at the embedded timber with the
// pore humidity limit at its temperature, and returns the worst month.
func (ws *Workspace) timberHumidity() Finding {
	if !ws.Timber {
		return nothing
	}
	worst := nothing
	for m := range ws.Year.MarkRH {
		worst = Worse(worst, Compare(ws.Year.MarkRH[m], ws.Limits.Timber.At(ws.Year.MarkTheta[m]), m))
	}
	return worst
}

var timberMoisture = measure{
	name: "timber_moisture", label: "moisture content of embedded timber", unit: "kg/kg",
	hourly: Info{
		Demand:  "highest moisture content of a timber end that follows the pore humidity",
		Limit:   "bound of caution",
		Formula: "Hailwood-Horrobin isotherm with a lag of five days",
		Source:  "Wood Handbook FPL-GTR-190 chapter 4, from memory",
	},
}

var timberDecay = measure{
	name: "timber_decay", label: "rot of embedded timber", unit: "1",
	hourly: Info{
		Demand:  "activation of brown rot in pine sapwood, mean years and then the year judged",
		Limit:   "activation at which rot begins",
		Formula: "d alpha = dt / t_crit(theta, RH) from 95 % relative humidity, slow recovery below",
		Source:  "Viitanen et al. 2010, from memory",
	},
}
