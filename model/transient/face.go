package transient

import "math"

// Faces are solved for. Between a cell's centre and its face vapour and liquid
// run side by side, so that a wet cell brings water to its face as liquid and it
// evaporates there, not half a cell deep; without this the width of the cell at
// a face rules how fast a wall dries.

// halfCell is the way from a cell's centre to one of its faces, with the state
// of that face in the last trial of the local solve.
type halfCell struct {
	c      *cell
	t      *Compiled
	r      float64 // 1/length, 1/m
	kv, kl float64 // conductances for vapour pressure and potential
	p      dual    // vapour pressure at the face, Pa
	psi    float64 // potential at the face
	psiU   float64
}

func halfOf(c *cell, t *Compiled, length float64) halfCell {
	r := 1 / length
	return halfCell{c: c, t: t, r: r, kv: c.del * r, kl: c.liq * r}
}

// look sets the state of the face to u in air a, and returns the flow that
// arrives from the centre and its slope in u.
func (h *halfCell) look(a *faceAir, u float64, wetting bool) (flow, slope float64) {
	g, q := h.t.locate(u)
	h.p = a.at(g, q)
	h.psi, h.psiU = g.potential(q, wetting)
	return h.kv*(h.c.p-h.p.v) + h.kl*(h.c.psi-h.psi), -h.kv*h.p.u - h.kl*h.psiU
}

// shift moves the face by du, to first order.
func (h *halfCell) shift(du float64) {
	h.p.v += h.p.u * du
	h.psi += h.psiU * du
}

// flow is a flow from the centre to the face and its derivatives: in the state
// of the cell (T, U) and in the face's temperature (F) and state (S).
type flow struct{ v, T, U, F, S float64 }

// vapour returns the part of the flow that is vapour.
func (h *halfCell) vapour() flow {
	c, dp := h.c, h.c.p-h.p.v
	return flow{h.kv * dp, h.r*c.delT*dp + h.kv*c.pT, h.r*c.delU*dp + h.kv*c.pU, -h.kv * h.p.t, -h.kv * h.p.u}
}

// flow returns the whole flow.
func (h *halfCell) flow() flow {
	f, c, d := h.vapour(), h.c, h.r*(h.c.psi-h.psi)
	f.v += c.liq * d
	f.T += c.liqT * d
	f.U += c.liqU*d + h.kl*c.psiU
	f.S -= h.kl * h.psiU
	return f
}

// faceAccuracy is the last Newton step of a local solve, in u, that is taken to
// first order only: what it leaves is of its square. (Only the test of the
// Jacobian changes it.)
var faceAccuracy = 0.01

// faceIterations bounds the local solves at faces.
const faceIterations = 60

// root is a safeguarded Newton search for the zero of a rising function.
type root struct{ lo, hi float64 }

// next returns the next trial after value e with slope d at u, and whether u is
// settled.
func (r *root) next(u, e, d float64) (float64, bool) {
	if e > 0 {
		r.hi = u
	} else {
		r.lo = u
	}
	v := r.lo - 1 // nowhere: bisect
	if d > 0 {
		v = u - e/d
	}
	if !(v >= r.lo && v <= r.hi) {
		v = 0.5 * (r.lo + r.hi)
	}
	return v, abs(v-u) < faceAccuracy || r.hi-r.lo < faceAccuracy
}

// path is a flow from outside the wall into a cell, kg/(m²·s) or W/m², with its
// derivatives in the unknowns of the cell, and what has passed. That is integrated
// over time with the same formula as the cells, so that what left the books on one
// side arrives on the other to round-off.
type path struct {
	dual
	last  float64 // passed in the last step
	total float64 // passed since the books were opened
}

// add books a step of length dt after the last correction x of the cell (ra0 is
// 1/a₀): the flow is linearised about the last Newton iterate like the amounts.
func (p *path) add(dt float64, x pair, a1, ra0 float64) {
	p.last = (dt*(p.v+p.t*x.t+p.u*x.u) + a1*p.last) * ra0
	p.total += p.last
}

// edgeFlux is the exchange at a boundary face, positive into the wall.
type edgeFlux struct {
	vap, liq, q path
	limited     bool // the face is full and sheds water
	u           dual // state of the face, start of the next local solve, and how it follows the cell
	x           pair // cell state u belongs to
}

// mostBeta stands for an infinite vapour transfer coefficient, kg/(m²·s·Pa):
// about a million times what any half cell conducts.
const mostBeta = 1e-2

// film is what air film and coat conduct, and the temperature of the face.
type film struct {
	b  dual // vapour, kg/(m²·s·Pa)
	ts dual // °C
}

