package indicator

// frost compares the degree of saturation of the outer zone with the critical
// one. Fewer wet cycles a year than CyclesMin scale the demand down.
func frost(in *RainInput) Value {
	f := &in.Face
	if f.Porosity == 0 {
		return Value{Month: -1, Day: -1}
	}
	water := min(f.Wf, f.W80+absorbed(in)/in.Limits.FrostZone)
	s := min(water/(1000*f.Porosity), 1)
	weight := min(in.FrostCycles/in.Limits.FrostCyclesMin, 1)
	return value(s*weight, f.Scrit, -1)
}
