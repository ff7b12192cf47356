package transient

import (
	"errors"
	"fmt"

	"gonum.org/v1/gonum/mat"
)

// ErrNotPeriodic is wrapped when the year did not close within MaxYears. The
// last year is still in the result: a wall that keeps accumulating water is a
// finding, not a failure.
var ErrNotPeriodic = errors.New("no yearly periodic state")

// PeriodicOptions steer the search for the yearly periodic state.
type PeriodicOptions struct {
	MaxYears  int
	Tolerance float64 // distance from the periodic state in RH and in w/w_f
	Begin     func()  // if not nil, called before every year: the observed course of the last one stands
}

// conductanceShare is how much of the correction by conductances is taken: they hold
// for small changes, and a wet face that sheds rain or dries out takes and gives off
// less than they say. README.md has the race.
const conductanceShare = 0.5

// RunPeriodic runs the drive over and over, each year under observe (if not
// nil), until a year ends as it began, and leaves the wall in the state the next
// year is to begin with. The result is that of the last year, with the work of all.
//
// Plain repetition converges by the wall's drying time, in thick dense masonry a
// century or more. Here the end of each year is corrected with the moisture
// conductances summed over that year, which solves for the slow modes, and the
// corrected years are extrapolated by Anderson's method (Walker and Ni 2011).
// Temperature follows within weeks and is carried on.
func (s *Solver) RunPeriodic(d *Drive, o PeriodicOptions, observe Observer) (p Result) {
	defer func() { s.yearly = nil }()
	w, gained := make([]float64, s.n), make([]float64, s.n)
	var z, f, zOld, fOld []float64 // start of a year and what it changes with its correction; of the year before
	for p.Years < o.MaxYears {
		z, f, zOld, fOld = make([]float64, s.n), make([]float64, s.n), z, f
		for i := range z {
			z[i], gained[i] = s.x[i].u, -s.y[i].u
		}
		if o.Begin != nil {
			o.Begin()
		}
		s.yearly = &average{make([]pair, s.n), make([]float64, s.n), make([]float64, s.n), make([]float64, s.n)}
		years, work := p.Years, p.Counters
		p = s.Run(d, d.Hours(), observe)
		p.Years, p.Counters = years+1, p.Counters.plus(work)
		if p.Err != nil {
			return p
		}
		s.evalProps(s.x, false)
		for i := range z {
			gained[i] += s.y[i].u
			c := &s.cells[i]
			w[i] = max(abs(c.pU)*invPsatNear(s.x[i].t), abs(c.wU)/s.tableOf(i).wf)
		}
		s.yearly.solve(gained)
		for i := range f {
			f[i] = s.x[i].u - z[i] + conductanceShare*clamp(gained[i], 1)
		}
		gamma := 0.0
		if fOld != nil {
			gamma = anderson(w, f, fOld)
		}
		for i := range f {
			step := f[i]
			if gamma != 0 {
				step -= gamma * (z[i] - zOld[i] + f[i] - fOld[i])
			}
			next := max(-3, min(9, z[i]+clamp(step, 2)))
			p.Distance = max(p.Distance, abs(next-s.x[i].u)*w[i])
			s.x[i].u = next
		}
		s.begin()
		if p.Distance <= o.Tolerance {
			return p
		}
	}
	p.Err = fmt.Errorf("transient: %d years, still %.2g from closing: %w", p.Years, p.Distance, ErrNotPeriodic)
	return p
}

// average is the moisture conductance matrix of a wall summed over a year: the
// derivative of each cell's yearly water balance in the potentials u, with the
// course of temperature held.
type average struct {
	slope      []pair // ∂g/∂u on both sides of each face, of the step being solved
	lo, di, up []float64
}

// add sums the step just committed.
func (a *average) add(s *Solver, dt float64) {
	n := s.n
	for i := 1; i < n; i++ {
		l, r := dt*a.slope[i].t, dt*a.slope[i].u
		// Row i−1 loses g, row i gains it.
		a.di[i-1] += l
		a.up[i-1] += r
		a.lo[i] -= l
		a.di[i] -= r
	}
	a.di[0] -= dt * (s.out.vap.u + s.out.liq.u)
	a.di[n-1] -= dt * (s.in.vap.u + s.in.liq.u)
	for k := range s.src {
		a.di[s.src[k].cell] -= dt * s.src[k].g.u
	}
}

// solve overwrites w, the water each cell gained over the year (kg/m²), with the
// change of u that would make the gain vanish by this matrix.
func (a *average) solve(w []float64) {
	// u falls as water rises, so the matrix is negative definite.
	for i := range a.di {
		a.di[i] -= 1e-9
	}
	n := len(w)
	x := mat.NewVecDense(n, w)
	_ = mat.NewTridiag(n, a.lo[1:], a.di, a.up[:n-1]).SolveVecTo(x, false, x)
}

// anderson returns γ: how much of what start and residual f of a year have changed
// since the last one is taken back, such that of f, weighed by w, the least is left.
func anderson(w, f, fOld []float64) float64 {
	var df, dd float64
	for i, w := range w {
		d, v := w*(f[i]-fOld[i]), w*f[i]
		df, dd = df+d*v, dd+d*d
	}
	if gamma := df / dd; abs(gamma) < 1e4 {
		return gamma
	}
	return 0
}
