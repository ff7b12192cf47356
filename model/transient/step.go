package transient

import "math"

type outcome int

const (
	accepted outcome = iota
	tooCoarse
	diverged
)

// try computes one step of length dt to the end forcing f. It leaves the new
// iterate in s.it and the new amounts in s.ynew, and returns the local error in
// units of the tolerance. Nothing is committed.
func (s *Solver) try(dt float64, f *hour, d *Drive, wetting bool) (outcome, float64) {
	a0, a1 := 1.0, 0.0
	second := s.opt.Order == 2 && s.since > 0
	if second {
		om := dt / s.dt1
		a0, a1 = (1+2*om)/(1+om), om*om/(1+om)
	}
	s.a0, s.a1 = a0, a1
	s.predict(dt, second)
	o := s.newton(dt, a0, a1, f, d, wetting)
	if o != accepted {
		return o, 0
	}
	e := s.localError(dt, a0, a1, second)
	if math.IsNaN(e) {
		return diverged, 0
	}
	if e > 1 {
		return tooCoarse, e
	}
	return accepted, e
}

// predict sets the first iterate: the line through the last two states, held
// back where it would run off.
func (s *Solver) predict(dt float64, second bool) {
	it, x, x1 := s.it[:s.n], s.x[:s.n], s.x1[:s.n]
	if !second {
		copy(it, x)
		return
	}
	om := dt / s.dt1
	for i := range it {
		it[i] = pair{
			x[i].t + clamp(om*(x[i].t-x1[i].t), 3),
			x[i].u + clamp(om*(x[i].u-x1[i].u), 0.2),
		}
	}
}

func clamp(v, lim float64) float64 {
	if v > lim {
		return lim
	}
	if v < -lim {
		return -lim
	}
	return v
}

// Largest change of an unknown in one Newton iteration; larger ones are cut.
const (
	maxDeltaT = 10.0
	maxDeltaU = 1.0
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
func (s *Solver) newton(dt, a0, a1 float64, f *hour, d *Drive, wetting bool) outcome {
	n := s.n
	prev := math.NaN()
	for k := 0; k < s.opt.MaxNewton; k++ {
		s.evalProps(s.it, wetting)
		was := s.out.limited
		s.assemble(dt, a0, a1, f, d, wetting)
		if k == 0 {
			s.weights()
		}
		s.sys.solve()
		s.stat.Newton++
		worst, cut := 0.0, false
		r, wt, it := s.sys.r[:n], s.wt[:n], s.it[:n]
		for i := range r {
			at, au := math.Abs(r[i].t), math.Abs(r[i].u)
			if v := at * wt[i].t; !(v <= worst) {
				worst = v
			}
			if v := au * wt[i].u; !(v <= worst) {
				worst = v
			}
			if c := &s.cells[i]; at > maxDeltaT || au > maxDeltaU || c.wU*r[i].u < -lastDrying*c.w {
				cut = true
			}
			if it[i].t < 0.5 && at > newtonCross && s.crosses(i) {
				cut = true
			}
		}
		if math.IsNaN(worst) || math.IsInf(worst, 0) {
			return diverged
		}
		done := false
		if !cut && s.out.limited == was {
			if !math.IsNaN(prev) && prev > 0 {
				// Learn the contraction; forget slowly.
				s.kappa = max(worst/(prev*prev), 0.5*s.kappa, 1e-3)
			}
			goal := newtonGoal
			if s.polish {
				goal = polishGoal
			}
			done = s.kappa*worst*worst < goal || worst < 1e-3*goal
		}
		prev = worst
		if done {
			s.book(r)
			copy(s.del, r)
			for i := range it {
				it[i].t += r[i].t
				it[i].u += r[i].u
			}
			return accepted
		}
		for i := range it {
			if it[i].t < 0.5 && s.crosses(i) {
				it[i].u = max(uMin, min(uMax, it[i].u+clamp(r[i].u, maxDeltaU)))
				it[i].t = s.beyondFreezing(i)
				continue
			}
			it[i].t += clamp(r[i].t, maxDeltaT)
			it[i].u = max(uMin, min(uMax, it[i].u+clamp(r[i].u, maxDeltaU)))
		}
	}
	return diverged
}

// book computes the linearised amounts at the end of the step.
func (s *Solver) book(r []pair) {
	for i := range r {
		c, dx := &s.cells[i], s.grid.dx[i]
		s.ynew[i] = pair{
			dx * (c.h + c.hT*r[i].t + c.hU*r[i].u),
			dx * (c.w + c.wU*r[i].u),
		}
	}
}

// weights turns changes of the unknowns into units of the tolerance: kelvin for
// temperature; for u the larger of what it does to RH and to the pore filling.
func (s *Solver) weights() {
	tol := 1 / s.opt.Tolerance
	for _, l := range s.runs {
		fill := tol / (tolFill * l.t.wf)
		for i := l.first; i < l.last; i++ {
			c := &s.cells[i]
			rh := math.Abs(c.pU) * invPsatNear(s.it[i].t) * (tol / tolRH)
			s.wt[i] = pair{tol / tolTheta, max(rh, math.Abs(c.wU)*fill)}
		}
	}
}
