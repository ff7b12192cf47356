package screen

import (
	"math"

	"wallsift/model/damage"
	"wallsift/model/indicator"
	"wallsift/model/simulate"
)

// The outputs of a response surface: utilisations of an outcome on the scale of
// press, timber at every depth by itself.
const (
	outSurface = iota
	outCold
	outCondensate
	outDrying
	outHumidity
	outRot     = outHumidity + simulate.TimberClasses
	outFront   = outRot + simulate.TimberClasses
	outFrost   = outFront + 1
	numOutputs = outFrost + 1
)

// MostUtilisation is the ceiling at which utilisations that are sampled are cut,
// leastUtilisation the floor: beyond, it does not matter how far.
const (
	MostUtilisation  = 4
	leastUtilisation = 0.05
)

// outputIndicator says which indicator an output belongs to.
var outputIndicator = func() (of [numOutputs]indicator.ID) {
	of[outSurface], of[outCold], of[outCondensate], of[outDrying] = indicator.SurfaceMould, indicator.ColdFaceMould, indicator.Condensate, indicator.DryingReserve
	of[outFront], of[outFrost] = indicator.WetFront, indicator.Frost
	for k := range simulate.TimberClasses {
		of[outHumidity+k], of[outRot+k] = indicator.TimberHumidity, indicator.TimberDecay
	}
	return of
}()

// outputs takes the pressed utilisations of an outcome; NaN where it has none.
func (e *Engine) outputs(o *simulate.Outcome, st *strategy, before *damage.FrostYear) (y [numOutputs]float32) {
	for i := range y {
		y[i] = float32(math.NaN())
	}
	if o.Failed {
		return y
	}
	all := simulate.Question{Which: st.which, Params: &e.params, Timber: true, Before: before}
	for k := range simulate.TimberClasses {
		q := all
		q.Classes[k] = true
		r := o.Judge(&q)
		for i, id := range outputIndicator {
			depth := i - outHumidity
			if i >= outRot {
				depth = i - outRot
			}
			timber := id == indicator.TimberHumidity || id == indicator.TimberDecay
			if r[id].Applies && (!timber || depth == k) {
				y[i] = float32(press(r[id].Utilisation))
			}
		}
	}
	return y
}

// relevant says whether an output judges a world under a strategy.
func relevant(i int, st *strategy, w *world) bool {
	switch {
	case !st.which.Has(outputIndicator[i]):
		return false
	case i >= outRot && i < outFront:
		return w.timber && w.classes[i-outRot]
	case i >= outHumidity && i < outRot:
		return w.timber && w.classes[i-outHumidity]
	}
	return true
}

// governing returns the largest relevant utilisation, as pressed, and which output it
// is, false when nothing judges.
func governing(y []float64, st *strategy, w *world) (u float64, output int, found bool) {
	for i, v := range y {
		if relevant(i, st, w) && !math.IsNaN(v) && (!found || v > u) && !tooDryToRot(i, y, st) {
			u, output, found = v, i, true
		}
	}
	return u, output, found
}

// tooDryToRot says that output i is rot at timber whose pore humidity keeps its
// limit. Rot starts above 95 %, at or above that limit at every temperature, so
// its own surface, which jumps, has nothing to add.
func tooDryToRot(i int, y []float64, st *strategy) bool {
	return i >= outRot && i < outFront && st.which.Has(indicator.TimberHumidity) && y[i-simulate.TimberClasses] <= 0
}

// pressed is how far from the limit, in log-utilisation, the scale of a surface
// begins to be pressed together: many outputs jump between nothing and far too
// much, and a surface should spend its accuracy near the limit, where log u is 0.
// On 59 judgements of the demo it took the chances from 0.054 to 0.047 of those
// of the engine on the same draws (root mean square).
const pressed = 0.7

// press takes a utilisation to the scale of the surfaces: about log u near the
// limit, between ±pressed.
func press(u float64) float64 {
	return pressed * math.Tanh(math.Log(min(max(u, leastUtilisation), MostUtilisation))/pressed)
}

// release is the inverse of press, for any value of a surface.
func release(y float64) float64 {
	return min(max(math.Exp(pressed*math.Atanh(min(max(y/pressed, -1), 1))), leastUtilisation), MostUtilisation)
}
