package transient

// join is what lies between two cells.
type join struct {
	rdx    float64 // 1/distance of the centres, 1/m
	wl, wr float64 // weights that interpolate cell values to the face
	hl, hr float64 // half widths, m
	// The rest is for cells of different layers.
	ifc        *Interface
	tl, tr     *Compiled
	vl, vr     float64 // weights of the two vapour flows in what crosses a contact: the side without liquid knows
	vapourOnly bool    // neither side conducts liquid
	ul, ur     float64 // last states of the two faces: start of the next local solve
	at         grad    // cell states they belong to
	dl, dr     grad    // and how they follow them
}

// grad holds derivatives in the states of the two cells: Tl, Ul, Tr, Ur.
type grad [4]float64

// warm makes the cells' own states the start of the next local solve.
func (j *join) warm(l, r pair) {
	j.ul, j.ur, j.at, j.dl, j.dr = l.u, r.u, grad{l.t, l.u, r.t, r.u}, grad{}, grad{}
}

// followed is where the faces are as they move along with the cells.
func (j *join) followed(l, r pair) (ul, ur float64) {
	d0, d1, d2, d3 := l.t-j.at[0], l.u-j.at[1], r.t-j.at[2], r.u-j.at[3]
	return j.ul + clamp(j.dl[0]*d0+j.dl[1]*d1+j.dl[2]*d2+j.dl[3]*d3, 0.5),
		j.ur + clamp(j.dr[0]*d0+j.dr[1]*d1+j.dr[2]*d2+j.dr[3]*d3, 0.5)
}

// resistances of heat on both sides of the middle of the interface, m²K/W.
func (j *join) resistances(a, b *cell) (l, r float64) {
	return j.hl/a.lam + 0.5*j.ifc.R, j.hr/b.lam + 0.5*j.ifc.R
}

// across computes the flux inwards over an interface between two layers, enthalpy
// and water per m² and second, and its derivatives in the unknowns of the cell
// outside (l) and inside (r). Heat passes three resistances in series. Moisture
// passes two half cells, each by vapour and liquid, whose face states are solved
// for here: one state where the layers touch, two with a membrane or gap in
// between, which only vapour crosses.
func (j *join) across(a, b *cell, xa, xb pair, wetting bool) (flow pair, l, r mat2) {
	rl, rr := j.resistances(a, b)
	rlU, rrU := -j.hl/(a.lam*a.lam)*a.lamU, -j.hr/(b.lam*b.lam)*b.lamU
	lam := 1 / (rl + rr)
	dT := xa.t - xb.t
	// Temperature of the interface, the heat of evaporation there neglected.
	om := rl * lam
	tg := grad{1 - om, -dT * rlU * (1 - om) * lam, om, dT * om * rrU * lam}
	air := airAt(xa.t - om*dT)
	ha, hb := halfOf(a, j.tl, j.hl), halfOf(b, j.tr, j.hr)
	j.ul, j.ur = j.followed(xa, xb) // the start of the local solve
	j.at = grad{xa.t, xa.u, xb.t, xb.u}
	var g, gv float64
	var gd, gvd grad
	if j.ifc.gap() {
		g, gd = j.overGap(&ha, &hb, &air, &tg, wetting)
		gv, gvd = g, gd
	} else {
		g, gd, gv, gvd = j.touching(&ha, &hb, &air, &tg, wetting)
	}
	cm := waterHeat * 0.5 * (xa.t + xb.t)
	half := 0.5 * waterHeat * g
	flow = pair{lam*dT + latentHeat*gv + cm*g, g}
	l = mat2{lam + latentHeat*gvd[0] + cm*gd[0] + half, -lam*lam*rlU*dT + latentHeat*gvd[1] + cm*gd[1], gd[0], gd[1]}
	r = mat2{-lam + latentHeat*gvd[2] + cm*gd[2] + half, -lam*lam*rrU*dT + latentHeat*gvd[3] + cm*gd[3], gd[2], gd[3]}
	return flow, l, r
}

