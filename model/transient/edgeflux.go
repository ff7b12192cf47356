package transient

import "math"

// edgeFlux is the exchange at a boundary face, positive into the wall, with its
// derivatives in the unknowns of the cell behind the face.
type edgeFlux struct {
	vap, liq, q float64 // kg/(m²·s), kg/(m²·s), W/m²
	vapT, vapU  float64
	liqT, liqU  float64
	qT, qU      float64
	limited     bool    // the face is full and sheds water
	u           float64 // state of the face, start of the next local solve
	x           pair    // cell state u belongs to
	uT, uU      float64 // and how u follows it
}

// mostBeta stands for an infinite vapour transfer coefficient, kg/(m²·s·Pa):
// about a million times what any half cell conducts.
const mostBeta = 1e-2

// eval computes the exchange between edge e and a cell of half width h behind
// coat ifc. Radiation enters as a rise of the air temperature by Gain/h.
//
// The state of the face is solved for: what the air and the rain bring is what
// the half cell takes, by vapour and liquid. Where that would take suction below
// zero the face is full, and the rest, rain or dew, runs off.
func (f *edgeFlux) eval(e *Edge, a *halfCell, x pair, ifc *Interface, touch *contact, rain float64, wetting bool) {
	c := a.c
	f.vap, f.liq, f.vapT, f.vapU, f.liqT, f.liqU = 0, 0, 0, 0, 0, 0
	f.q, f.qT, f.qU = 0, 0, 0
	f.limited = false
	ts, tsT, tsU := x.t, 1.0, 0.0
	if e.H > 0 {
		ri, ro := a.h/c.lam, 1/e.H+ifc.R
		k := 1 / (ri + ro)
		kU := k * k * a.h / (c.lam * c.lam) * c.lamU
		dT := e.Theta + e.Gain/e.H - x.t
		f.q, f.qT, f.qU = k*dT, -k, kU*dT
		ts, tsT, tsU = x.t+k*ri*dT, 1-k*ri, -ro*kU*dT
	}
	// Conductance of film and coat.
	var b, bT, bU float64
	if e.Beta > 0 {
		sd, slope := ifc.Sd, 0.0
		var v vapour
		if len(ifc.Curve) > 0 {
			fa := airAt(x.t)
			v = fa.at(a.t, x.u)
			sd, slope = ifc.sd(v.rh)
		}
		b = 1 / (1/math.Min(e.Beta, mostBeta) + sd/deltaAir)
		bT, bU = -b*b*slope/deltaAir*v.rhT, -b*b*slope/deltaAir*v.rhU
	}
	switch {
	case touch.on:
		fa := airAt(ts)
		v := fa.at(a.t, touch.u)
		p, q := a.eval(&v, touch.u, true)
		f.vap, f.vapT, f.vapU = -p.v, -(p.T + p.F*tsT), -(p.U + p.F*tsU)
		f.liq, f.liqT, f.liqU = -q.v, -q.T, -q.U
	case b > 0 || rain > 0:
		f.exchange(e, a, x, ts, tsT, tsU, b, bT, bU, rain, !ifc.breaks(), wetting)
	}
	hv := latentHeat + waterHeat*x.t
	cw := waterHeat * math.Max(e.Theta, 0)
	f.q += hv*f.vap + cw*f.liq
	f.qT += hv*f.vapT + waterHeat*f.vap + cw*f.liqT
	f.qU += hv*f.vapU + cw*f.liqU
}

// exchange solves for the face and sets vapour and liquid flows.
func (f *edgeFlux) exchange(e *Edge, a *halfCell, x pair, ts, tsT, tsU, b, bT, bU, rain float64, sheds, wetting bool) {
	s := root{uMin, uMax}
	u := f.u + clamp(f.uT*(x.t-f.x.t)+f.uU*(x.u-f.x.u), 0.5)
	if sheds {
		u = max(u, 0)
	}
	unsaturated := !sheds // known to have its root above zero suction
	fa := airAt(ts)
	var v vapour
	var g flow
	for k := 0; k < faceIterations; k++ {
		v = fa.at(a.t, u)
		p, q := a.eval(&v, u, wetting)
		g = p.plus(q)
		r := b*(e.P-v.p) + rain + g.v
		if sheds && u == 0 {
			if r >= 0 {
				f.limited = true
				break
			}
			unsaturated = true
		}
		w, done := s.next(u, r, -b*v.pU+g.S)
		if !unsaturated && w < 1e-3 {
			u = 0 // look there first
			continue
		}
		if done {
			v.p += v.pU * (w - u)
			g.v += g.S * (w - u)
			u = w
			break
		}
		u = w
	}
	f.u = u
	// How the face follows the cell: not at all when full.
	var uT, uU float64
	if d := -b*v.pU + g.S; d > 0 && !f.limited {
		uT = -(bT*(e.P-v.p) - b*v.pT*tsT + g.T + g.F*tsT) / d
		uU = -(bU*(e.P-v.p) - b*v.pT*tsU + g.U + g.F*tsU) / d
	}
	f.x, f.uT, f.uU = x, uT, uU
	f.vap = b * (e.P - v.p)
	f.vapT = bT*(e.P-v.p) - b*(v.pT*tsT+v.pU*uT)
	f.vapU = bU*(e.P-v.p) - b*(v.pT*tsU+v.pU*uU)
	f.liq = rain
	if f.limited {
		f.liq = -g.v - f.vap
		f.liqT = -(g.T + g.F*tsT) - f.vapT
		f.liqU = -(g.U + g.F*tsU) - f.vapU
	}
}
