package transient

// assemble evaluates all fluxes at iterate s.it and fills the Newton system
// J·Δ = −R of
//
//	R_i = a0·(m_i(x) − y_i) − a1·d_i − dt·(F_in − F_out + S)_i
//
// with m the enthalpy and water of cell i, y its booked amounts at the start of
// the step and d their change in the step before (a1 = 0: backward Euler).
func (s *Solver) assemble(dt, a0, a1 float64, f *hour, d *Drive, wetting bool) {
	n := s.n
	it, cells := s.it[:n], s.cells[:n]
	dx, y, dy := s.grid.dx[:n], s.y[:n], s.d[:n]
	di, up, r := s.sys.di[:n], s.sys.up[:n], s.sys.r[:n]

	for i := range cells {
		c := &cells[i]
		v := a0 * dx[i]
		di[i] = mat2{v * c.hT, v * c.hU, 0, v * c.wU}
		r[i] = pair{
			a1*dy[i].t - a0*(c.h*dx[i]-y[i].t),
			a1*dy[i].u - a0*(c.w*dx[i]-y[i].u),
		}
	}

	s.edges(f, d, wetting)
	o := &s.out
	r[0].t += dt * o.q
	r[0].u += dt * (o.vap + o.liq)
	di[0].tt -= dt * o.qT
	di[0].tu -= dt * o.qU
	di[0].ut -= dt * (o.vapT + o.liqT)
	di[0].uu -= dt * (o.vapU + o.liqU)

	for k := range s.runs {
		a, b := s.runs[k].first, s.runs[k].last
		if a > 0 {
			s.contact(a, dt, wetting)
		}
		s.interior(a, b, dt)
	}
	up[n-1] = mat2{}

	e := &s.in
	r[n-1].t += dt * e.q
	r[n-1].u += dt * (e.vap + e.liq)
	di[n-1].tt -= dt * e.qT
	di[n-1].tu -= dt * e.qU
	di[n-1].ut -= dt * (e.vapT + e.liqT)
	di[n-1].uu -= dt * (e.vapU + e.liqU)

	for k := range s.src {
		q := &s.src[k]
		i := q.cell
		q.eval(&f.out, &cells[i], it[i], s.joinTable(i).wf)
		r[i].t += dt * q.q
		r[i].u += dt * q.g
		di[i].tt -= dt * q.qT
		di[i].tu -= dt * q.qU
		di[i].ut -= dt * q.gT
		di[i].uu -= dt * q.gU
	}
}

// contact adds the flux over the interface between cells i−1 and i.
func (s *Solver) contact(i int, dt float64, wetting bool) {
	var f flux
	f.across(&s.joins[i], &s.cells[i-1], &s.cells[i], s.it[i-1], s.it[i], wetting)
	if s.slope != nil {
		s.slope[i] = pair{f.glU, f.grU}
	}
	l := mat2{dt * f.qlT, dt * f.qlU, dt * f.glT, dt * f.glU}
	u := mat2{dt * f.qrT, dt * f.qrU, dt * f.grT, dt * f.grU}
	s.sys.couple(i, l, u, dt*f.q, dt*f.g)
}

// edges evaluates both faces of the wall.
func (s *Solver) edges(f *hour, d *Drive, wetting bool) {
	last := s.n - 1
	outer := &s.wall.Layers[0]
	rain := f.out.Rain * (1 - s.wall.RainShare - s.wall.SkinShare)
	if most := s.wall.RainLimit / hourSeconds; most > 0 {
		rain = min(rain, most)
	}
	if outer.Contact.breaks() {
		rain = 0
	}
	a := halfCell{&s.cells[0], s.runs[0].t, s.grid.dx[0] / 2}
	s.out.eval(&f.out, &a, s.it[0], &outer.Contact, &d.contact[Outer], rain, wetting)
	a = halfCell{&s.cells[last], s.runs[len(s.runs)-1].t, s.grid.dx[last] / 2}
	s.in.eval(&f.in, &a, s.it[last], &s.wall.Inner, &d.contact[Inner], 0, wetting)
}

func (s *Solver) joinTable(i int) *table { return s.runs[s.grid.layer[i]].t }
