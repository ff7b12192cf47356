package indicator

import "wallsift/model/steady"

var surfaceMould = measure{
	name: "surface_mould", label: "mould at the inner surface", unit: "1",
	judge: (*Workspace).surfaceMould,
	monthly: Info{
		Demand:  "temperature deficit of the surface in corners and behind furniture, 1 - fRsi",
		Limit:   "largest deficit in the worst month, 1 - fRsi,min",
		Formula: "fRsi = (Rse + R) / (Rse + R + Rsi), Rsi 0.25 m2K/W; fRsi,min = (theta_dew(p_i / 0.80) - theta_e) / (theta_i - theta_e)",
		Source:  "ISO 13788:2012 clause 5",
	},
	hourly: Info{
		Demand:  "highest mould index in corners and behind furniture, sensitive surface, mean years and then the year judged",
		Limit:   "mould index that indoor air may meet",
		Formula: "dM/dt = k1 k2 / (7 t_m); theta = theta_i - 0.25 q', q' the hourly heat flow with Rsi 0.25 m2K/W; phi = p_i / p_sat(theta)",
		Source:  "Hukka & Viitanen 1999, Ojanen et al. 2010, from memory; Rsi ISO 13788:2012 clause 4",
	},
}

// surfaceMould compares the temperature deficit of the inner surface with the
// largest one that keeps the worst month's surface humidity at rhMax. Written
// as deficits (1 - fRsi) the utilisation is proportional to what the wall
// loses at the surface; it is 1 exactly where fRsi equals fRsi,min.
func (in *Monthly) surfaceMould() Finding {
	need, month := steady.FRsiMin(in.Months, in.Limits.SurfaceRH)
	if month < 0 {
		return nothing
	}
	f := steady.FRsi(in.Wall.Resistance(), in.Limits.Rse, in.Limits.RsiMould)
	return Compare(1-f, 1-need, month)
}

var coldFaceMould = measure{
	name: "cold_face_mould", label: "mould at the cold face of the insulation", unit: "1",
	hourly: Info{
		Demand:  "highest mould index at the cold face of the insulation, medium resistant surface, mean years and then the year judged",
		Limit:   "mould index of ASHRAE 160",
		Formula: "dM/dt = k1 k2 / (7 t_m)",
		Source:  "Hukka & Viitanen 1999, Ojanen et al. 2010; limit ASHRAE 160; from memory",
	},
}
