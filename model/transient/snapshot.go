package transient

// Snapshot is a solver's state, to go back to.
type Snapshot struct {
	x    []pair
	hour int
}

// Save keeps the present state.
func (s *Solver) Save() Snapshot { return Snapshot{append([]pair(nil), s.x...), s.hour} }

// Restore goes back to a state saved since the last Reset. Step histories are
// dropped: what follows depends on the state alone.
func (s *Solver) Restore(p Snapshot) {
	copy(s.x, p.x)
	s.hour = p.hour
	s.restart()
	s.hist = 0
	s.stock()
}

// Water returns the water the wall holds, kg/m².
func (s *Solver) Water() float64 {
	w, _ := s.stored()
	return w
}

// EachRain calls f with the first hour and the driving rain (kg/m²) of every
// entry of the drive that has rain.
func (d *Drive) EachRain(f func(hour int, rain float64)) {
	at := 0
	for k := range d.hours {
		n := d.length(k)
		if r := d.hours[k].out.Rain; r > 0 {
			f(at, r*float64(n)*hourSeconds)
		}
		at += n
	}
}
