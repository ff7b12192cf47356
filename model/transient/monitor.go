package transient

// Sample is the state at one depth and hour.
type Sample struct {
	Hour  int     // end of this hour since the state was set
	Depth float64 // m from the outer face
	Theta float64 // °C
	RH    float64 // 0–1
	Water float64 // kg/m³, ice included
	Ice   float64 // kg/m³
	Fill  float64 // water over free saturation
}

// Monitor records samples at chosen depths; its Observe method is an Observer.
type Monitor struct {
	Depths  []float64 // m from the outer face
	Every   int       // hours between samples; 0 means 1
	Samples []Sample  // by hour, then in the order of Depths
}

// Observe records v where it is due.
func (m *Monitor) Observe(v *State) {
	if m.Every > 1 && v.Hour%m.Every != 0 {
		return
	}
	for _, x := range m.Depths {
		m.Samples = append(m.Samples, v.At(x))
	}
}

// Between returns the two cells of one layer whose centres depth x (m) lies
// between, and the share of j; i = j in the outer half of a layer's last cell.
func (v *State) Between(x float64) (i, j int, share float64) {
	i = v.CellAt(x)
	j = i
	if x > v.Depth(i) && i+1 < v.Cells() {
		j = i + 1
	} else if x < v.Depth(i) && i > 0 {
		j = i - 1
	}
	if i == j || v.Layer(i) != v.Layer(j) {
		return i, i, 0
	}
	return i, j, (x - v.Depth(i)) / (v.Depth(j) - v.Depth(i))
}

// At returns the state at depth x, interpolated between cell centres of the same
// layer and constant in the outer half of a layer's last cell.
func (v *State) At(x float64) Sample {
	i, j, f := v.Between(x)
	mix := func(get func(int) float64) float64 { return (1-f)*get(i) + f*get(j) }
	s := Sample{Hour: v.Hour, Depth: x, Theta: mix(v.Theta), RH: mix(v.RH), Water: mix(v.Water), Ice: mix(v.Ice)}
	s.Fill = s.Water / v.s.joinTable(i).wf
	return s
}