// touching solves for the one state of two faces in contact. It returns the flow
// and the part of it that is vapour, with derivatives.
func (j *join) touching(l, r *halfCell, air *faceAir, tg *grad, wetting bool) (g float64, gd grad, gv float64, gvd grad) {
	u, s := j.ul, root{uMin, uMax}
	if j.vapourOnly {
		// Nothing but vapour: the face takes no suction below zero.
		s.lo = 0
		u = max(u, 0)
	}
	for k := 0; k < faceIterations; k++ {
		gl, sl := l.look(air, u, wetting)
		r.p = l.p // suction is common to both, so is the vapour
		g, q := r.t.locate(u)
		r.psi, r.psiU = g.potential(q, wetting)
		gr, sr := r.kv*(r.c.p-r.p.v)+r.kl*(r.c.psi-r.psi), -r.kv*r.p.u-r.kl*r.psiU
		// Both flows run from the centre to the face; what arrives leaves.
		w, done := s.next(u, gl+gr, sl+sr)
		du := w - u
		u = w
		if done {
			l.shift(du)
			r.shift(du)
			break
		}
	}
	j.ul = u
	a, b := l.flow(), r.flow()
	e := grad{a.T, a.U, b.T, b.U}
	ug := grad{} // du/dx
	// A full face is held; what condenses there stays in the cell it came from.
	full := j.vapourOnly && u < faceAccuracy && a.v+b.v > 0
	if d := a.S + b.S; d > 0 && !full {
		for k := range e {
			ug[k] = -(e[k] + (a.F+b.F)*tg[k]) / d
		}
	}
	j.dl = ug
	// Read the flow on the side that resists more: no cancellation there.
	wl, wr := 0.0, 1.0
	if full && b.v > 0 || !full && a.S < b.S {
		wl, wr = 1, 0
	}
	g, gd = between(wl, &a, wr, &b, tg, &ug)
	va, vb := l.vapour(), r.vapour()
	gv, gvd = between(j.vl, &va, j.vr, &vb, tg, &ug)
	return g, gd, gv, gvd
}

// between is the flow inwards as weighted from the flows of both half cells to
// the face, with its total derivatives while the face follows tg and ug.
func between(wl float64, a *flow, wr float64, b *flow, tg, ug *grad) (g float64, d grad) {
	f, s := wl*a.F-wr*b.F, wl*a.S-wr*b.S
	return wl*a.v - wr*b.v, grad{
		f*tg[0] + s*ug[0] + wl*a.T, f*tg[1] + s*ug[1] + wl*a.U,
		f*tg[2] + s*ug[2] - wr*b.T, f*tg[3] + s*ug[3] - wr*b.U,
	}
}

