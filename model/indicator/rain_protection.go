package indicator

var rainProtection = measure{
	name: "rain_protection", label: "rain protection of the face", unit: "kg/m2h05",
	judge: (*Workspace).rainProtection,
	monthly: Info{
		Demand:  "water absorption w of the face, or s_d, or w s_d, whichever governs",
		Limit:   "what the rain load on the wall allows",
		Formula: "w = 60 A_w; load from I_WA = I_A C_R C_T O W",
		Source:  "DIN 4108-3, from memory; rain load ISO 15927-3",
	},
}

// kgPerRootHour turns kg/(m²·√s) into kg/(m²·√h).
const kgPerRootHour = 60

// rainProtection grades the face against the rain load: no demand under a low
// load; w and s_d under a medium one; w, s_d and their product under a high
// one. Demand and limit are those of the measure that governs.
func (in *Monthly) rainProtection() Finding {
	l, load := in.Limits, in.Rain.Annual
	w, sd := kgPerRootHour*in.Wall.Face.Aw, in.Wall.Face.Sd
	if load < l.RainMediumFrom {
		return Finding{Month: -1, Day: -1, Limit: l.RainWMedium, Demand: w, Applies: true}
	}
	worst := Compare(sd, l.RainSdMax, -1)
	if load < l.RainHighFrom {
		return Worse(worst, Compare(w, l.RainWMedium, -1))
	}
	worst = Worse(worst, Compare(w, l.RainWHigh, -1))
	return Worse(worst, Compare(w*sd, l.RainWSdMax, -1))
}
