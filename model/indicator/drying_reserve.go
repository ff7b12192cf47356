package indicator

var dryingReserve = measure{
	name: "drying_reserve", label: "drying reserve", unit: "kg/m2a",
	judge: (*Workspace).dryingReserve,
	monthly: Info{
		Demand:  "water that comes in each year (condensate, rain behind the face, 0.1 kg/m2 by air leaks)",
		Limit:   "water the plane can give off in a year",
		Formula: "sum over months of 2e-10 ((p_sat - p_e) / s_outer + (p_sat - p_i) / s_inner) t, where positive",
		Source:  "ISO 13788:2012 clause 6.4.4; incidental wetting DIN 68800-2, from memory",
	},
	hourly: Info{
		Demand:  "wetting of a year by air leaks",
		Limit:   "what the critical face could give off beyond what it does, if it were wet",
		Formula: "sum over hours of 2e-10 (p_sat - p) (1 / s_inner + 1 / s_outer) t",
		Source:  "wetting DIN 68800-2, from memory; reserve after ISO 13788:2012 clause 6.4.4",
	},
}

// dryingReserve compares the water that comes to the critical plane in a year
// with what the plane could give off. The plane is the face of the masonry
// that the insulation covers.
func (ws *Workspace) dryingReserve() Finding {
	node := ws.Profile.Inner
	if ws.Exterior {
		node = ws.Profile.Outer
	}
	wetting := ws.Limits.AirLeak + ws.LeakShare*ws.Rain.Annual + ws.Year.Condensed
	return Compare(wetting, ws.Solver.DryingCapacity(&ws.Profile, ws.Months, node), -1)
}
