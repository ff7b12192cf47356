package transient

import (
	"fmt"
	"math"
)

// Error tolerances at Options.Tolerance = 1, per step and unknown.
const (
	tolTheta = 0.1   // K
	tolRH    = 0.005 // relative humidity, 0–1
	tolFill  = 0.005 // w/w_f
)

// Step control.
const (
	safety     = 0.9
	growLimit  = 2.0
	restartDt  = 1200.0 // s at tolerance 1, first step after rain sets in, changes or stops
	cutLimit   = 0.2
	timeRound  = 1e-9 // of an entry of the drive
	cutNewton  = 0.3
	ratioLimit = 2.0 // BDF2 is stable to step ratios of 1 + √2
)

// runEntry integrates entry k of the drive.
func (s *Solver) runEntry(d *Drive, k int) error {
	var f hour
	length := hourSeconds * float64(d.length(k))
	rain := d.hours[k].out.Rain
	if rain != s.rainMark {
		// The forcing jumps: start afresh.
		s.since = 0
		if !math.IsNaN(s.rainMark) {
			s.want = min(s.want, restartDt*max(1, s.opt.Tolerance))
		}
		s.rainMark = rain
	}
	wetting := rain > 0 || d.contact[0].on || d.contact[1].on
	at, fails := 0.0, 0
	for at < length*(1-timeRound) {
		left := length - at
		dt := min(s.want, s.opt.MaxStep)
		if s.since > 0 {
			dt = min(dt, ratioLimit*s.dt1)
		}
		if dt >= left*(1-timeRound) {
			dt = left
		} else {
			dt = left / math.Ceil(left/dt-timeRound)
		}
		d.at(k, min(1, (at+dt)/length), &f)
		e := s.try(dt, &f, d, wetting)
		fit := growLimit // the step that would just meet the tolerance, over dt
		if e > 0 && s.since > 0 {
			fit = safety / math.Cbrt(e)
		} else if e > 0 {
			fit = safety / math.Sqrt(e)
		}
		switch {
		case e <= 1:
			s.commit(dt, &f)
			at += dt
			fails = 0
			// A step that was cut to end with its entry says nothing of the next.
			s.want = max(min(growLimit, fit)*dt, min(s.want, fit*dt))
			continue
		case e > 1:
			s.stat.TooCoarse++
			s.want = dt * max(cutLimit, min(0.8, fit))
		default:
			s.stat.Diverged++
			s.want = dt * cutNewton
			s.kappa = 1
		}
		if fails++; fails >= 3 {
			s.since = 0
		}
		if s.want < s.opt.MinStep {
			return fmt.Errorf("transient: hour %d, %.3g s in, step %.3g s: %w", s.Hour, at, dt, ErrNotConverged)
		}
	}
	return nil
}

// try computes one step of length dt to the end forcing f. It leaves the new
// iterate in s.it and the new amounts in s.ynew, and returns the local error in
// units of the tolerance, NaN where Newton's method failed. Nothing is committed.
func (s *Solver) try(dt float64, f *hour, d *Drive, wetting bool) float64 {
	it, x, x1 := s.it[:s.n], s.x[:s.n], s.x1[:s.n]
	if s.since > 0 {
		// First iterate: the line through the last two states, held back where
		// it would run off.
		om := dt / s.dt1
		s.a0, s.a1 = (1+2*om)/(1+om), om*om/(1+om)
		for i := range it {
			it[i] = pair{
				x[i].t + clamp(om*(x[i].t-x1[i].t), 3),
				x[i].u + clamp(om*(x[i].u-x1[i].u), 0.2),
			}
		}
	} else {
		s.a0, s.a1 = 1, 0
		copy(it, x)
	}
	if !s.newton(dt, f, d, wetting) {
		return math.NaN()
	}
	return s.localError(dt)
}

// commit enters the step just solved in the books and makes it the present.
func (s *Solver) commit(dt float64, f *hour) {
	ra0 := 1 / s.a0
	s.paths(func(p *path, cell int) { p.add(dt, s.sys.r[cell], s.a1, ra0) })
	s.offered += dt * f.out.Rain
	if s.yearly != nil {
		s.yearly.add(s, dt)
	}
	for i := range s.y {
		s.d[i] = pair{s.ynew[i].t - s.y[i].t, s.ynew[i].u - s.y[i].u}
	}
	s.y, s.ynew = s.ynew, s.y
	s.x, s.x1, s.x2, s.it = s.it, s.x, s.x1, s.x2
	s.dt1, s.dt2 = dt, s.dt1
	s.hist = min(2, s.hist+1)
	s.since++
	s.stat.Steps++
}

// localError estimates the local truncation error of the step just solved, as
// the root mean square over all unknowns in units of the tolerance.
//
//	backward Euler: e = ½·dt²·x″ ≈ dt²·[x, x0, x1]
//	BDF2:           e = C·x‴/6·… ≈ C·[x, x0, x1, x2], C by the step ratio
//
// with divided differences over the last states. They overrate the error of stiff
// components, which follow the forcing whatever the step; so an estimate above
// tolerance is first passed through J⁻¹·a0·M (Shampine and Baca 1984).
func (s *Solver) localError(dt float64) float64 {
	n := s.n
	e := s.xp[:n]
	it, x, x1, x2 := s.it[:n], s.x[:n], s.x1[:n], s.x2[:n]
	switch {
	case s.hist == 0:
		// No past: the change itself bounds ½·dt·|x′|.
		for i := range e {
			e[i] = pair{0.5 * (it[i].t - x[i].t), 0.5 * (it[i].u - x[i].u)}
		}
	case s.since > 0 && s.hist >= 2:
		h0, h1, h2 := dt, s.dt1, s.dt2
		hh := h0 + h1
		c := (s.a0*h0*h0*h0 - s.a1*(hh*hh*hh-h0*h0*h0)) / s.a0
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
	for i := range e {
		c, v := &s.cells[i], s.a0*s.dx[i]
		e[i] = pair{v * (c.hT*e[i].t + c.hU*e[i].u), v * c.wU * e[i].u}
	}
	s.sys.solve(e, false)
	return s.rms(e)
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

// weights turns changes of the unknowns into units of the tolerance: kelvin for
// temperature; for u the larger of what it does to RH and to the pore filling.
func (s *Solver) weights() {
	tol := 1 / s.opt.Tolerance
	for l := range s.wall.Layers {
		fill := tol / (tolFill * s.wall.Layers[l].Material.wf)
		first, last := s.span(l)
		for i := first; i < last; i++ {
			c := &s.cells[i]
			rh := math.Abs(c.pU) * invPsatNear(s.it[i].t) * (tol / tolRH)
			s.wt[i] = pair{tol / tolTheta, max(rh, math.Abs(c.wU)*fill)}
		}
	}
}
