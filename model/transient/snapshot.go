package transient

import "slices"

// Snapshot is the state of a wall, to go back to or to start another wall of the
// same grid from. The zero value fits no wall.
type Snapshot struct {
	x    []pair
	dx   []float64 // widths of the cells the state belongs to
	hour int
}

// Save keeps the present state.
func (s *Solver) Save() Snapshot {
	return Snapshot{slices.Clone(s.x), slices.Clone(s.grid.dx), s.hour}
}

// Restore sets state and clock to those of p, which may come from another wall,
// and reports whether it did: it does nothing where the grids differ. Suction is
// common to all materials, so a wall of other materials starts in the humidity
// of the one that was saved. What follows depends on the state alone.
func (s *Solver) Restore(p Snapshot) bool {
	if !slices.Equal(p.dx, s.grid.dx) {
		return false
	}
	copy(s.x, p.x)
	s.hour = p.hour
	s.begin()
	return true
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
