package indicator

import (
	"wallsift/model/rain"
	"wallsift/model/steady"
	"wallsift/model/wall"
)

// Monthly is one wall with every number settled, for the steady tier.
type Monthly struct {
	Wall        *wall.Wall
	Months      *[12]steady.Month
	Exterior    bool         // the insulation is on the outer face
	Timber      bool         // timber is embedded
	TimberDepth float64      // m from the inner face of the masonry
	MasonryAw   float64      // kg/(m²·√s), of the masonry behind any finish
	MasonryWf   float64      // kg/m³, its free saturation
	Rain        rain.Normals // on the wall, not the airfield
	LeakShare   float64      // of the driving rain that gets behind the face, 0–1
	FrostCycles float64      // wet freeze-thaw cycles a year at Limits.FrostDepth, see Warming
	Which       Set          // indicators asked for
	Limits      *Limits
}

// Workspace is scratch memory for Judge; one serves one goroutine. After Judge it
// holds the profile and the year behind the answers.
type Workspace struct {
	Monthly // the wall at hand
	Profile steady.Profile
	Solver  steady.Solver
	Year    steady.Condensation
}

// Judge runs the year of heat and vapour and gives every indicator asked for its
// answer. It allocates nothing. It reports false when the wall needs more slices
// than a profile has.
func (in *Monthly) Judge(ws *Workspace) (Result, bool) {
	var r Result
	l := in.Limits
	ws.Monthly = *in
	if !ws.Profile.Cut(in.Wall, l.Rse, l.Rsi, l.SliceR, in.TimberDepth) {
		return r, false
	}
	ws.Year = ws.Solver.Condense(&ws.Profile, in.Months)
	for id := range Count {
		r[id] = nothing
		if m := measures[id]; m.judge != nil && in.Which.Has(id) {
			r[id] = m.judge(ws)
		}
	}
	return r, true
}

// Warming returns the share (0–1) of the difference between inside and outside
// that is left at the frost depth: what lifts the face above the air.
func Warming(w *wall.Wall, l *Limits) float64 {
	return (l.Rse + w.ResistanceTo(l.FrostDepth)) / (l.Rse + w.Resistance() + l.Rsi)
}
