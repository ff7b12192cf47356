package transient

import "errors"

// ErrNotConverged is wrapped by Result.Err when a step failed at the smallest
// step allowed.
var ErrNotConverged = errors.New("no convergence at the smallest step")

// Result is what a run did. Flows and balances cover this run only.
type Result struct {
	Err         error // nil, or wraps ErrNotConverged; the state is then that of Hours; of RunPeriodic also ErrNotPeriodic
	Hours       int   // hours completed
	Counters    Counters
	Flows       Flows
	StoredWater float64 // change over the run, kg/m²
	Years       int     // RunPeriodic alone: simulated
	Distance    float64 // RunPeriodic alone: largest correction of the last year's end, in RH or w/w_f, about the distance left
}

// Counters are the work of a run.
type Counters struct {
	Steps     int // accepted
	TooCoarse int // rejected by the error estimate
	Diverged  int // rejected because Newton did not converge
	Newton    int // iterations, rejected steps included
}

func (c Counters) plus(o Counters) Counters {
	return Counters{c.Steps + o.Steps, c.TooCoarse + o.TooCoarse, c.Diverged + o.Diverged, c.Newton + o.Newton}
}

// Flows are amounts per m² of wall since the start of the run, positive into
// the wall, in kg/m² and J/m².
type Flows struct {
	RainOffered float64 // driving rain, face and deposit together
	RainFace    float64 // rain, or water in contact, taken up at the face
	RainBehind  float64 // deposited behind the face
	VapourIn    float64 // vapour from inside
	HeatIn      float64 // enthalpy through the inner face, J/m²
}

// Run advances the wall by the given number of hours (to the end of the entry
// they end in), going on in the drive where the last run stopped, and calls
// observe (if not nil) at the end of every entry.
func (s *Solver) Run(d *Drive, hours int, observe Observer) Result {
	s.paths(func(p *path, _ int) { p.total = 0 }) // the last step's share is kept for BDF2
	s.offered, s.stat = 0, Counters{}
	before := s.Stored()
	var res Result
	for k := d.entry(s.Hour); res.Hours < hours; k = (k + 1) % len(d.hours) {
		step := d.length(k)
		s.polish = res.Hours+step >= hours
		if err := s.runEntry(d, k); err != nil {
			res.Err = err
			break
		}
		s.Hour += step
		res.Hours += step
		if observe != nil {
			observe(s)
		}
	}
	res.Counters, res.Flows, res.StoredWater = s.stat, s.Flows(), s.Stored()-before
	return res
}

// Stored returns the water the wall holds by the books, kg/m².
func (s *Solver) Stored() float64 { return waterIn(s.y) }

func waterIn(y []pair) (sum float64) {
	for i := range y {
		sum += y[i].u
	}
	return sum
}

// paths calls f with every path into the wall and its cell.
func (s *Solver) paths(f func(p *path, cell int)) {
	for k, e := range [2]*edgeFlux{&s.out, &s.in} {
		for _, p := range [3]*path{&e.vap, &e.liq, &e.q} {
			f(p, k*(s.n-1))
		}
	}
	for k := range s.src {
		q := &s.src[k]
		f(&q.g, q.cell)
		f(&q.q, q.cell)
	}
}

// Flows returns the amounts exchanged since the start of the run.
func (s *Solver) Flows() Flows {
	f := Flows{RainOffered: s.offered, RainFace: s.out.liq.total, VapourIn: s.in.vap.total, HeatIn: s.in.q.total}
	for k := range s.src {
		if s.src[k].kind == deposit {
			f.RainBehind += s.src[k].g.total
		}
	}
	return f
}
