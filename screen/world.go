package screen

import (
	"fmt"
	"math"
	"slices"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/climate"
	"wallsift/model/material"
	"wallsift/model/rain"
	"wallsift/model/sampling"
	"wallsift/model/simulate"
)

// world is one assignment of everything a wall is judged by: what the inventory
// says, and for the rest what a point chooses. Unknowns settle here and nowhere
// else, for both tiers.
type world struct {
	simulate.Case                  // as far as it goes without layers and facing; Timber is where it is judged
	of            *ingest.Building // the row, with the strategy once its steps are done
	under         *strategy
	zone          *zone
	point         point
	cat           [ingest.NumCategories]uint8 // no level that has a prior is unknown in a draw
	thickness     float64                     // m of masonry
	stone         *material.Material
	lambda        float64   // W/(m·K) of the masonry, dry
	facings       []float64 // degrees from north of the walls that may be insulated
	index         float64   // of ISO 15927-3 in front of the airfield index, splashes included
}

// depths are those at which timber may lie.
type depths = [simulate.TimberClasses]bool

// timberPlace is where the course of the timber is taken: the first depth at which it
// is judged.
func (w *world) timberPlace() int {
	return simulate.PlaceTimber + max(0, slices.Index(w.Timber[:], true))
}

// point chooses where in its range each unknown lies: a draw from the unit cube,
// or with no coordinates a corner of it, all unknowns together.
type point struct {
	draw   []float64
	corner corner
}

// corner says to which end of their ranges the unknowns go.
type corner int8

const (
	favourable corner = iota - 1
	typical
	adverse
	numCorners = 3
)

// Which end of a range is adverse; a range of neither stays typical at a corner.
const (
	lowAdverse  = -1
	neither     = 0
	highAdverse = 1
)

// in takes a value from a range.
func (p point) in(dim int, r material.Range, bad int) float64 {
	switch {
	case r.Low == r.High || math.IsNaN(r.Typical):
		return r.Typical
	case p.draw != nil:
		return sampling.Triangular(r.Low, r.Typical, r.High, p.draw[dim])
	case int(p.corner)*bad < 0:
		return r.Low
	case int(p.corner)*bad > 0:
		return r.High
	}
	return r.Typical
}

// log is in for properties that span decades.
func (p point) log(dim int, r material.Range, bad int) float64 {
	if p.draw == nil || r.Low == r.High || r.Low <= 0 {
		return p.in(dim, r, bad)
	}
	return sampling.LogTriangular(r.Low, r.Typical, r.High, p.draw[dim])
}

// Dimensions of a draw; those of categories with priors follow after the last.
const (
	dimAw = iota
	dimRain
	dimYear
	dimHumidity
	dimOrientation
	dimLambda
	dimPores
	dimW80
	dimScrit
	dimFinish
	dimTreatment
	dimForm
	dimLeak
	dimHeight
	dimThickness
	dimCategories
)

// prior holds the levels and weights of a category that can be unknown.
type prior struct {
	dim     int
	levels  []uint8
	weights []float64
}

// compilePriors gives every category with priors a dimension.
func (e *Engine) compilePriors() error {
	e.dims = dimCategories
	for _, row := range config.InOrder(e.cfg.Priors) {
		cat, ok := ingest.LookupCategory(row.Field)
		level, known := cat.Level(row.Level)
		if !ok || !known || level == 0 {
			return fmt.Errorf("priors.%s: %q is not a value of a category %q of the inventory", row.ID, row.Level, row.Field)
		}
		p := e.priors[cat]
		if p == nil {
			p = &prior{dim: e.dims}
			e.dims++
			e.priors[cat] = p
		}
		p.levels, p.weights = append(p.levels, level), append(p.weights, row.Weight)
	}
	for cat, p := range e.priors {
		if p != nil && !slices.ContainsFunc(p.weights, func(w float64) bool { return w > 0 }) {
			return fmt.Errorf("priors: all weights of %s are 0", ingest.Category(cat).Name())
		}
	}
	return nil
}

