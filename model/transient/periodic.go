package transient

import (
	"errors"
	"fmt"
	"math"
)

// ErrNotPeriodic is wrapped when the year did not close within MaxYears. The
// last year is still in the result: a wall that keeps accumulating water is a
// finding, not a failure.
var ErrNotPeriodic = errors.New("no yearly periodic state")

// PeriodicOptions steer the search for the yearly periodic state.
type PeriodicOptions struct {
	MaxYears  int     // 0 means 40
	Tolerance float64 // distance from the periodic state in RH and in w/w_f; 0 means 0.002
	// Begin, if not nil, is called before every year, and every year is observed:
	// the last one stands, and no year is run for observation alone.
	Begin  func()
	Memory int // years Anderson's extrapolation looks back; 0 means 2, −1 none and no averaged Jacobian either (brute force)
}

// Periodic is the outcome of the search.
type Periodic struct {
	Years    int      // simulated to close the year, the observed one not counted
	Distance float64  // largest estimated distance left, in RH or w/w_f
	Last     Result   // the last year run: the observed one if there was an observer
	Counters Counters // of all years
	Err      error    // nil, or wraps ErrNotPeriodic or ErrNotConverged
}

// fastRatio is the ratio of two successive years' changes below which plain
// repetition is faster than extrapolation.
const fastRatio = 0.3

// hiddenFactor is how far beyond tolerance the estimate by conductances may lie
// when plain years seem to have closed; in driving rain it is too large by a few.
const hiddenFactor = 5

// RunPeriodic runs the drive over and over until a year ends as it began, and
// then, if observe is not nil, once more under observation (or see Begin).
//
// With G the map of the wall's moisture state over one year, it looks for
// z = G(z). Plain repetition converges by the wall's drying time, in thick dense
// masonry a century or more. Here the residual G(z) − z is first corrected with
// the moisture conductances averaged over the year just run, which solves for
// the slow modes (see README.md), and then extrapolated by Anderson's method
// (Walker and Ni 2011). Years that already shrink fast are left to repetition.
// Temperature follows within weeks and is carried on.
func (s *Solver) RunPeriodic(d *Drive, o PeriodicOptions, observe Observer) Periodic {
	if o.MaxYears == 0 {
		o.MaxYears = 40
	}
	if o.Tolerance == 0 {
		o.Tolerance = 0.002
	}
	if o.Memory == 0 {
		o.Memory = 2
	}
	a := newAnderson(s.n, max(o.Memory, 0))
	s.slope = make([]pair, s.n)
	defer func() { s.slope = nil }()
	stock := make([]float64, s.n)
	var p Periodic
	lastPlain := math.NaN() // change over the year before, if this one followed on it
	z := make([]float64, s.n)
	for p.Years < o.MaxYears {
		for i := range z {
			z[i], stock[i] = s.x[i].u, s.y[i].u
		}
		s.yearly.reset(s.n)
		var each Observer
		if o.Begin != nil {
			o.Begin()
			each = observe
		}
		p.Last = s.Run(d, d.Hours(), each)
		p.Years++
		p.Counters.add(p.Last.Counters)
		if p.Err = p.Last.Err; p.Err != nil {
			return p
		}
		// Residual and weights in RH or filling per unit of u.
		s.evalProps(s.x, false)
		for i := range z {
			c := &s.cells[i]
			a.f[i] = s.x[i].u - z[i]
			stock[i] = s.y[i].u - stock[i]
			a.wt[i] = max(abs(c.pU)*invPsatNear(s.x[i].t), abs(c.wU)/s.joinTable(i).wf)
		}
		plain := a.distanceOf(a.f)
		ratio := plain / lastPlain
		lastPlain = plain
		if o.Memory > 0 {
			s.yearly.solve(stock)
			for i := range z {
				a.f[i] += clamp(stock[i], 1)
			}
		}
		if ratio < fastRatio {
			// A wall that forgets fast by itself is left alone, unless the
			// conductances say that a slow mode hides behind the fast one.
			p.Distance = plain * ratio / (1 - ratio)
			hidden := a.distanceOf(a.f) > hiddenFactor*o.Tolerance
			if p.Distance <= o.Tolerance && !hidden {
				break
			}
			if p.Distance > o.Tolerance {
				continue
			}
		}
		a.extrapolate(z)
		p.Distance = a.distance(z)
		if p.Distance <= o.Tolerance && p.Years > 1 {
			break
		}
		if o.Memory > 0 && p.Years > 1 { // the first year is mostly the start fading
			for i := range z {
				s.x[i].u = max(-3, min(9, a.next[i]))
			}
			s.restart()
			s.hist = 0
			s.stock()
			lastPlain = math.NaN()
		}
	}
	if p.Distance > o.Tolerance {
		p.Err = fmt.Errorf("transient: %d years, still %.2g from closing: %w", p.Years, p.Distance, ErrNotPeriodic)
	}
	if observe != nil && o.Begin == nil {
		p.Last = s.Run(d, d.Hours(), observe)
		p.Counters.add(p.Last.Counters)
		if p.Last.Err != nil {
			p.Err = p.Last.Err
		}
	}
	return p
}

func (c *Counters) add(o Counters) {
	c.Steps += o.Steps
	c.TooCoarse += o.TooCoarse
	c.Diverged += o.Diverged
	c.Newton += o.Newton
	if c.SmallestDt == 0 || o.SmallestDt < c.SmallestDt {
		c.SmallestDt = o.SmallestDt
	}
}
