package transient

import "math"

// newton.go solves one step: for the change Δ of all unknowns it repeats
// J·Δ = −R with
//
//	R_i = a0·(m_i(x) − y_i) − a1·d_i − dt·(F_in − F_out + S)_i
//
// m the enthalpy and water of cell i, y its booked amounts at the start of the
// step and d their change in the step before (a1 = 0: backward Euler).

const (
	// maxDeltaT (K) and maxDeltaU are the largest changes of an unknown in one
	// iteration; larger ones are cut.
	maxDeltaT = 10.0
	maxDeltaU = 1.0
	// mostNewton is the iterations a step has before it is cut.
	mostNewton = 16
	// newtonGoal is how small the next correction must be, in units of the
	// error tolerance, for the iteration to stop.
	newtonGoal = 0.3
	// lastDrying bounds the fall of water content in the last iteration, as a
	// share of it: the linearised amount that is booked must stay positive.
	lastDrying = 0.5
	// newtonCross is how far, K, an iteration may move over the freezing point
	// and still be the last.
	newtonCross = 0.02
	// polishGoal is newtonGoal in the last hour of a run, so that its final
	// state agrees with its books.
	polishGoal = 1e-7
)

// newton iterates on s.it. After the last solve it books the linearised amounts
// m(x) + M·Δ: these satisfy the balances to round-off whatever is left of the
// non-linear residual, which the next step then sees and corrects.
func (s *Solver) newton(dt float64, f *hour, d *Drive, wetting bool) bool {
	n := s.n
	goal := newtonGoal
	if s.polish {
		goal = polishGoal
	}
	prev := 0.0
	for k := 0; k < mostNewton; k++ {
		s.evalProps(s.it, wetting)
		was := s.out.limited
		s.assemble(dt, f, d, wetting)
		if k == 0 {
			s.weights()
		}
		s.sys.solve(s.sys.r, true)
		s.stat.Newton++
		worst, cut := 0.0, s.out.limited != was
		r, wt, it, cells := s.sys.r[:n], s.wt[:n], s.it[:n], s.cells[:n]
		for i := range r {
			at, au := math.Abs(r[i].t), math.Abs(r[i].u)
			worst = max(worst, at*wt[i].t, au*wt[i].u)
			if c := &cells[i]; at > maxDeltaT || au > maxDeltaU || c.wU*r[i].u < -lastDrying*c.w {
				cut = true
			}
			if it[i].t < 0.5 && at > newtonCross {
				_, crosses := s.crosses(i)
				cut = cut || crosses
			}
		}
		if math.IsNaN(worst) || math.IsInf(worst, 0) {
			return false
		}
		if !cut {
			if prev > 0 {
				// Learn the contraction; forget slowly.
				s.kappa = max(worst/(prev*prev), 0.5*s.kappa, 1e-3)
			}
			if s.kappa*worst*worst < goal || worst < 1e-3*goal {
				s.book(r)
				return true
			}
		}
		prev = worst
		for i := range it {
			t := it[i].t + clamp(r[i].t, maxDeltaT)
			if it[i].t < 0.5 {
				if beyond, crosses := s.crosses(i); crosses {
					t = beyond
				}
			}
			it[i] = pair{t, max(uMin, min(uMax, it[i].u+clamp(r[i].u, maxDeltaU)))}
		}
	}
	return false
}

// book takes the last correction r and computes the linearised amounts.
func (s *Solver) book(r []pair) {
	it, cells, dx, y := s.it[:len(r)], s.cells[:len(r)], s.dx[:len(r)], s.ynew[:len(r)]
	for i := range r {
		c := &cells[i]
		y[i] = pair{dx[i] * (c.h + c.hT*r[i].t + c.hU*r[i].u), dx[i] * (c.w + c.wU*r[i].u)}
		it[i].t += r[i].t
		it[i].u += r[i].u
	}
}

func (s *Solver) evalProps(x []pair, wetting bool) {
	for l := range s.wall.Layers {
		a, b := s.span(l)
		s.wall.Layers[l].Material.properties(s.cells[a:b], x[a:b], wetting, s.opt.NoIce)
	}
}

// assemble evaluates all fluxes at iterate s.it and fills the system.
func (s *Solver) assemble(dt float64, f *hour, d *Drive, wetting bool) {
	n, a0, a1 := s.n, s.a0, s.a1
	cells, dx, y, dy := s.cells[:n], s.dx[:n], s.y[:n], s.d[:n]
	di, r := s.sys.di[:n], s.sys.r[:n]
	for i := range cells {
		c := &cells[i]
		v := a0 * dx[i]
		di[i] = mat2{v * c.hT, v * c.hU, 0, v * c.wU}
		r[i] = pair{
			a1*dy[i].t - a0*(c.h*dx[i]-y[i].t),
			a1*dy[i].u - a0*(c.w*dx[i]-y[i].u),
		}
	}
	for l := range s.wall.Layers {
		a, b := s.span(l)
		if a > 0 {
			s.contact(a, dt, wetting)
		}
		s.interior(a, b, dt)
	}
	for k := range s.src {
		q := &s.src[k]
		q.eval(&f.out, &cells[q.cell], s.it[q.cell], s.tableOf(q.cell).wf)
		s.sys.feed(q.cell, dt, pair{q.q.v, q.g.v}, mat2{q.q.t, q.q.u, q.g.t, q.g.u})
	}
	rain := (f.out.Rain - f.out.Shed) * (1 - s.wall.RainShare - s.wall.SkinShare)
	coat := &s.wall.Layers[0].Contact
	if coat.breaks() {
		rain = 0
	}
	s.out.eval(&f.out, &cells[0], s.tableOf(0), dx[0]/2, s.it[0], coat, &d.contact[0], rain, wetting)
	s.in.eval(&f.in, &cells[n-1], s.tableOf(n-1), dx[n-1]/2, s.it[n-1], &s.wall.Inner, &d.contact[1], 0, wetting)
	for e, o := range [2]*edgeFlux{&s.out, &s.in} {
		i := e * (n - 1)
		s.sys.feed(i, dt, pair{o.q.v, o.vap.v + o.liq.v}, mat2{o.q.t, o.q.u, o.vap.t + o.liq.t, o.vap.u + o.liq.u})
	}
}

