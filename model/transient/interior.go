package transient

// interior adds the fluxes between the cells first…last−1 of one layer: linear
// interpolation of λ and δ to the face, exact Kirchhoff potential for capillary
// flow. This loop and that of table.properties are most of the engine's time, so
// it writes into the system without going through flux.
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
	if s.slope != nil {
		for i := 1; i < n; i++ {
			// ∂g/∂u of both sides, from the blocks just written.
			s.slope[first+i] = pair{-lo[i].uu / dt, up[i-1].uu / dt}
		}
	}
}
