package indicator

import (
	"wallsift/model/steady"
	"wallsift/model/wall"
)

// condensate compares the most condensate held with what its plane may hold:
// less where one face of the plane cannot take up water.
func condensate(in *HeatInput, p *steady.Profile, c *steady.Condensation) Value {
	limit := in.Limits.Condensate
	if c.Plane > 0 && c.Plane < p.N-1 {
		outer := &in.Wall.Layers[p.Layer[c.Plane]]
		inner := &in.Wall.Layers[p.Layer[c.Plane+1]]
		if !absorbs(outer, in.Limits.AbsorbentAw) || !absorbs(inner, in.Limits.AbsorbentAw) {
			limit = in.Limits.CondensateNonabsorbent
		}
	}
	return value(c.Peak, limit, c.PeakMonth)
}

func absorbs(l *wall.Layer, awMin float64) bool { return l.Material.Aw.Typical >= awMin }
