package transient

// amount integrates one flow over time with the same formula as the cells, so
// that what left the books on one side arrives on the other to round-off.
type amount struct {
	last  float64 // passed in the last step
	total float64 // passed since the books were opened
}

// add books a step in which the flow's end value times the step is fdt.
func (a *amount) add(fdt, a0, a1 float64) {
	a.last = (fdt + a1*a.last) / a0
	a.total += a.last
}
