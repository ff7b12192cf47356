package transient

// What is seen of a wall while it runs, as an Observer reads it.

// Cells returns the number of cells.
func (s *Solver) Cells() int { return s.n }

// Depth returns the depth of cell i's centre, m from the outer face.
func (s *Solver) Depth(i int) float64 { return s.mid[i] }

// Width returns the width of cell i, m.
func (s *Solver) Width(i int) float64 { return s.dx[i] }

// CellAt returns the cell that contains depth x (m).
func (s *Solver) CellAt(x float64) int {
	i := 0
	for i < s.n-1 && x >= s.mid[i]+s.dx[i]/2 {
		i++
	}
	return i
}

// RH returns the relative humidity of cell i, 0–1 (a trace above 1 where pores
// are overfilled).
func (s *Solver) RH(i int) float64 { return relativeHumidity(s.tableOf(i), s.x[i]) }

// Water returns the water content of cell i with its ice, kg/m³.
func (s *Solver) Water(i int) float64 { return s.y[i].u / s.dx[i] }

// LayerWater returns the water held by a layer, kg/m².
func (s *Solver) LayerWater(layer int) float64 {
	first, last := s.span(layer)
	return waterIn(s.y[first:last])
}

// Contact returns temperature (°C) and relative humidity (0–1) at the outer face
// of a layer that is not the outermost one: the state for which what one layer
// brings the other takes. It hardly depends on the width of the cells, where the
// centre of the layer's first cell lies some millimetres of insulation inside.
func (s *Solver) Contact(layer int) (theta, rh float64) {
	i, _ := s.span(layer)
	j, a, b := &s.joins[i], &s.cells[i-1], &s.cells[i]
	l, r := s.x[i-1], s.x[i]
	rl, rr := j.resistances(a, b)
	theta = l.t - rl/(rl+rr)*(l.t-r.t)
	// From the last trial of the step to its end.
	u, right := j.followed(l, r)
	if j.ifc.gap() {
		u = right
	}
	return theta, relativeHumidity(j.tr, pair{theta, u})
}

// Observer is called at the end of every entry of the drive.
type Observer func(*Solver)

// Spot is a depth between the centres of two cells of one layer, so that what is
// read there does not move with the grid.
type Spot struct {
	i, j  int
	share float64 // of j
}

// Spot returns the spot at depth x (m): between the centres of the cells about it, and
// at the centre of the cell in the outer half of a layer's last one.
func (s *Solver) Spot(x float64) Spot {
	i := s.CellAt(x)
	j := i
	if x > s.mid[i] && i+1 < s.n {
		j = i + 1
	} else if x < s.mid[i] && i > 0 {
		j = i - 1
	}
	if i == j || s.layer[i] != s.layer[j] {
		return Spot{i, i, 0}
	}
	return Spot{i, j, (x - s.mid[i]) / (s.mid[j] - s.mid[i])}
}

// Climate returns temperature (°C) and relative humidity (0–1) at a spot.
func (s *Solver) Climate(p Spot) (theta, rh float64) {
	a, b := s.x[p.i], s.x[p.j]
	x := pair{a.t + p.share*(b.t-a.t), a.u + p.share*(b.u-a.u)}
	return x.t, relativeHumidity(s.tableOf(p.i), x)
}

// Filling returns temperature (°C) and the water, ice included, over free saturation
// at a spot.
func (s *Solver) Filling(p Spot) (theta, fill float64) {
	mix := func(a, b float64) float64 { return (1-p.share)*a + p.share*b }
	return mix(s.x[p.i].t, s.x[p.j].t), mix(s.Water(p.i), s.Water(p.j)) / s.tableOf(p.i).wf
}
