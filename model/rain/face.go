package rain

import "math"

// Absorbed returns the water in kg/m² that a face takes up in a spell: all that
// falls on it, or what capillarity draws in over the rain hours, whichever is
// less. spell in l/m², aw in kg/(m²·√s).
func Absorbed(spell, hours, aw float64) float64 {
	return min(spell, aw*math.Sqrt(hours*3600))
}

// FrontDepth returns the depth in m that absorbed water (kg/m²) wets with a
// sharp front behind which the stone holds wf (kg/m³, > 0).
func FrontDepth(absorbed, wf float64) float64 { return absorbed / wf }
