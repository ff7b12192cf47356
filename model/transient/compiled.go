package transient

// Compiled is a material made ready for the step loop. It is immutable; any
// number of walls and goroutines may share it.
type Compiled struct {
	Material
	tab *table
}

// Compile checks a material and tabulates its functions (about a millisecond;
// do it once per material, not once per wall).
func Compile(m Material) (*Compiled, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	return &Compiled{Material: m, tab: compile(&m)}, nil
}

// Water returns the equilibrium water content in kg/m³ at relative humidity rh
// (0–1, read at 20 °C).
func (c *Compiled) Water(rh float64) float64 { return c.tab.water(uOfS(Suction(rh, 20))) }
