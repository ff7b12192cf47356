package indicator

import (
	"wallsift/model/steady"
	"wallsift/model/wall"
)

// Limits holds the limits and parameters the indicators use, in SI units.
type Limits struct {
	SurfaceRH              float64 // 0–1
	Rsi, RsiMould, Rse     float64 // m²K/W
	SliceR                 float64 // m²K/W
	Condensate             float64 // kg/m²
	CondensateNonabsorbent float64 // kg/m²
	AbsorbentAw            float64 // kg/(m²·√s)
	TimberRH0, TimberRH30  float64 // 0–1
	RainWHigh, RainWMedium float64 // kg/(m²·√h)
	RainSdMax              float64 // m
	RainWSdMax             float64 // kg/(m·√h)
	RainMediumFrom         float64 // l/m²a
	RainHighFrom           float64 // l/m²a
	WetFrontShare          float64 // 0–1
	LeakShare              float64 // 0–1
	FrostDepth, FrostZone  float64 // m
	FrostCyclesMin         float64 // 1/a
}

// HeatInput is a wall with the air on both sides: all that heat and vapour need.
type HeatInput struct {
	Wall        *wall.Wall
	Months      *[12]steady.Month
	TimberDepth float64 // m from the inner face of the masonry
	Exterior    bool    // the insulation is on the outer face
	Limits      *Limits
}

// Heat holds the answers that do not depend on rain. Walls that differ only in
// exposure, orientation, height or face share one.
type Heat struct {
	U          float64 // W/(m²·K)
	R          float64 // m²K/W of the layers
	Surface    Value
	Condensate Value
	Timber     Value
	Condensed  float64 // kg/m²a
	Drying     float64 // kg/m²a, what the critical plane can give off
	Warming    float64 // share of the inside-outside difference left at the frost depth
}

// Workspace is scratch memory for EvaluateHeat; one serves one goroutine.
type Workspace struct {
	Profile steady.Profile
	Solver  steady.Solver
	Year    steady.Condensation
}

// EvaluateHeat runs the year of heat and vapour. It allocates nothing; after it
// returns, ws holds the profile and the year behind the answers. It reports
// false when the wall needs more slices than a profile has.
func EvaluateHeat(in *HeatInput, ws *Workspace) (Heat, bool) {
	l := in.Limits
	h := Heat{U: in.Wall.U(l.Rsi, l.Rse), R: in.Wall.Resistance()}
	p := &ws.Profile
	if !p.Cut(in.Wall, l.Rse, l.Rsi, l.SliceR, in.TimberDepth) {
		return h, false
	}
	ws.Year = ws.Solver.Condense(p, in.Months)
	h.Surface = surfaceMould(in, h.R)
	h.Condensate = condensate(in, p, &ws.Year)
	h.Timber = timberHumidity(in, &ws.Year)
	h.Condensed = ws.Year.Condensed
	node := p.Inner
	if in.Exterior {
		node = p.Outer
	}
	h.Drying = ws.Solver.DryingCapacity(p, in.Months, node)
	h.Warming = (l.Rse + in.Wall.ResistanceTo(l.FrostDepth)) / p.Total
	return h, true
}

// Rain is the driving rain on the wall.
type Rain struct {
	Annual     float64 // l/m²a
	Spell      float64 // l/m² in a long spell
	SpellHours float64 // h of rain in it
}

// RainInput is what rain and frost do to the wall, with the answers of
// EvaluateHeat.
type RainInput struct {
	Heat        *Heat
	Face        wall.Face
	Masonry     float64 // m, thickness
	MasonryAw   float64 // kg/(m²·√s), of the masonry behind any finish
	MasonryWf   float64 // kg/m³, free saturation of the masonry
	Rain        Rain
	FrostCycles float64 // wet freeze-thaw cycles a year at Limits.FrostDepth
	Timber      bool    // timber is embedded
	Which       Set     // indicators asked for
	Limits      *Limits
}

// Result holds every indicator's answer.
type Result [Count]Value

// Judge gives every indicator asked for its value.
func Judge(in *RainInput) Result {
	var r Result
	for id := range Count {
		r[id].Month, r[id].Day = -1, -1
		if in.Which.Has(id) {
			r[id] = judge(id, in)
		}
	}
	return r
}

func judge(id ID, in *RainInput) Value {
	switch id {
	case SurfaceMould:
		return in.Heat.Surface
	case Condensate:
		return in.Heat.Condensate
	case DryingReserve:
		return dryingReserve(in)
	case TimberHumidity:
		if !in.Timber {
			return Value{Month: -1, Day: -1}
		}
		return in.Heat.Timber
	case RainProtection:
		return rainProtection(in)
	case WetFront:
		return wetFront(in)
	case Frost:
		return frost(in)
	}
	return Value{Month: -1, Day: -1} // the transient tier's alone
}

// Governing returns the applying indicator with the largest utilisation, and
// false when none applies.
func (r *Result) Governing() (ID, bool) {
	best, found := ID(0), false
	for id := range Count {
		if v := &r[id]; v.Applies && (!found || v.Utilisation > r[best].Utilisation) {
			best, found = id, true
		}
	}
	return best, found
}