// overGap solves for the states of the two faces of a membrane or gap and
// returns the vapour that crosses, with derivatives. A variable retarder's s_d
// follows the mean RH of those faces. A face takes no suction below zero: vapour
// that would be above saturation there condenses and stays in the cell it came
// from.
func (j *join) overGap(l, r *halfCell, air *faceAir, tg *grad, wetting bool) (g float64, gd grad) {
	ul, ur := max(j.ul, 0), max(j.ur, 0)
	var c, cT, cl, cr float64 // crossing and its derivatives in the air's temperature, ul, ur
	var m mat2                // inverse of the balances' matrix; rows of a full face are zero
	dry := air.dry()
	for k := 0; ; k++ {
		a, sl := l.look(air, ul, wetting)
		b, sr := r.look(air, ur, wetting)
		hl, hr := air.humidity(&l.p, dry), air.humidity(&r.p, dry)
		sd, slope := j.ifc.sd(0.5 * (hl.v + hr.v))
		v := deltaAir / sd
		s := -v / sd * slope * 0.5
		dp := l.p.v - r.p.v
		c = v * dp
		cT = v*(l.p.t-r.p.t) + s*(hl.t+hr.t)*dp
		cl = v*l.p.u + s*hl.u*dp
		cr = -v*r.p.u + s*hr.u*dp
		// a − c = 0 and b + c = 0, unless the face is full.
		e1, e2 := a-c, b+c
		full1, full2 := ul == 0 && e1 > 0, ur == 0 && e2 > 0
		m = inverse(mat2{sl - cl, -cr, cl, sr + cr}, full1, full2)
		d1, d2 := clamp(-(m.tt*e1+m.tu*e2), maxDeltaU), clamp(-(m.ut*e1+m.uu*e2), maxDeltaU)
		d1, d2 = max(0, min(uMax, ul+d1))-ul, max(0, min(uMax, ur+d2))-ur
		// Newton may come to rest where pressure hardly varies with u, its steps
		// cut at the end of the range: only a closed balance is a solution.
		open := 0.0
		if !full1 {
			open = abs(e1)
		}
		if !full2 {
			open += abs(e2)
		}
		rest := abs(d1) < faceAccuracy && abs(d2) < faceAccuracy
		closed := max(ul, ur) < dryFace || open <= 1e-2*(abs(a)+abs(b)+abs(c))
		if rest && closed {
			c += cl*d1 + cr*d2
			break
		}
		if k > gapIterations {
			break // at the bisected states
		}
		ul, ur = ul+d1, ur+d2
		if k == gapIterations || rest {
			k = gapIterations
			ul, ur = j.bisectGap(l, r, air, wetting)
		}
	}
	j.ul, j.ur = ul, ur
	a, b := l.flow(), r.flow()
	own := [2]grad{{a.T, a.U, 0, 0}, {0, 0, b.T, b.U}}
	for k := range gd {
		x1, x2 := own[0][k]+(a.F-cT)*tg[k], own[1][k]+(b.F+cT)*tg[k]
		j.dl[k], j.dr[k] = -(m.tt*x1 + m.tu*x2), -(m.ut*x1 + m.uu*x2)
		gd[k] = cT*tg[k] + cl*j.dl[k] + cr*j.dr[k]
	}
	return c, gd
}

const (
	// dryFace is the state beyond which pressure hardly varies with u (φ < 0.1 %).
	dryFace = 9.0
	// gapIterations is how long Newton's method is tried over a gap before
	// bisection: a steep or kinked retarder curve can make it swing.
	gapIterations = 20
)

// bisectGap finds the two face states by nested bisection.
func (j *join) bisectGap(l, r *halfCell, air *faceAir, wetting bool) (ul, ur float64) {
	dry := air.dry()
	cross := func() float64 {
		sd, _ := j.ifc.sd(0.5 * (l.p.v + r.p.v) * dry)
		return deltaAir / sd * (l.p.v - r.p.v)
	}
	ul = bisect(func(u float64) float64 {
		c, _ := l.look(air, u, wetting)
		r.look(air, bisect(func(u float64) float64 {
			b, _ := r.look(air, u, wetting)
			return b + c
		}), wetting)
		return c - cross()
	})
	l.look(air, ul, wetting)
	return ul, bisect(func(u float64) float64 {
		b, _ := r.look(air, u, wetting)
		return b + cross()
	})
}

// bisect returns the zero of a rising function of u between zero suction and
// dryness, or the end it lies beyond.
func bisect(f func(float64) float64) float64 {
	lo, hi := 0.0, uMax
	if f(lo) >= 0 {
		return lo
	}
	for k := 0; k < 50; k++ {
		if m := 0.5 * (lo + hi); f(m) > 0 {
			hi = m
		} else {
			lo = m
		}
	}
	return 0.5 * (lo + hi)
}

// inverse inverts m, leaving out unknowns that are held.
func inverse(m mat2, hold1, hold2 bool) mat2 {
	det := m.tt*m.uu - m.tu*m.ut
	switch {
	case hold1 && !hold2 && m.uu != 0:
		return mat2{uu: 1 / m.uu}
	case hold2 && !hold1 && m.tt != 0:
		return mat2{tt: 1 / m.tt}
	case !hold1 && !hold2 && det != 0:
		return mat2{m.uu / det, -m.tu / det, -m.ut / det, m.tt / det}
	}
	return mat2{}
}
