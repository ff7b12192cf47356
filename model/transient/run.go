package transient

import (
	"errors"
	"fmt"
	"math"
)

// ErrNotConverged is wrapped by Result.Err when a step failed at the smallest
// step allowed.
var ErrNotConverged = errors.New("no convergence at the smallest step")

// Result is what a run did. Flows and balances cover this run only.
type Result struct {
	Err      error // nil, or wraps ErrNotConverged; the state is then that of Hours
	Hours    int   // hours completed
	Counters Counters
	Flows    Flows
	// BalanceWater and BalanceHeat are |in − out − stored| over gross
	// throughput, stored being read from the booked amounts.
	BalanceWater, BalanceHeat float64
	// DefectWater (kg/m²) and DefectHeat (J/m²) are the differences, over the
	// wall, between booked amounts and those the final temperatures and
	// humidities stand for: what Newton left over in the last steps.
	DefectWater, DefectHeat float64
	StoredWater             float64 // change over the run, kg/m²
	StoredHeat              float64 // change over the run, J/m²
}

// Run advances the wall by the given number of hours (to the end of the entry
// they end in), going on in the drive where the last run stopped, and calls
// observe (if not nil) at the end of every entry: every hour, unless the drive
// is Coarse.
func (s *Solver) Run(d *Drive, hours int, observe Observer) Result {
	s.openBooks()
	s.touched = d.contact[Outer].on
	w0, h0 := s.stored()
	s.stat.SmallestDt = math.Inf(1)
	var res Result
	for k := d.entry(s.hour); res.Hours < hours; k = (k + 1) % len(d.hours) {
		step := d.length(k)
		s.polish = res.Hours+step >= hours
		if err := s.runEntry(d, k); err != nil {
			res.Err = err
			break
		}
		s.hour += step
		res.Hours += step
		if observe != nil {
			s.view.Hour = s.hour
			observe(&s.view)
		}
	}
	w1, h1 := s.stored()
	res.Counters, res.Flows = s.stat, s.flows()
	res.StoredWater, res.StoredHeat = w1-w0, h1-h0
	if s.books.grossW > 0 {
		res.BalanceWater = math.Abs(res.Flows.Water()-res.StoredWater) / s.books.grossW
	}
	if s.books.grossH > 0 {
		res.BalanceHeat = math.Abs(res.Flows.Heat()-res.StoredHeat) / s.books.grossH
	}
	s.evalProps(s.x, false)
	for i := range s.y {
		res.DefectHeat += s.cells[i].h*s.grid.dx[i] - s.y[i].t
		res.DefectWater += s.cells[i].w*s.grid.dx[i] - s.y[i].u
	}
	return res
}

// stored returns the booked water (kg/m²) and enthalpy (J/m²) of the wall.
func (s *Solver) stored() (water, heat float64) {
	for i := range s.y {
		water += s.y[i].u
		heat += s.y[i].t
	}
	return water, heat
}

// Step control.
const (
	safety     = 0.9
	growLimit  = 2.0
	restartDt  = 1200.0 // s, first step after rain sets in, changes or stops
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
		s.restart()
		if !math.IsNaN(s.rainMark) {
			s.want = min(s.want, restartDt*max(1, s.opt.Tolerance))
		}
		s.rainMark = rain
	}
	wetting := rain > 0 || d.wets()
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
		o, e := s.try(dt, &f, d, wetting)
		order := 1.0
		if s.opt.Order == 2 && s.since > 0 {
			order = 2
		}
		fit := growLimit // the step that would just meet the tolerance, over dt
		if e > 0 {
			fit = safety * math.Pow(e, -1/(order+1))
		}
		switch o {
		case accepted:
			s.commit(dt, &f)
			at += dt
			fails = 0
			// A step shortened to land on the hour does not shorten the wish.
			s.want = max(min(growLimit, fit)*dt, min(s.want, fit*dt))
			continue
		case tooCoarse:
			s.stat.TooCoarse++
			s.want = dt * max(cutLimit, min(0.8, fit))
		case diverged:
			s.stat.Diverged++
			s.want = dt * cutNewton
			s.kappa = 1
		}
		if fails++; fails >= 3 {
			s.restart()
		}
		if s.want < s.opt.MinStep {
			return fmt.Errorf("transient: hour %d, %.3g s in, step %.3g s: %w", s.hour, at, dt, ErrNotConverged)
		}
	}
	return nil
}

// commit makes the step just solved the present.
func (s *Solver) commit(dt float64, f *hour) {
	s.post(dt, f)
	if s.slope != nil {
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
	s.stat.SmallestDt = min(s.stat.SmallestDt, dt)
}
