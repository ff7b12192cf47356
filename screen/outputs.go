package screen

import (
	"math"

	"wallsift/model/damage"
	"wallsift/model/indicator"
	"wallsift/model/simulate"
)

// The outputs of a response surface: log-utilisations of an outcome, timber at
// every depth by itself.
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

// Utilisations are cut at a floor and a ceiling before the logarithm: a surface
// should spend its accuracy near the limit.
const (
	leastUtilisation = 0.05
	mostUtilisation  = 4
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

// outputs takes the log-utilisations of an outcome; NaN where it has none.
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
				y[i] = float32(math.Log(min(max(r[id].Utilisation, leastUtilisation), mostUtilisation)))
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

// governing returns the largest relevant log-utilisation and which output it
// is, false when nothing judges.
func governing(y []float64, st *strategy, w *world) (u float64, output int, found bool) {
	for i, v := range y {
		if relevant(i, st, w) && !math.IsNaN(v) && (!found || v > u) {
			u, output, found = v, i, true
		}
	}
	return u, output, found
}
