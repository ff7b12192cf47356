package transient

// Wet puts liquid water into the cells whose centres lie between the depths from
// and to (m), evenly by volume and at most up to free saturation, and returns
// what was taken, kg/m². Temperatures stay; the clock goes on. It models a
// wetting of the wall all at once, such as a leak.
func (s *Solver) Wet(from, to, amount float64) float64 {
	var width float64
	for i, x := range s.grid.x {
		if x >= from && x <= to {
			width += s.grid.dx[i]
		}
	}
	if width == 0 || amount <= 0 {
		return 0
	}
	var taken float64
	for i, x := range s.grid.x {
		if x < from || x > to {
			continue
		}
		t := s.joinTable(i)
		w := t.water(s.x[i].u)
		aim := min(w+amount/width, t.wf)
		if aim <= w {
			continue
		}
		s.x[i].u = bisect(func(u float64) float64 { return aim - t.water(u) })
		taken += (t.water(s.x[i].u) - w) * s.grid.dx[i]
	}
	s.restart()
	s.hist = 0
	s.stock()
	return taken
}
