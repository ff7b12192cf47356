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

// Rain is the driving rain on the wall.
type Rain struct {
	Annual     float64 // l/m²a
	Spell      float64 // l/m² in a long spell
	SpellHours float64 // h of rain in it
}

// Input is one wall in one climate in one state of knowledge.
type Input struct {
	Wall        *wall.Wall
	Months      [12]steady.Month
	Rain        Rain
	FrostCycles float64 // wet freeze-thaw cycles a year at Limits.FrostDepth
	Timber      bool    // timber is embedded
	TimberDepth float64 // m from the inner face of the masonry
	Exterior    bool    // the insulation is on the outer face
	Which       Set     // indicators asked for
	Limits      Limits
}

// Result holds every indicator's answer and the transmittance.
type Result struct {
	Values [Count]Value
	U      float64 // W/(m²·K)
}

// Workspace is scratch memory for Evaluate; one serves one goroutine.
type Workspace struct {
	Profile steady.Profile
	Solver  steady.Solver
	Year    steady.Condensation
}

// Evaluate judges the wall. It allocates nothing; after it returns, ws holds
// the profile and the year of condensation behind the answers. It reports
// false when the wall needs more slices than a profile has.
func Evaluate(in *Input, ws *Workspace) (Result, bool) {
	r := Result{U: in.Wall.U(in.Limits.Rsi, in.Limits.Rse)}
	p := &ws.Profile
	if !p.Cut(in.Wall, in.Limits.Rse, in.Limits.Rsi, in.Limits.SliceR, in.TimberDepth) {
		return r, false
	}
	ws.Year = ws.Solver.Condense(p, &in.Months)
	for id := range Count {
		if in.Which.Has(id) {
			r.Values[id] = evaluate(id, in, ws)
		} else {
			r.Values[id].Month = -1
		}
	}
	return r, true
}

func evaluate(id ID, in *Input, ws *Workspace) Value {
	switch id {
	case SurfaceMould:
		return surfaceMould(in)
	case Condensate:
		return condensate(in, &ws.Profile, &ws.Year)
	case DryingReserve:
		return dryingReserve(in, &ws.Profile, &ws.Year)
	case TimberHumidity:
		return timberHumidity(in, &ws.Year)
	case RainProtection:
		return rainProtection(in)
	case WetFront:
		return wetFront(in)
	default:
		return frost(in)
	}
}

// Governing returns the applying indicator with the largest utilisation, and
// false when none applies.
func (r *Result) Governing() (ID, bool) {
	best, found := ID(0), false
	for id := range Count {
		v := &r.Values[id]
		if v.Applies && (!found || v.Utilisation > r.Values[best].Utilisation) {
			best, found = id, true
		}
	}
	return best, found
}
