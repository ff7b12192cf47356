package transient

import "errors"

// ErrNotConverged is wrapped by Result.Err when a step failed at the smallest
// step allowed.
var ErrNotConverged = errors.New("no convergence at the smallest step")

// Result is what a run did. Flows and balances cover this run only.
type Result struct {
	Err         error // nil, or wraps ErrNotConverged; the state is then that of Hours
	Hours       int   // hours completed
	Counters    Counters
	Flows       Flows
	StoredWater float64 // change over the run, kg/m²
}

// Counters are the work of a run.
type Counters struct {
	Steps     int // accepted
	TooCoarse int // rejected by the error estimate
	Diverged  int // rejected because Newton did not converge
	Newton    int // iterations, rejected steps included
}

func (c *Counters) add(o *Counters) {
	c.Steps += o.Steps
	c.TooCoarse += o.TooCoarse
	c.Diverged += o.Diverged
	c.Newton += o.Newton
}

// Flows are amounts per m² of wall since the start of the run, positive into
// the wall, in kg/m² and J/m².
type Flows struct {
	RainOffered float64 // driving rain, face and deposit together
	RainFace    float64 // rain, or water in contact, taken up at the face
	RainBehind  float64 // deposited behind the face
	VapourOut   float64 // vapour from outside
	VapourIn    float64 // vapour from inside
	LiquidIn    float64 // liquid through the inner face
	Vent        float64 // vapour through a ventilated cavity
	Drained     float64 // run out of a drained cavity, ≤ 0
	HeatOut     float64 // enthalpy through the outer face, J/m²
	HeatIn      float64 // enthalpy through the inner face, J/m²
	HeatOther   float64 // enthalpy with deposit, ventilation and drainage, J/m²
}

// Run advances the wall by the given number of hours (to the end of the entry
// they end in), going on in the drive where the last run stopped, and calls
// observe (if not nil) at the end of every entry.
func (s *Solver) Run(d *Drive, hours int, observe Observer) Result {
	s.openBooks()
	before := s.Water()
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
	res.Counters, res.Flows, res.StoredWater = s.stat, s.flows(), s.Water()-before
	return res
}

// Water returns the water the wall holds by the books, kg/m².
func (s *Solver) Water() (sum float64) {
	for i := range s.y {
		sum += s.y[i].u
	}
	return sum
}

// amount integrates one flow over time with the same formula as the cells, so
// that what left the books on one side arrives on the other to round-off.
type amount struct {
	last  float64 // passed in the last step
	total float64 // passed since the books were opened
}

// add books a step in which the flow's end value times the step is fdt (ra0 is
// 1/a₀).
func (a *amount) add(fdt, a1, ra0 float64) {
	a.last = (fdt + a1*a.last) * ra0
	a.total += a.last
}

// books integrates the flows at the edges of the wall.
type books struct {
	vapOut, liq, heatOut amount
	vapIn, liqIn, heatIn amount
	offered              float64
}

// post enters the step just solved, its flows linearised about the last Newton
// iterate like the amounts.
func (s *Solver) post(dt float64, f *hour) {
	b, r, a1, ra0 := &s.books, s.sys.r, s.a1, 1/s.a0
	end := func(v, vT, vU float64, d pair) float64 { return dt * (v + vT*d.t + vU*d.u) }
	o, e, d0, dn := &s.out, &s.in, r[0], r[s.n-1]
	b.vapOut.add(end(o.vap, o.vapT, o.vapU, d0), a1, ra0)
	b.liq.add(end(o.liq, o.liqT, o.liqU, d0), a1, ra0)
	b.heatOut.add(end(o.q, o.qT, o.qU, d0), a1, ra0)
	b.vapIn.add(end(e.vap, e.vapT, e.vapU, dn), a1, ra0)
	b.liqIn.add(end(e.liq, e.liqT, e.liqU, dn), a1, ra0)
	b.heatIn.add(end(e.q, e.qT, e.qU, dn), a1, ra0)
	b.offered += dt * f.out.Rain
	for k := range s.src {
		q := &s.src[k]
		q.water.add(end(q.g, q.gT, q.gU, r[q.cell]), a1, ra0)
		q.heat.add(end(q.q, q.qT, q.qU, r[q.cell]), a1, ra0)
	}
}

// openBooks zeroes the totals; the last step's share is kept for BDF2.
func (s *Solver) openBooks() {
	b := &s.books
	for _, a := range []*amount{&b.vapOut, &b.liq, &b.heatOut, &b.vapIn, &b.liqIn, &b.heatIn} {
		a.total = 0
	}
	b.offered = 0
	for k := range s.src {
		s.src[k].water.total, s.src[k].heat.total = 0, 0
	}
	s.stat = Counters{}
}

// flows reads the books.
func (s *Solver) flows() Flows {
	b := &s.books
	f := Flows{RainOffered: b.offered, RainFace: b.liq.total, VapourOut: b.vapOut.total, VapourIn: b.vapIn.total, LiquidIn: b.liqIn.total,
		HeatOut: b.heatOut.total, HeatIn: b.heatIn.total}
	for k := range s.src {
		q := &s.src[k]
		f.HeatOther += q.heat.total
		switch q.kind {
		case deposit:
			f.RainBehind += q.water.total
		case vent:
			f.Vent += q.water.total
		case drain:
			f.Drained += q.water.total
		}
	}
	return f
}
