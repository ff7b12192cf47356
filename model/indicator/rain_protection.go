package indicator

// kgPerRootHour turns kg/(m²·√s) into kg/(m²·√h).
const kgPerRootHour = 60

// rainProtection grades the face against the rain load: no demand under a low
// load; w and s_d under a medium one; w, s_d and their product under a high
// one. Demand and limit are those of the measure that governs.
func rainProtection(in *RainInput) Value {
	l := in.Limits
	load := in.Rain.Annual
	if load < l.RainMediumFrom {
		return Value{Month: -1, Day: -1, Limit: l.RainWMedium, Demand: kgPerRootHour * in.Face.Aw, Applies: true}
	}
	w, sd := kgPerRootHour*in.Face.Aw, in.Face.Sd
	worst := value(sd, l.RainSdMax, -1)
	if load < l.RainHighFrom {
		return worse(worst, value(w, l.RainWMedium, -1))
	}
	worst = worse(worst, value(w, l.RainWHigh, -1))
	return worse(worst, value(w*sd, l.RainWSdMax, -1))
}

func worse(a, b Value) Value {
	if b.Utilisation > a.Utilisation {
		return b
	}
	return a
}