// eval computes the exchange between edge e and a cell in state x behind coat
// ifc, its half width length long. Radiation enters as a rise of the air
// temperature by Gain/h. The heat of evaporation at the face is neglected in the
// face's temperature.
func (f *edgeFlux) eval(e *Edge, c *cell, t *Compiled, length float64, x pair, ifc *Interface, touch *contact, rain float64, wetting bool) {
	f.vap.dual, f.liq.dual, f.q.dual, f.limited = dual{}, dual{}, dual{}, false
	m := film{ts: dual{v: x.t, t: 1}}
	if e.H > 0 {
		ri, ro := length/c.lam, 1/e.H+ifc.R
		k := 1 / (ri + ro)
		kU := k * k * ri / c.lam * c.lamU
		dT := e.Theta + e.Gain/e.H - x.t
		f.q.dual = dual{k * dT, -k, kU * dT}
		m.ts = dual{x.t + k*ri*dT, 1 - k*ri, -ro * kU * dT}
	}
	if e.Beta > 0 {
		sd, slope := ifc.Sd, 0.0
		var rh dual
		if len(ifc.Curve) > 0 {
			a := airAt(x.t)
			p := a.at(t.locate(x.u))
			rh = a.humidity(&p, a.dry())
			sd, slope = ifc.sd(rh.v)
		}
		b := 1 / (1/min(e.Beta, mostBeta) + sd/deltaAir)
		m.b = dual{b, -b * b * slope / deltaAir * rh.t, -b * b * slope / deltaAir * rh.u}
	}
	h, a := halfOf(c, t, length), airAt(m.ts.v)
	switch {
	case touch.on:
		h.look(&a, touch.u, true)
		p, g := h.vapour(), h.flow()
		f.vap.dual = dual{-p.v, -(p.T + p.F*m.ts.t), -(p.U + p.F*m.ts.u)}
		f.liq.dual = dual{p.v - g.v, p.T - g.T, p.U - g.U}
	case m.b.v > 0 || rain > 0:
		f.exchange(e.P, &h, &a, &m, x, rain, !ifc.breaks(), wetting)
	}
	hv := latentHeat + waterHeat*x.t
	cw := waterHeat * math.Max(e.Theta, 0)
	f.q.v += hv*f.vap.v + cw*f.liq.v
	f.q.t += hv*f.vap.t + waterHeat*f.vap.v + cw*f.liq.t
	f.q.u += hv*f.vap.u + cw*f.liq.u
}

// exchange solves for the state of the face, where what the air and the rain
// bring is what the half cell takes, and sets vapour and liquid flows. Where that
// would take suction below zero the face is full, and the rest, rain or dew, runs
// off, unless the face never sheds.
func (f *edgeFlux) exchange(pe float64, h *halfCell, a *faceAir, m *film, x pair, rain float64, sheds, wetting bool) {
	s := root{uMin, uMax}
	u := f.u.v + clamp(f.u.t*(x.t-f.x.t)+f.u.u*(x.u-f.x.u), 0.5)
	if sheds {
		u = max(u, 0)
	}
	unsaturated := !sheds // known to have its root above zero suction
	for k := 0; k < faceIterations; k++ {
		g, slope := h.look(a, u, wetting)
		r := m.b.v*(pe-h.p.v) + rain + g
		if sheds && u == 0 {
			if r >= 0 {
				f.limited = true
				break
			}
			unsaturated = true
		}
		w, done := s.next(u, r, slope-m.b.v*h.p.u)
		if !unsaturated && w < 1e-3 {
			u = 0 // look there first
			continue
		}
		du := w - u
		u = w
		if done {
			h.shift(du)
			break
		}
	}
	g, dp := h.flow(), pe-h.p.v
	f.u, f.x = dual{v: u}, x // a full face does not follow the cell
	if d := g.S - m.b.v*h.p.u; d > 0 && !f.limited {
		f.u.t = -(m.b.t*dp - m.b.v*h.p.t*m.ts.t + g.T + g.F*m.ts.t) / d
		f.u.u = -(m.b.u*dp - m.b.v*h.p.t*m.ts.u + g.U + g.F*m.ts.u) / d
	}
	f.vap.dual = dual{m.b.v * dp, m.b.t*dp - m.b.v*(h.p.t*m.ts.t+h.p.u*f.u.t), m.b.u*dp - m.b.v*(h.p.t*m.ts.u+h.p.u*f.u.u)}
	f.liq.v = rain
	if f.limited {
		f.liq.dual = dual{-g.v - f.vap.v, -(g.T + g.F*m.ts.t) - f.vap.t, -(g.U + g.F*m.ts.u) - f.vap.u}
	}
}