// feed lets flow q enter row i, with derivatives m in the unknowns of the row.
func (b *blockTri) feed(i int, dt float64, q pair, m mat2) {
	r, d := &b.r[i], &b.di[i]
	r.t += dt * q.t
	r.u += dt * q.u
	d.tt -= dt * m.tt
	d.tu -= dt * m.tu
	d.ut -= dt * m.ut
	d.uu -= dt * m.uu
}

// contact adds the flux over the interface between cells i−1 and i.
func (s *Solver) contact(i int, dt float64, wetting bool) {
	q, l, u := s.joins[i].across(&s.cells[i-1], &s.cells[i], s.it[i-1], s.it[i], wetting)
	if s.yearly != nil {
		s.yearly.slope[i] = pair{l.uu, u.uu}
	}
	s.sys.feed(i-1, -dt, q, l)
	s.sys.feed(i, dt, q, u)
	s.sys.up[i-1] = mat2{dt * u.tt, dt * u.tu, dt * u.ut, dt * u.uu}
	s.sys.lo[i] = mat2{-dt * l.tt, -dt * l.tu, -dt * l.ut, -dt * l.uu}
}

// interior adds the fluxes between the cells first…last−1 of one layer: linear
// interpolation of λ and δ to the face, exact Kirchhoff potential for capillary
// flow. This loop and that of table.properties are half of the engine's time, so it
// writes into the system directly.
func (s *Solver) interior(first, last int, dt float64) {
	cells, it, joins := s.cells[first:last], s.it[first:last], s.joins[first:last]
	n := len(cells)
	r, di, lo, up := s.sys.r[first:last], s.sys.di[first:last], s.sys.lo[first:last], s.sys.up[first:last]
	it, joins, r, di, lo, up = it[:n], joins[:n], r[:n], di[:n], lo[:n], up[:n]
	for i := 1; i < n; i++ {
		a, b, j := &cells[i-1], &cells[i], &joins[i]
		ta, tb := it[i-1].t, it[i].t
		k := j.rdx * dt
		kl, kr := k*j.wl, k*j.wr
		// Vapour.
		del := kl*a.del + kr*b.del
		dp := a.p - b.p
		gv := del * dp
		gvlT := kl*a.delT*dp + del*a.pT
		gvlU := kl*a.delU*dp + del*a.pU
		gvrT := kr*b.delT*dp - del*b.pT
		gvrU := kr*b.delU*dp - del*b.pU
		// Liquid; frozen pores do not conduct.
		dpsi := (a.psi - b.psi) * k
		m := a.liq * b.liq
		g := gv + m*dpsi
		glT := gvlT + a.liqT*b.liq*dpsi
		glU := gvlU + a.liqU*b.liq*dpsi + m*k*a.psiU
		grT := gvrT + a.liq*b.liqT*dpsi
		grU := gvrU + a.liq*b.liqU*dpsi - m*k*b.psiU
		// Heat; water carries its sensible heat at the mean temperature.
		lam := kl*a.lam + kr*b.lam
		dT := ta - tb
		cm := waterHeat * 0.5 * (ta + tb)
		half := 0.5 * waterHeat * g
		q := lam*dT + latentHeat*gv + cm*g
		qlT := lam + latentHeat*gvlT + cm*glT + half
		qlU := kl*a.lamU*dT + latentHeat*gvlU + cm*glU
		qrT := -lam + latentHeat*gvrT + cm*grT + half
		qrU := kr*b.lamU*dT + latentHeat*gvrU + cm*grU

		r0, r1, d0, d1 := &r[i-1], &r[i], &di[i-1], &di[i]
		r0.t -= q
		r0.u -= g
		r1.t += q
		r1.u += g
		d0.tt += qlT
		d0.tu += qlU
		d0.ut += glT
		d0.uu += glU
		d1.tt -= qrT
		d1.tu -= qrU
		d1.ut -= grT
		d1.uu -= grU
		up[i-1] = mat2{qrT, qrU, grT, grU}
		lo[i] = mat2{-qlT, -qlU, -glT, -glU}
	}
	if s.yearly != nil {
		for i := 1; i < n; i++ {
			// ∂g/∂u of both sides, from the blocks just written.
			s.yearly.slope[first+i] = pair{-lo[i].uu / dt, up[i-1].uu / dt}
		}
	}
}
