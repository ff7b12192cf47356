package transient

// overGap solves for the states of the two faces of a membrane or gap and
// returns the vapour that crosses, with derivatives. A variable retarder's s_d
// follows the mean RH of those faces. A face takes no suction below zero: vapour
// that would be above saturation there condenses and stays in the cell it came
// from.
func (j *join) overGap(l, r *halfCell, tf float64, tg *grad, wetting bool) (g float64, gd grad) {
	ul, ur, fa := max(j.ul, 0), max(j.ur, 0), airAt(tf)
	var a, b flow
	var c, cT, cl, cr float64 // crossing and its derivatives in tf, ul, ur
	var m mat2                // inverse of the balances' matrix; rows of a full face are zero
	for k := 0; ; k++ {
		vl, vr := fa.at(j.tl, ul), fa.at(j.tr, ur)
		p, q := l.eval(&vl, ul, wetting)
		a = p.plus(q)
		p, q = r.eval(&vr, ur, wetting)
		b = p.plus(q)
		sd, slope := j.ifc.sd(0.5 * (vl.rh + vr.rh))
		v := deltaAir / sd
		s := -v / sd * slope * 0.5
		dp := vl.p - vr.p
		c = v * dp
		cT = v*(vl.pT-vr.pT) + s*(vl.rhT+vr.rhT)*dp
		cl = v*vl.pU + s*vl.rhU*dp
		cr = -v*vr.pU + s*vr.rhU*dp
		// a − c = 0 and b + c = 0, unless the face is full.
		e1, e2 := a.v-c, b.v+c
		m = inverse(mat2{a.S - cl, -cr, cl, b.S + cr}, ul == 0 && e1 > 0, ur == 0 && e2 > 0)
		d1, d2 := clamp(-(m.tt*e1+m.tu*e2), maxDeltaU), clamp(-(m.ut*e1+m.uu*e2), maxDeltaU)
		d1, d2 = max(0, min(uMax, ul+d1))-ul, max(0, min(uMax, ur+d2))-ur
		// Newton may come to rest where pressure hardly varies with u, its steps
		// cut at the end of the range: only a closed balance is a solution.
		open := 0.0
		if !(ul == 0 && e1 > 0) {
			open = abs(e1)
		}
		if !(ur == 0 && e2 > 0) {
			open += abs(e2)
		}
		rest := abs(d1) < faceAccuracy && abs(d2) < faceAccuracy
		closed := max(ul, ur) < dryFace || open <= 1e-2*(abs(a.v)+abs(b.v)+abs(c))
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
			ul, ur = j.bisectGap(l, r, &fa, wetting)
		}
	}
	j.ul, j.ur = ul, ur
	own := [2]grad{{a.T, a.U, 0, 0}, {0, 0, b.T, b.U}}
	for k := range gd {
		x1, x2 := own[0][k]+(a.F-cT)*tg[k], own[1][k]+(b.F+cT)*tg[k]
		j.dl[k], j.dr[k] = -(m.tt*x1 + m.tu*x2), -(m.ut*x1 + m.uu*x2)
		gd[k] = cT*tg[k] + cl*j.dl[k] + cr*j.dr[k]
	}
	return c, gd
}

// dryFace is the state beyond which pressure hardly varies with u (φ < 0.1 %).
const dryFace = 9.0

// gapIterations is how long Newton's method is tried over a gap before bisection:
// a steep or kinked retarder curve can make it swing.
const gapIterations = 20

// bisectGap finds the two face states by nested bisection.
func (j *join) bisectGap(l, r *halfCell, fa *faceAir, wetting bool) (ul, ur float64) {
	cross := func(a, b *vapour) float64 {
		sd, _ := j.ifc.sd(0.5 * (a.rh + b.rh))
		return deltaAir / sd * (a.p - b.p)
	}
	total := func(h *halfCell, v *vapour, u float64) float64 {
		p, q := h.eval(v, u, wetting)
		return p.v + q.v
	}
	// right is the state of the right face when the flow e(v, u) arrives there.
	right := func(arrives func(v *vapour) float64) float64 {
		return bisect(func(u float64) float64 {
			v := fa.at(j.tr, u)
			return total(r, &v, u) + arrives(&v)
		})
	}
	ul = bisect(func(u float64) float64 {
		v := fa.at(j.tl, u)
		c := total(l, &v, u)
		w := fa.at(j.tr, right(func(*vapour) float64 { return c }))
		return c - cross(&v, &w)
	})
	v := fa.at(j.tl, ul)
	return ul, right(func(w *vapour) float64 { return cross(&v, w) })
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
	switch {
	case hold1 && hold2:
		return mat2{}
	case hold1 && m.uu != 0:
		return mat2{uu: 1 / m.uu}
	case hold2 && m.tt != 0:
		return mat2{tt: 1 / m.tt}
	}
	det := m.tt*m.uu - m.tu*m.ut
	if hold1 || hold2 || det == 0 {
		return mat2{}
	}
	return mat2{m.uu / det, -m.tu / det, -m.ut / det, m.tt / det}
}
