package screen

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"wallsift/ingest"
	"wallsift/model/climate"
	"wallsift/model/material"
	"wallsift/model/rain"
	"wallsift/model/sampling"
	"wallsift/model/simulate"
)

// world is one assignment of everything the transient tier needs to know of a
// building: what the inventory says, and for the rest either what is typical or
// a draw.
type world struct {
	cat         [ingest.NumCategories]uint8 // no level that has a prior is unknown in a draw
	masonry     float64                     // m
	stone       uint16
	lambda      float64
	props       simulate.Stone
	face        float64 // factor on A_w of the outermost material
	azimuth     float64
	coefficient float64 // of ISO 15927-3 in front of the airfield index
	leak        float64 // share of the driving rain behind the face
	indoor      climate.Indoor
	timber      bool
	classes     [simulate.TimberClasses]bool
}

// Dimensions of a draw. Each is a number from 0 to 1; those of categories with
// priors follow after the last.
const (
	dimLambda = iota
	dimAw
	dimPores
	dimW80
	dimScrit
	dimFinish
	dimTreatment
	dimOrientation
	dimForm
	dimHumidity
	dimLeak
	dimHeight
	dimCategories
)

// maxDims bounds the dimensions of a draw: with those of a design they are what
// sampling.Points spreads well.
const maxDims = 24 - designDims

// draw is a point in the unit cube of what is not known; nil is the typical
// world.
type draw []float64

func (d draw) linear(dim int, r material.Range) float64 {
	if d == nil || r.Low == r.High {
		return r.Typical
	}
	return sampling.Triangular(r.Low, r.Typical, r.High, d[dim])
}

// log is linear for properties that span decades.
func (d draw) log(dim int, r material.Range) float64 {
	if d == nil || r.Low == r.High || r.Low <= 0 {
		return d.linear(dim, r)
	}
	return sampling.LogTriangular(r.Low, r.Typical, r.High, d[dim])
}

// prior holds the levels and weights of a category that can be unknown.
type prior struct {
	dim     int
	levels  []uint8
	weights []float64
}

// compilePriors gives every category with priors a dimension.
func (e *Engine) compilePriors() error {
	dim := dimCategories
	for _, id := range slices.Sorted(maps.Keys(e.cfg.Priors)) {
		row := e.cfg.Priors[id]
		cat, ok := ingest.LookupCategory(row.Field)
		level, known := cat.Level(row.Level)
		if !ok || !known || level == 0 {
			return fmt.Errorf("priors.%s: %q is not a value of a category %q of the inventory", id, row.Level, row.Field)
		}
		p := e.priors[cat]
		if p == nil {
			p = &prior{dim: dim}
			dim++
			e.priors[cat] = p
		}
		p.levels, p.weights = append(p.levels, level), append(p.weights, row.Weight)
	}
	if dim > maxDims {
		return fmt.Errorf("priors: %d categories, at most %d can have priors", dim-dimCategories, maxDims-dimCategories)
	}
	e.dims = dim
	for cat, p := range e.priors {
		if p != nil && !slices.ContainsFunc(p.weights, func(w float64) bool { return w > 0 }) {
			return fmt.Errorf("priors: all weights of %s are 0", ingest.Category(cat).Name())
		}
	}
	return nil
}

// settle draws the categories that are not known and have priors.
func (e *Engine) settle(cat *[ingest.NumCategories]uint8, d draw) {
	if d == nil {
		return
	}
	for c, p := range e.priors {
		if p != nil && cat[c] == 0 {
			cat[c] = p.levels[sampling.Pick(p.weights, d[p.dim])]
		}
	}
}

// measuredSpread is the uncertainty of a measured A_w; leakSpread that of the
// share of rain behind the face. Common practice, no source.
var (
	measuredSpread = material.Range{Low: 0.8, Typical: 1, High: 1.25}
	leakSpread     = material.Range{Low: 0.3, Typical: 1, High: 3}
	heightRange    = material.Range{Low: 3, Typical: defaultHeight, High: 10}
)

