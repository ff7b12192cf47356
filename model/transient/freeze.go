package transient

// Ice begins where the suction it exerts exceeds that of the pore water. There
// the heat capacity of a wet cell jumps by an order of magnitude, and Newton's
// method started on one branch lands far out on the other and swings for ever.
// So an iterate that crosses the onset is stopped just beyond it, where the
// slope of the new branch is known.

// onset returns the temperature, °C, at which ice begins at state u.
func (t *table) onset(u float64) float64 {
	g, q := t.locate(u)
	s, _ := poly(&g.sigma, q)
	return -s * rhoRv / freezeSuction
}

// crosses reports whether the pending Newton correction takes cell i over the
// onset of ice.
func (s *Solver) crosses(i int) bool {
	if s.opt.NoIce {
		return false
	}
	d := s.sys.r[i]
	on := s.joinTable(i).onset(s.it[i].u + clamp(d.u, maxDeltaU))
	frozen := s.cells[i].liq < 1
	return frozen != (s.it[i].t+clamp(d.t, maxDeltaT) < on)
}

// beyondFreezing returns the temperature just beyond the onset of ice for cell
// i, whose u has been moved already.
func (s *Solver) beyondFreezing(i int) float64 {
	const hair = 2e-3 // K, well above what the two tables differ by
	on := s.joinTable(i).onset(s.it[i].u)
	if s.cells[i].liq < 1 {
		return on + hair
	}
	return on - hair
}
