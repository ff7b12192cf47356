package transient

// State is the wall at the end of an hour, as an Observer sees it. It reads the
// solver's memory: valid only during the call.
type State struct {
	s    *Solver
	Hour int // hours since the state was set; the first call sees 1
}

// Cells returns the number of cells.
func (v *State) Cells() int { return v.s.n }

// Depth returns the depth of cell i's centre, m from the outer face.
func (v *State) Depth(i int) float64 { return v.s.grid.x[i] }

// Width returns the width of cell i, m.
func (v *State) Width(i int) float64 { return v.s.grid.dx[i] }

// Layer returns the layer of cell i.
func (v *State) Layer(i int) int { return v.s.grid.layer[i] }

// CellAt returns the cell that contains depth x (m).
func (v *State) CellAt(x float64) int { return v.s.grid.cellAt(x) }

// Theta returns the temperature of cell i, °C.
func (v *State) Theta(i int) float64 { return v.s.x[i].t }

// RH returns the relative humidity of cell i, 0–1 (a trace above 1 where pores
// are overfilled).
func (v *State) RH(i int) float64 { return relativeHumidity(v.s.tableOf(i), v.s.x[i]) }

// Water returns the water content of cell i with its ice, kg/m³.
func (v *State) Water(i int) float64 { return v.s.y[i].u / v.s.grid.dx[i] }

// LayerWater returns the water held by a layer, kg/m².
func (v *State) LayerWater(layer int) float64 {
	r := v.s.runs[layer]
	var sum float64
	for i := r.first; i < r.last; i++ {
		sum += v.s.y[i].u
	}
	return sum
}

// Contact returns temperature (°C) and relative humidity (0–1) at the outer face
// of a layer that is not the outermost one: the state for which what one layer
// brings the other takes. It hardly depends on the width of the cells, where the
// centre of the layer's first cell lies some millimetres of insulation inside.
func (v *State) Contact(layer int) (theta, rh float64) {
	i := v.s.runs[layer].first
	j, a, b := &v.s.joins[i], &v.s.cells[i-1], &v.s.cells[i]
	l, r := v.s.x[i-1], v.s.x[i]
	rl, rr := j.resistances(a, b)
	theta = l.t - rl/(rl+rr)*(l.t-r.t)
	// From the last trial of the step to its end.
	u, right := j.followed(l, r)
	if j.ifc.gap() {
		u = right
	}
	return theta, relativeHumidity(j.tr, pair{theta, u})
}

// Flows returns the amounts exchanged since the start of the run.
func (v *State) Flows() Flows { return v.s.flows() }

// State returns the solver's present state, valid until it runs again.
func (s *Solver) State() *State {
	s.view.s, s.view.Hour = s, s.hour
	return &s.view
}

// Observer is called at the end of every hour.
type Observer func(*State)

// Spot is a depth between the centres of two cells of one layer, so that what is
// read there does not move with the grid.
type Spot struct {
	i, j  int
	share float64 // of j
}

// Spot returns the spot at depth x (m): between the centres of the cells about it, and
// at the centre of the cell in the outer half of a layer's last one.
func (v *State) Spot(x float64) Spot {
	i := v.CellAt(x)
	j := i
	if x > v.Depth(i) && i+1 < v.Cells() {
		j = i + 1
	} else if x < v.Depth(i) && i > 0 {
		j = i - 1
	}
	if i == j || v.Layer(i) != v.Layer(j) {
		return Spot{i, i, 0}
	}
	return Spot{i, j, (x - v.Depth(i)) / (v.Depth(j) - v.Depth(i))}
}

// Climate returns temperature (°C) and relative humidity (0–1) at a spot.
func (v *State) Climate(p Spot) (theta, rh float64) {
	a, b := v.s.x[p.i], v.s.x[p.j]
	x := pair{a.t + p.share*(b.t-a.t), a.u + p.share*(b.u-a.u)}
	return x.t, relativeHumidity(v.s.tableOf(p.i), x)
}

// Filling returns temperature (°C) and the water, ice included, over free saturation
// at a spot.
func (v *State) Filling(p Spot) (theta, fill float64) {
	mix := func(of func(int) float64) float64 { return (1-p.share)*of(p.i) + p.share*of(p.j) }
	return mix(v.Theta), mix(v.Water) / v.s.tableOf(p.i).wf
}