// worldOf settles a building's facts; st is nil for the wall as it is.
func (e *Engine) worldOf(b *ingest.Building, f *facts, st *strategy, d draw) world {
	stone := e.stoneIndex[b.Stone]
	m := e.stones[stone]
	w := world{cat: f.cat, masonry: b.Num[ingest.WallThickness], stone: stone, lambda: d.linear(dimLambda, m.Lambda)}
	e.settle(&w.cat, d)
	w.props = simulate.Stone{LambdaMoisture: m.LambdaMoisture, Density: m.Density.Typical, HeatCapacity: m.HeatCapacity, MuDry: m.MuDry, MuWet: m.MuWet,
		Aw: d.log(dimAw, m.Aw), W80: d.log(dimW80, m.W80), Wf: d.linear(dimPores, m.Wf), Porosity: d.linear(dimPores, m.Porosity), Scrit: d.linear(dimScrit, m.Scrit)}
	e.faceOf(&w, f, st, d)
	w.azimuth = f.num[ingest.Orientation]
	z := e.zones[e.zoneIndex[b.Zone]]
	if math.IsNaN(w.azimuth) {
		// Typical is a wall across the wind that brings rain.
		w.azimuth = math.Mod(z.station.RainFrom+90, 360)
		if d != nil {
			w.azimuth = 360 * d[dimOrientation]
		}
	}
	w.coefficient = rain.WallIndex(1, rain.SiteFactors(rain.Exposure(f.cat[ingest.Exposure])), e.heightOf(f, d),
		d.linear(dimForm, material.Range{Low: rain.WallEaves, Typical: rain.WallEaves, High: rain.WallGable}))
	w.leak = min(1, e.leaks[w.cat[ingest.JointCondition]]*d.log(dimLeak, leakSpread))
	w.indoor = e.indoorOf(w.cat[ingest.HumidityClass], d)
	w.timber, w.classes = timberOf(w.cat[ingest.EmbeddedTimber])
	return w
}

// faceOf settles A_w of the face: the material that takes the rain, its finish,
// the strategy's treatment. A measured A_w includes the finish.
func (e *Engine) faceOf(w *world, f *facts, st *strategy, d draw) {
	w.face = 1
	measured := f.num[ingest.WaterAbsorption]
	finish := &e.outer[w.cat[ingest.OuterFinish]]
	render := finish.material != nil && finish.material.Aw.Typical > 0
	switch {
	case math.IsNaN(measured):
		w.face = d.linear(dimFinish, finish.factor)
	case render:
		w.face = min(1, measured*d.log(dimAw, measuredSpread)/finish.material.Aw.Typical)
	default:
		w.props.Aw = measured * d.log(dimAw, measuredSpread)
	}
	if st != nil && len(st.Outside) > 0 {
		w.face = 1 // the new face is the strategy's
	} else if st != nil && st.Face != nil && st.faceOn&(1<<f.cat[ingest.OuterFinish]) != 0 {
		w.face *= d.linear(dimTreatment, st.Face.AwFactor)
	}
}

func (e *Engine) heightOf(f *facts, d draw) float64 {
	h := f.num[ingest.Height]
	if math.IsNaN(h) {
		h = f.num[ingest.Storeys] * storeyHeight
	}
	if math.IsNaN(h) {
		h = d.linear(dimHeight, heightRange)
	}
	return h
}

// indoorOf returns the rule of a humidity level, or a draw from the default
// classes with the typical one as likely as both ends together.
func (e *Engine) indoorOf(level uint8, d draw) climate.Indoor {
	if level > 0 || d == nil {
		return e.indoor(level, typical)
	}
	return e.indoor(level, []scenario{favourable, typical, adverse}[sampling.Pick([]float64{1, 2, 1}, d[dimHumidity])])
}

// timberOf returns whether timber is embedded and at which of the depths. Where
// it may lie at several, the worst of them counts.
func timberOf(level uint8) (timber bool, classes [simulate.TimberClasses]bool) {
	switch ingest.EmbeddedTimber.Levels()[level] {
	case "none":
		return false, classes
	case "lintels":
		classes[depthLintels] = true
	case "bond_timbers":
		classes[depthBonds] = true
	case "several":
		classes = [simulate.TimberClasses]bool{true, true, true}
	default: // joist ends, and unknown where it is not drawn
		classes[depthJoists] = true
	}
	return true, classes
}
