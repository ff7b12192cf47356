package indicator

var condensate = measure{
	name: "condensate", label: "condensate within the wall", unit: "kg/m2",
	judge: (*Workspace).condensate,
	monthly: Info{
		Demand:  "most condensate held in the year",
		Limit:   "what the plane may hold",
		Formula: "g = 2e-10 (dp/ds_inner - dp/ds_outer), carried from month to month",
		Source:  "ISO 13788:2012 clause 6; limit DIN 4108-3, from memory",
	},
	hourly: Info{
		Demand:  "most water gathered in the lining beyond what it holds at 80 % relative humidity",
		Limit:   "what the lining may hold",
		Formula: "hourly water content of the layers inside the masonry",
		Source:  "limits DIN 4108-3, from memory",
	},
}

// condensate compares the most condensate held with what its plane may hold:
// less where one face of the plane cannot take up water.
func (ws *Workspace) condensate() Finding {
	c, p := &ws.Year, &ws.Profile
	absorbs := true
	if c.Plane > 0 && c.Plane < p.N-1 {
		absorbs = ws.absorbs(p.Layer[c.Plane]) && ws.absorbs(p.Layer[c.Plane+1])
	}
	return Compare(c.Peak, ws.Limits.CondensateLimit(absorbs), c.PeakMonth)
}

func (in *Monthly) absorbs(layer uint8) bool {
	return in.Wall.Layers[layer].Material.Aw.Typical >= in.Limits.AbsorbentAw
}

// CondensateLimit returns the water (kg/m²) that may gather where it is, or is
// not, taken up by capillarity.
func (l *Limits) CondensateLimit(absorbs bool) float64 {
	if absorbs {
		return l.Condensate
	}
	return l.CondensateNonabsorbent
}
