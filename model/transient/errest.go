package transient

import "math"

// localError estimates the local truncation error of the step just solved, as
// the root mean square over all unknowns in units of the tolerance.
//
//	backward Euler: e = ½·dt²·x″ ≈ dt²·[x, x0, x1]
//	BDF2:           e = C·x‴/6·… ≈ C·[x, x0, x1, x2], C by the step ratio
//
// with divided differences over the last states. Differences overrate the error
// of stiff components, which follow the forcing whatever the step; so an
// estimate above tolerance is first passed through J⁻¹·a0·M (Shampine and
// Baca 1984), at the price of one more back substitution.
func (s *Solver) localError(dt, a0, a1 float64, second bool) float64 {
	n := s.n
	e := s.xp[:n]
	it, x, x1, x2 := s.it[:n], s.x[:n], s.x1[:n], s.x2[:n]
	switch {
	case s.hist == 0:
		// No past: the change itself bounds ½·dt·|x′|.
		for i := range e {
			e[i] = pair{0.5 * (it[i].t - x[i].t), 0.5 * (it[i].u - x[i].u)}
		}
	case second && s.hist >= 2:
		h0, h1, h2 := dt, s.dt1, s.dt2
		hh := h0 + h1
		c := (a0*h0*h0*h0 - a1*(hh*hh*hh-h0*h0*h0)) / a0
		r0, r1, r2 := 1/h0, 1/h1, 1/h2
		q0, q1, q := 1/(h0+h1), 1/(h1+h2), c/(h0+h1+h2)
		for i := range e {
			e[i].t = q * (((it[i].t-x[i].t)*r0-(x[i].t-x1[i].t)*r1)*q0 - ((x[i].t-x1[i].t)*r1-(x1[i].t-x2[i].t)*r2)*q1)
			e[i].u = q * (((it[i].u-x[i].u)*r0-(x[i].u-x1[i].u)*r1)*q0 - ((x[i].u-x1[i].u)*r1-(x1[i].u-x2[i].u)*r2)*q1)
		}
	default:
		q := dt * dt / (dt + s.dt1)
		r0, r1 := 1/dt, 1/s.dt1
		for i := range e {
			e[i].t = q * ((it[i].t-x[i].t)*r0 - (x[i].t-x1[i].t)*r1)
			e[i].u = q * ((it[i].u-x[i].u)*r0 - (x[i].u-x1[i].u)*r1)
		}
	}
	norm := s.rms(e)
	if !(norm > 1) {
		return norm
	}
	r := s.sys.r[:n]
	for i := range r {
		c, v := &s.cells[i], a0*s.grid.dx[i]
		r[i] = pair{v * (c.hT*e[i].t + c.hU*e[i].u), v * c.wU * e[i].u}
	}
	s.sys.resolve()
	return s.rms(r)
}

func (s *Solver) rms(e []pair) float64 {
	var sum float64
	wt := s.wt[:len(e)]
	for i := range e {
		a, b := e[i].t*wt[i].t, e[i].u*wt[i].u
		sum += a*a + b*b
	}
	return math.Sqrt(sum / float64(2*len(e)))
}
