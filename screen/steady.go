package screen

import (
	"math"

	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/wall"
)

// monthly judges a world by monthly balances with sized metres of insulation, and gives
// the facing that takes most driving rain. A
// wall with more layers or slices than the model holds (a configuration mistake)
// is answered with the worst utilisation, never with a good one. w.wall and w.ws
// hold what is behind the answer until the next call.
func (w *Worker) monthly(at *world, sized float64) (r indicator.Result, facing float64) {
	e, st := w.e, at.under
	fits := e.layers(&w.wall, at, sized)
	w.wall.Face = e.steadyFace(at)
	in := indicator.Monthly{Wall: &w.wall, Months: &at.zone.months[at.Indoor], Exterior: st.Side == "exterior", Timber: at.Timber != (depths{}), TimberDepth: e.depthOf(at),
		MasonryAw: at.Stone.Aw, MasonryWf: at.stone.Wf.Typical, LeakShare: at.LeakShare, FrostCycles: at.zone.frostCycles(indicator.Warming(&w.wall, &e.limits)),
		Which: st.which, Limits: &e.limits}
	for i, f := range at.facings {
		if open := at.zone.toward(f); i == 0 || open.Annual > in.Rain.Annual {
			in.Rain, facing = open, f
		}
	}
	in.Rain.Annual *= at.index
	in.Rain.Spell *= at.index
	r, cut := in.Judge(&w.ws)
	for id := range r {
		if (!fits || !cut) && st.which.Has(indicator.ID(id)) {
			r[id] = indicator.Failed
		}
	}
	return r, facing
}

// corners judges by monthly balances at all corners. It gives the typical world, the
// last, and its facing besides.
func (w *Worker) corners(after *ingest.Building, st *strategy, sized float64) (found [numCorners]indicator.Result, at world, facing float64) {
	for _, c := range []corner{favourable, adverse, typical} {
		at = w.e.worldOf(after, st, point{corner: c})
		found[c-favourable], facing = w.monthly(&at, sized)
	}
	return found, at, facing
}

// transmittance is U (W/(m²·K)) and R (m²K/W) of a wall.
func (w *Worker) transmittance(at *world, sized float64) (u, r float64) {
	w.e.layers(&w.wall, at, sized)
	return w.wall.U(w.e.limits.Rsi, w.e.limits.Rse), w.wall.Resistance()
}

// depthOf is the depth in m at which the steady tier judges timber: the
// shallowest of those it may lie at, nearest to the face that condensate wets, or that
// of joist ends.
func (e *Engine) depthOf(at *world) float64 {
	depth := math.Inf(1)
	for k, on := range at.Timber {
		if on || k == depthJoists && at.Timber == (depths{}) {
			depth = min(depth, e.places.Timber[k])
		}
	}
	return depth
}

// steadyFace returns what driving rain meets.
func (e *Engine) steadyFace(at *world) wall.Face {
	st, takes, row := at.under, at.stone, &e.outer[at.cat[ingest.OuterFinish]]
	finish := e.materials[row.Material]
	f := wall.Face{Aw: at.Stone.Aw * at.Skin.Factor, Scrit: at.Stone.Scrit}
	switch {
	case len(st.Outside) > 0:
		takes = e.materials[st.Outside[0].Material]
		f.Aw, f.Sd, f.Scrit = takes.Aw.Typical, takes.SdLayer(st.Outside[0].Thickness), takes.Scrit.Typical
	case finish != nil:
		f.Sd = finish.SdLayer(row.Thickness)
		if finish.Aw.Typical > 0 {
			takes = finish
			f.Aw, f.Scrit = takes.Aw.Typical*at.Skin.Factor, takes.Scrit.Typical
		}
	}
	if st.treats(at.cat[ingest.OuterFinish]) && len(st.Outside) == 0 {
		f.Sd += st.Face.SdAdd
	}
	if at.CoatUptake > 0 {
		f.Aw = min(f.Aw, at.CoatUptake/filmUptake(60)) // the film's w in kg/(m²·√s)
	}
	f.Wf, f.W80 = takes.Wf.Typical, takes.W80.Typical
	return f
}
