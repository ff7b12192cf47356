package transient

// sourceKind says what feeds or drains a cell besides its faces.
type sourceKind int

const (
	deposit sourceKind = iota // driving rain behind the face
	vent                      // outdoor air through a cavity
	drain                     // water running out of a cavity
)

// source is one such path of one cell, per m² of wall and positive into the cell.
type source struct {
	kind sourceKind
	cell int
	coef float64 // deposit: share; vent: air flow m³/(m²·s); drain: m/s of the cell
	g, q path    // water and heat
}

const (
	airHeat   = 1200.0 // ρ·c of air, J/(m³·K)
	drainTime = 3600.0 // s
)

func (s *source) eval(e *Edge, c *cell, x pair, wf float64) {
	s.g.dual, s.q.dual = dual{}, dual{}
	switch s.kind {
	case deposit:
		if e.Rain <= 0 {
			return
		}
		// Full pores take no more: fade out over the last 2 % of free saturation.
		room, roomU := (wf-c.w)/(0.02*wf), -c.wU/(0.02*wf)
		if room >= 1 {
			room, roomU = 1, 0
		} else if room <= 0 {
			room, roomU = 0, 0
		}
		s.g.v, s.g.u = s.coef*e.Rain*room, s.coef*e.Rain*roomU
		cw := waterHeat * max(e.Theta, 0)
		s.q.v, s.q.u = cw*s.g.v, cw*s.g.u
	case vent:
		k := s.coef / (461.5 * (e.Theta + 273.15))
		s.g.dual = dual{k * (e.P - c.p), -k * c.pT, -k * c.pU}
		hv := latentHeat + waterHeat*x.t
		s.q.dual = dual{s.coef*airHeat*(e.Theta-x.t) + hv*s.g.v, -s.coef*airHeat + hv*s.g.t + waterHeat*s.g.v, hv * s.g.u}
	case drain:
		over := c.w - wf
		if over <= 0 {
			return
		}
		s.g.v, s.g.u = -s.coef*over, -s.coef*c.wU
		cw := waterHeat * x.t
		s.q.dual = dual{cw * s.g.v, waterHeat * s.g.v, cw * s.g.u}
	}
}