// measuredSpread is the uncertainty of a measured A_w, heightRange the eaves of a
// home of unknown height, m. Common practice, no source.
var (
	measuredSpread = material.Range{Low: 0.8, Typical: 1, High: 1.25}
	heightRange    = material.Range{Low: 3, Typical: 6, High: 10}
	formRange      = material.Range{Low: rain.WallEaves, Typical: rain.WallEaves, High: rain.WallGable}
)

// storeyHeight in m. Common practice, no source.
const storeyHeight = 2.8

// worldOf settles a building's facts under a strategy.
func (e *Engine) worldOf(b *ingest.Building, st *strategy, p point) world {
	m := e.materials[b.Stone]
	w := world{of: b, under: st, zone: e.zoneOf[b.Zone], point: p, cat: b.Cat, stone: m}
	for c, prior := range e.priors {
		if p.draw != nil && prior != nil && w.cat[c] == 0 {
			w.cat[c] = prior.levels[sampling.Pick(prior.weights, p.draw[prior.dim])]
		}
	}
	w.thickness = p.in(dimThickness, numberOf(b, ingest.WallThickness), neither)
	w.lambda = p.in(dimLambda, m.Lambda, highAdverse)
	w.Stone = simulate.Stone{LambdaMoisture: m.LambdaMoisture, Density: m.Density.Typical, HeatCapacity: m.HeatCapacity, MuDry: m.MuDry, MuWet: m.MuWet,
		Aw: p.log(dimAw, m.Aw, highAdverse), W80: p.log(dimW80, m.W80, neither), Wf: p.in(dimPores, m.Wf, neither),
		Scrit: p.in(dimScrit, m.Scrit, lowAdverse)}
	e.faceOf(&w, b, st, p)
	w.facings = facingsOf(b, w.zone, p)

	word := ingest.Exposure.Levels()[w.cat[ingest.Exposure]]
	if word == "unknown" {
		word = "moderate"
	}
	x := e.cfg.Exposures[word] // which cannot be dropped
	site := rain.Site{Terrain: rain.Terrain(x.Terrain), Obstruction: x.Obstruction, Topography: x.Topography}
	w.index = rain.WallIndex(1, site, heightOf(b, p), p.in(dimForm, formRange, highAdverse))
	w.RainCoefficient = w.index * (1 - e.splash) * p.log(dimRain, e.rainLoad, neither)
	w.Wind, w.Sun = x.Wind, x.Sun
	w.Indoor = e.indoorOf(w.cat[ingest.HumidityClass], p)
	w.Timber = timberOf(w.cat[ingest.EmbeddedTimber], p)
	w.Places, w.LeakDepth = &e.places, e.leakDepth
	w.Climate, w.Year = w.zone.mean, w.zone.bad
	if p.draw != nil {
		w.Year = w.zone.years[int(p.draw[dimYear]*badYears)]
	}
	return w
}

// numberOf is a number of the inventory with its spread: one given as a range
// spans it.
func numberOf(b *ingest.Building, n ingest.Number) material.Range {
	low, high, _ := b.Range(n)
	return material.Range{Low: low, Typical: b.Num[n], High: high}
}

// faceOf settles what takes the rain: the material, the coat on it, the strategy's
// impregnation, and what gets past them. A measured A_w includes the coat: on a
// render it caps what that takes up, on a bare face it is the masonry's.
func (e *Engine) faceOf(w *world, b *ingest.Building, st *strategy, p point) {
	w.Skin = simulate.Skin{Factor: 1, Depth: e.treated}
	finish := &e.outer[w.cat[ingest.OuterFinish]]
	of := e.materials[finish.Material]
	measured := p.in(dimAw, numberOf(b, ingest.WaterAbsorption), highAdverse) * p.log(dimAw, measuredSpread, neither)
	switch render := of != nil && of.Aw.Typical > 0; {
	case math.IsNaN(measured):
		w.CoatUptake = filmUptake(p.log(dimFinish, finish.UptakeW, highAdverse))
	case render:
		w.CoatUptake = filmUptake(60 * measured)
	default:
		w.Stone.Aw = measured
	}
	skinned := w.CoatUptake > 0 && of != nil && of.Sd > 0
	switch {
	case len(st.Outside) > 0:
		w.CoatUptake, skinned = 0, false // the new face is the strategy's
	case st.treats(w.cat[ingest.OuterFinish]):
		w.Skin.Factor = p.log(dimTreatment, st.Face.AwFactor, highAdverse)
		skinned = true
	}
	leak := e.leaks[w.cat[ingest.JointCondition]]
	if skinned && leak.Typical < e.skinLeak.Typical {
		leak = e.skinLeak
	}
	w.LeakShare = p.in(dimLeak, leak, highAdverse)
}

