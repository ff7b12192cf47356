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
	t      *table
	r      float64 // 1/length, 1/m
	kv, kl float64 // conductances for vapour pressure and potential
	v      vapour
	psi    float64 // potential at the face
	psiU   float64
}

func halfOf(c *cell, t *table, length float64) halfCell {
	r := 1 / length
	return halfCell{c: c, t: t, r: r, kv: c.del * r, kl: c.liq * r}
}

// look sets the state of the face to u in air a, and returns the flow that
// arrives from the centre and its slope in u.
func (h *halfCell) look(a *faceAir, u float64, wetting bool) (flow, slope float64) {
	g, q := h.t.locate(u)
	h.v = a.at(g, q)
	h.psi, h.psiU = g.potential(q, wetting)
	return h.kv*(h.c.p-h.v.p) + h.kl*(h.c.psi-h.psi), -h.kv*h.v.pU - h.kl*h.psiU
}

// shift moves the face by du, to first order.
func (h *halfCell) shift(du float64) {
	h.v.p += h.v.pU * du
	h.psi += h.psiU * du
}

// flow is a flow from the centre to the face and its derivatives: in the state
// of the cell (T, U) and in the face's temperature (F) and state (S).
type flow struct{ v, T, U, F, S float64 }

// vapour returns the part of the flow that is vapour.
func (h *halfCell) vapour() flow {
	c, dp := h.c, h.c.p-h.v.p
	return flow{h.kv * dp, h.r*c.delT*dp + h.kv*c.pT, h.r*c.delU*dp + h.kv*c.pU, -h.kv * h.v.pT, -h.kv * h.v.pU}
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

// film is what air film and coat conduct, and the temperature of the face.
type film struct {
	b, bT, bU    float64 // vapour, kg/(m²·s·Pa)
	ts, tsT, tsU float64 // °C
}

// eval computes the exchange between edge e and a cell in state x behind coat
// ifc, its half width length long. Radiation enters as a rise of the air
// temperature by Gain/h. The heat of evaporation at the face is neglected in the
// face's temperature.
func (f *edgeFlux) eval(e *Edge, c *cell, t *table, length float64, x pair, ifc *Interface, touch *contact, rain float64, wetting bool) {
	f.vap, f.liq, f.vapT, f.vapU, f.liqT, f.liqU = 0, 0, 0, 0, 0, 0
	f.q, f.qT, f.qU = 0, 0, 0
	f.limited = false
	m := film{ts: x.t, tsT: 1}
	if e.H > 0 {
		ri, ro := length/c.lam, 1/e.H+ifc.R
		k := 1 / (ri + ro)
		kU := k * k * ri / c.lam * c.lamU
		dT := e.Theta + e.Gain/e.H - x.t
		f.q, f.qT, f.qU = k*dT, -k, kU*dT
		m.ts, m.tsT, m.tsU = x.t+k*ri*dT, 1-k*ri, -ro*kU*dT
	}
	if e.Beta > 0 {
		sd, slope := ifc.Sd, 0.0
		var rh vapour
		if len(ifc.Curve) > 0 {
			a := airAt(x.t)
			v := a.at(t.locate(x.u))
			rh = a.humidity(&v, a.dry())
			sd, slope = ifc.sd(rh.p)
		}
		m.b = 1 / (1/min(e.Beta, mostBeta) + sd/deltaAir)
		m.bT, m.bU = -m.b*m.b*slope/deltaAir*rh.pT, -m.b*m.b*slope/deltaAir*rh.pU
	}
	h, a := halfOf(c, t, length), airAt(m.ts)
	switch {
	case touch.on:
		h.look(&a, touch.u, true)
		p, g := h.vapour(), h.flow()
		f.vap, f.vapT, f.vapU = -p.v, -(p.T + p.F*m.tsT), -(p.U + p.F*m.tsU)
		f.liq, f.liqT, f.liqU = p.v-g.v, p.T-g.T, p.U-g.U
	case m.b > 0 || rain > 0:
		f.exchange(e.P, &h, &a, &m, x, rain, !ifc.breaks(), wetting)
	}
	hv := latentHeat + waterHeat*x.t
	cw := waterHeat * math.Max(e.Theta, 0)
	f.q += hv*f.vap + cw*f.liq
	f.qT += hv*f.vapT + waterHeat*f.vap + cw*f.liqT
	f.qU += hv*f.vapU + cw*f.liqU
}

// exchange solves for the state of the face, where what the air and the rain
// bring is what the half cell takes, and sets vapour and liquid flows. Where that
// would take suction below zero the face is full, and the rest, rain or dew, runs
// off, unless the face never sheds.
func (f *edgeFlux) exchange(pe float64, h *halfCell, a *faceAir, m *film, x pair, rain float64, sheds, wetting bool) {
	s := root{uMin, uMax}
	u := f.u + clamp(f.uT*(x.t-f.x.t)+f.uU*(x.u-f.x.u), 0.5)
	if sheds {
		u = max(u, 0)
	}
	unsaturated := !sheds // known to have its root above zero suction
	for k := 0; k < faceIterations; k++ {
		g, slope := h.look(a, u, wetting)
		r := m.b*(pe-h.v.p) + rain + g
		if sheds && u == 0 {
			if r >= 0 {
				f.limited = true
				break
			}
			unsaturated = true
		}
		w, done := s.next(u, r, slope-m.b*h.v.pU)
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
	g, dp := h.flow(), pe-h.v.p
	// How the face follows the cell: not at all when full.
	var uT, uU float64
	if d := g.S - m.b*h.v.pU; d > 0 && !f.limited {
		uT = -(m.bT*dp - m.b*h.v.pT*m.tsT + g.T + g.F*m.tsT) / d
		uU = -(m.bU*dp - m.b*h.v.pT*m.tsU + g.U + g.F*m.tsU) / d
	}
	f.u, f.x, f.uT, f.uU = u, x, uT, uU
	f.vap = m.b * dp
	f.vapT = m.bT*dp - m.b*(h.v.pT*m.tsT+h.v.pU*uT)
	f.vapU = m.bU*dp - m.b*(h.v.pT*m.tsU+h.v.pU*uU)
	f.liq = rain
	if f.limited {
		f.liq = -g.v - f.vap
		f.liqT = -(g.T + g.F*m.tsT) - f.vapT
		f.liqU = -(g.U + g.F*m.tsU) - f.vapU
	}
}
