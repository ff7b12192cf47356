package steady

// Planes returns the nodes that hold condensate after the last Condense.
func (v *Solver) Planes(p *Profile) []int {
	var nodes []int
	for i := range p.N {
		if v.held[i] > 0 {
			nodes = append(nodes, i)
		}
	}
	return nodes
}

// HumidityAt returns the relative humidity (0–1) at a node under the vapour
// pressure line of the last month that Condense treated. The
// node must be an end of the wall, an interface of layers, or the mark.
func (v *Solver) HumidityAt(p *Profile, node int) float64 { return v.rh(p, node) }
