package transient

// Derivatives over an interface are kept in the order Tl, Ul, Tr, Ur.
type grad [4]float64

// across computes the flux over an interface between two layers. Heat passes
// three resistances in series. Moisture passes two half cells, each by vapour
// and liquid, whose face states are solved for here: one state where the layers
// touch, two with a membrane or gap in between, which only vapour crosses.
func (f *flux) across(j *join, a, b *cell, xa, xb pair, wetting bool) {
	rl, rr := j.hl/a.lam+0.5*j.ifc.R, j.hr/b.lam+0.5*j.ifc.R
	rlU, rrU := -j.hl/(a.lam*a.lam)*a.lamU, -j.hr/(b.lam*b.lam)*b.lamU
	lam := 1 / (rl + rr)
	dT := xa.t - xb.t
	// Temperature of the interface, the heat of evaporation there neglected.
	om := rl * lam
	tf := xa.t - om*dT
	tg := grad{1 - om, -dT * rlU * (1 - om) * lam, om, dT * om * rrU * lam}

	l, r := halfCell{a, j.tl, j.hl}, halfCell{b, j.tr, j.hr}
	j.follow(xa, xb)
	var g, gv float64
	var gd, gvd grad
	if j.ifc.gap() {
		g, gd = j.overGap(&l, &r, tf, &tg, wetting)
		gv, gvd = g, gd
	} else {
		g, gd, gv, gvd = j.touching(&l, &r, tf, &tg, wetting)
	}
	f.g = g
	f.glT, f.glU, f.grT, f.grU = gd[0], gd[1], gd[2], gd[3]
	cm := waterHeat * 0.5 * (xa.t + xb.t)
	half := 0.5 * waterHeat * g
	f.q = lam*dT + latentHeat*gv + cm*g
	f.qlT = lam + latentHeat*gvd[0] + cm*gd[0] + half
	f.qlU = -lam*lam*rlU*dT + latentHeat*gvd[1] + cm*gd[1]
	f.qrT = -lam + latentHeat*gvd[2] + cm*gd[2] + half
	f.qrU = -lam*lam*rrU*dT + latentHeat*gvd[3] + cm*gd[3]
}

// touching solves for the one state of two faces in contact. It returns the flow
// and the part of it that is vapour, with derivatives.
func (j *join) touching(l, r *halfCell, tf float64, tg *grad, wetting bool) (g float64, gd grad, gv float64, gvd grad) {
	u, fa := j.ul, airAt(tf)
	s := root{uMin, uMax}
	if j.vapourOnly {
		// Nothing but vapour: the face takes no suction below zero.
		s.lo = 0
		u = max(u, 0)
	}
	var vl, ll, vr, lr flow
	for k := 0; k < faceIterations; k++ {
		v := fa.at(j.tl, u)
		vl, ll = l.eval(&v, u, wetting)
		vr, lr = r.eval(&v, u, wetting)
		// Both flows run from the centre to the face; what arrives leaves.
		w, done := s.next(u, vl.v+ll.v+vr.v+lr.v, vl.S+ll.S+vr.S+lr.S)
		if done {
			// The last step is taken to first order.
			for _, p := range [...]*flow{&vl, &ll, &vr, &lr} {
				p.v += p.S * (w - u)
			}
			u = w
			break
		}
		u = w
	}
	j.ul = u
	a, b := vl.plus(ll), vr.plus(lr)
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
	left := a.S < b.S
	if full {
		left = b.v > 0
	}
	if left {
		g = a.v
		gd = a.along(0, tg, &ug)
	} else {
		g = -b.v
		gd = b.along(2, tg, &ug).scale(-1)
	}
	gv = j.vl*vl.v - j.vr*vr.v
	p, q := vl.along(0, tg, &ug), vr.along(2, tg, &ug)
	for k := range gvd {
		gvd[k] = j.vl*p[k] - j.vr*q[k]
	}
	return g, gd, gv, gvd
}

// along is the total derivative of a flow whose own cell's unknowns start at
// place own, with the face following tg and ug.
func (a flow) along(own int, tg, ug *grad) (d grad) {
	for k := range d {
		d[k] = a.F*tg[k] + a.S*ug[k]
	}
	d[own] += a.T
	d[own+1] += a.U
	return d
}

func (d grad) scale(s float64) grad {
	for k := range d {
		d[k] *= s
	}
	return d
}
