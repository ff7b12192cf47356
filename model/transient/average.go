package transient

// average is the moisture conductance matrix of a wall summed over a year: the
// derivative of each cell's yearly water balance in the potentials u, with the
// course of temperature held.
type average struct {
	lo, di, up, r []float64
}

func (a *average) reset(n int) {
	for _, v := range []*[]float64{&a.lo, &a.di, &a.up, &a.r} {
		*v = grow(*v, n)
		clear(*v)
	}
}

// add sums the step just committed.
func (a *average) add(s *Solver, dt float64) {
	n := s.n
	for i := 1; i < n; i++ {
		l, r := dt*s.slope[i].t, dt*s.slope[i].u
		// Row i−1 loses g, row i gains it.
		a.di[i-1] += l
		a.up[i-1] += r
		a.lo[i] -= l
		a.di[i] -= r
	}
	a.di[0] -= dt * (s.out.vapU + s.out.liqU)
	a.di[n-1] -= dt * (s.in.vapU + s.in.liqU)
	for k := range s.src {
		a.di[s.src[k].cell] -= dt * s.src[k].gU
	}
}

// solve overwrites w, the water each cell gained over the year (kg/m²), with the
// change of u that would make the gain vanish by this matrix.
func (a *average) solve(w []float64) {
	n := len(w)
	// u falls as water rises, so the matrix is negative definite.
	for i := range a.di {
		a.di[i] -= 1e-9
	}
	for i := 1; i < n; i++ {
		q := a.lo[i] / a.di[i-1]
		a.di[i] -= q * a.up[i-1]
		w[i] -= q * w[i-1]
	}
	w[n-1] /= a.di[n-1]
	for i := n - 2; i >= 0; i-- {
		w[i] = (w[i] - a.up[i]*w[i+1]) / a.di[i]
	}
}
