// Package benefit counts what a retrofit saves. Prices and carbon factors are
// the user's; none is built in.
package benefit

// Saved returns the conducted heat saved in kWh/m²a when the transmittance
// falls from before to after (W/(m²·K)) in a climate with the given heating
// degree-hours (K·h/a). Negative when the wall loses more than before.
func Saved(before, after, degreeHours float64) float64 {
	return (before - after) * degreeHours / 1000
}

// PerRisk returns the energy saved per unit of governing utilisation. The
// floor keeps walls with next to no risk from dividing by nothing; below it,
// risk no longer tells walls apart. 0.1 is a choice of this tool.
func PerRisk(saved, utilisation float64) float64 {
	const floor = 0.1
	return saved / max(utilisation, floor)
}
