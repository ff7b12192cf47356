package indicator

import "wallsift/model/damage"

// Limits are the limits of both tiers, and the surface resistances and bounds the
// monthly tier computes with. All come from the limits table, in SI units.
type Limits struct {
	// Both tiers.
	Condensate             float64           // kg/m²
	CondensateNonabsorbent float64           // kg/m², where water cannot be taken up
	AbsorbentAw            float64           // kg/(m²·√s)
	Timber                 damage.TimberLine // 0–1
	WetFrontShare          float64           // 0–1 of the masonry
	AirLeak                float64           // kg/m²a that air leaks bring in

	// The transient tier.
	MouldSurface     float64 // mould index at the inner surface
	MouldCold        float64 // mould index at the cold face of the insulation
	TimberMoisture   float64 // kg/kg
	TimberActivation float64 // activation of decay, 1 = rot begins
	FrostMore        float64 // damaging cycles a year that a measure may add

	// The steady tier.
	SurfaceRH              float64 // 0–1
	Rsi, RsiMould, Rse     float64 // m²K/W
	SliceR                 float64 // m²K/W
	RainWHigh, RainWMedium float64 // kg/(m²·√h)
	RainSdMax              float64 // m
	RainWSdMax             float64 // kg/(m·√h)
	RainMediumFrom         float64 // l/m²a
	RainHighFrom           float64 // l/m²a
	FrostDepth, FrostZone  float64 // m
	FrostCyclesMin         float64 // 1/a
}
