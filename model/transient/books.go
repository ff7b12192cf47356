package transient

// Counters are the work of a run.
type Counters struct {
	Steps      int     // accepted
	TooCoarse  int     // rejected by the error estimate
	Diverged   int     // rejected because Newton did not converge
	Newton     int     // iterations, rejected steps included
	SmallestDt float64 // s, of an accepted step
}

// Flows are amounts per m² of wall since the start of the run, positive into
// the wall, in kg/m² and J/m².
type Flows struct {
	RainOffered float64 // driving rain, face and deposit together
	RainFace    float64 // rain taken up at the face
	RainBehind  float64 // deposited behind the face
	RunOff      float64 // offered and not taken
	VapourOut   float64 // vapour from outside
	VapourIn    float64 // vapour from inside
	Contact     float64 // liquid from water in contact with either face
	Vent        float64 // vapour through a ventilated cavity
	Drained     float64 // run out of a drained cavity, ≤ 0
	HeatOut     float64 // enthalpy through the outer face, J/m²
	HeatIn      float64 // enthalpy through the inner face, J/m²
	HeatOther   float64 // enthalpy with deposit, ventilation and drainage, J/m²
}

// Water returns the net inflow of water, kg/m².
func (f *Flows) Water() float64 {
	return f.RainFace + f.RainBehind + f.VapourOut + f.VapourIn + f.Contact + f.Vent + f.Drained
}

// Heat returns the net inflow of enthalpy, J/m².
func (f *Flows) Heat() float64 { return f.HeatOut + f.HeatIn + f.HeatOther }

// books integrates the flows at the edges of the wall.
type books struct {
	vapOut, liq, heatOut amount
	vapIn, liqIn, heatIn amount
	offered              float64
	// gross throughput: Σ|flow per step|.
	grossW, grossH float64
}

// post enters the step just solved, its flows linearised about the last Newton
// iterate like the amounts.
func (s *Solver) post(dt float64, f *hour) {
	b, n, r := &s.books, s.n, s.del
	a0, a1 := s.a0, s.a1
	o, e := &s.out, &s.in
	d0, dn := r[0], r[n-1]
	b.vapOut.add(dt*(o.vap+o.vapT*d0.t+o.vapU*d0.u), a0, a1)
	b.liq.add(dt*(o.liq+o.liqT*d0.t+o.liqU*d0.u), a0, a1)
	b.heatOut.add(dt*(o.q+o.qT*d0.t+o.qU*d0.u), a0, a1)
	b.vapIn.add(dt*(e.vap+e.vapT*dn.t+e.vapU*dn.u), a0, a1)
	b.liqIn.add(dt*(e.liq+e.liqT*dn.t+e.liqU*dn.u), a0, a1)
	b.heatIn.add(dt*(e.q+e.qT*dn.t+e.qU*dn.u), a0, a1)
	b.offered += dt * f.out.Rain
	b.grossW += abs(b.vapOut.last) + abs(b.liq.last) + abs(b.vapIn.last) + abs(b.liqIn.last)
	b.grossH += abs(b.heatOut.last) + abs(b.heatIn.last)
	for k := range s.src {
		q := &s.src[k]
		c := r[q.cell]
		q.water.add(dt*(q.g+q.gT*c.t+q.gU*c.u), a0, a1)
		q.heat.add(dt*(q.q+q.qT*c.t+q.qU*c.u), a0, a1)
		b.grossW += abs(q.water.last)
		b.grossH += abs(q.heat.last)
	}
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}

// openBooks zeroes the totals; the last step's share is kept for BDF2.
func (s *Solver) openBooks() {
	b := &s.books
	for _, a := range []*amount{&b.vapOut, &b.liq, &b.heatOut, &b.vapIn, &b.liqIn, &b.heatIn} {
		a.total = 0
	}
	b.offered, b.grossW, b.grossH = 0, 0, 0
	for k := range s.src {
		s.src[k].water.total, s.src[k].heat.total = 0, 0
	}
	s.stat = Counters{}
}

// flows reads the books.
func (s *Solver) flows() Flows {
	b := &s.books
	f := Flows{RainOffered: b.offered, RainFace: b.liq.total, VapourOut: b.vapOut.total, VapourIn: b.vapIn.total, Contact: b.liqIn.total,
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
	if s.touched {
		f.Contact += f.RainFace
		f.RainFace = 0
	}
	f.RunOff = f.RainOffered - f.RainFace - f.RainBehind
	return f
}