// filmUptake is what a film of liquid water permeability w (kg/(m²·√h)) lets in,
// kg/(m²·h): the mean over the 24 hours that EN 1062-3 measures.
func filmUptake(w float64) float64 { return w / math.Sqrt(24) }

// facingsOf lists the facings that a home is judged at: those the inventory names,
// or the one of the row where the row is one wall of several, or all four sides
// of a home about its orientation. Where that is not known the home stands
// askew to the rain, at most half a right angle.
func facingsOf(b *ingest.Building, z *zone, p point) []float64 {
	given := b.Num[ingest.Orientation]
	switch {
	case b.Facings != 0:
		return b.Facings.Azimuths()
	case b.Home != "" && !math.IsNaN(given):
		return []float64{given}
	case math.IsNaN(given):
		askew := material.Range{Low: 0, Typical: 22.5, High: 45}
		given = z.station.RainFrom + p.in(dimOrientation, askew, lowAdverse)
	}
	out := make([]float64, 4)
	for i := range out {
		out[i] = math.Mod(given+360+float64(i)*90, 360)
	}
	return out
}

// heightOf is the height in m at which driving rain is judged.
func heightOf(b *ingest.Building, p point) float64 {
	if h := p.in(dimHeight, numberOf(b, ingest.Height), highAdverse); !math.IsNaN(h) {
		return h
	}
	if h := b.Num[ingest.Storeys] * storeyHeight; !math.IsNaN(h) {
		return h
	}
	return p.in(dimHeight, heightRange, neither)
}

// indoorOf returns the humidity load of a class of the inventory, level 0 for
// none: a class spans from the bound of the class below to its own, an unknown
// one from the middle of the driest likely class to that of the dampest.
func (e *Engine) indoorOf(level uint8, p point) climate.Indoor {
	if e.cfg.Indoor.Method == "en15026" {
		if level == 0 && (p.corner == adverse || p.draw != nil && p.draw[dimHumidity] > 0.75) {
			return climate.IndoorHigh
		}
		return climate.IndoorNormal
	}
	d := e.cfg.Indoor.DefaultClass
	load := material.Range{Low: float64(d.Low) - 0.5, Typical: float64(d.Typical) - 0.5, High: float64(d.High) - 0.5}
	if level > 0 {
		class := float64(level)
		load = material.Range{Low: class - 1, Typical: class - 0.5, High: class}
	}
	x := p.in(dimHumidity, load, highAdverse)
	class := max(math.Ceil(x), 1)
	return climate.HumidityLoad(int(class), x-class+1)
}

// timberOf returns at which depths timber is embedded. Where it may lie at several,
// the worst of them counts; what is not known is taken for joist ends, for none at
// the favourable corner and for any at the adverse one.
func timberOf(level uint8, p point) depths {
	switch word := ingest.EmbeddedTimber.Levels()[level]; {
	case word == "none", word == "unknown" && p.corner == favourable:
		return depths{}
	case word == "lintels":
		return depths{depthLintels: true}
	case word == "bond_timbers":
		return depths{depthBonds: true}
	case word == "several", word == "unknown" && p.corner == adverse:
		return depths{true, true, true}
	}
	return depths{depthJoists: true}
}

// Timber depth classes, by how far timber reaches into the masonry.
const (
	depthJoists = iota
	depthLintels
	depthBonds
)
