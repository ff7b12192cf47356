package screen

import (
	"math"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/climate"
	"wallsift/model/indicator"
	"wallsift/model/material"
	"wallsift/model/rain"
	"wallsift/model/wall"
)

// scenario is one corner of what is not known for sure: every uncertain
// property at its favourable, typical or adverse end.
type scenario uint8

const (
	favourable scenario = iota
	typical
	adverse
	scenarios
)

// rising picks from a range in which high values are adverse.
func (s scenario) rising(r material.Range) float64 {
	return [scenarios]float64{r.Low, r.Typical, r.High}[s]
}

// falling picks from a range in which low values are adverse.
func (s scenario) falling(r material.Range) float64 {
	return [scenarios]float64{r.High, r.Typical, r.Low}[s]
}

// Timber depth classes, by how far timber reaches into the masonry.
const (
	depthJoists = iota
	depthLintels
	depthBonds
	depthOpen // unknown or several
)

// timberDepth returns the depth class of an embedded_timber level.
func timberDepth(level uint8) uint8 {
	switch ingest.EmbeddedTimber.Levels()[level] {
	case "lintels":
		return depthLintels
	case "bond_timbers":
		return depthBonds
	case "unknown", "several":
		return depthOpen
	}
	return depthJoists
}

// depthAt returns the depth in m at which timber is judged. Where it may lie at
// several depths, the adverse scenario takes the shallowest, nearest to the
// face that condensate wets, the others joist ends.
func (e *Engine) depthAt(class uint8, s scenario) float64 {
	switch {
	case class != depthOpen:
		return e.depths[class]
	case s == adverse:
		return min(e.depths[depthJoists], e.depths[depthLintels], e.depths[depthBonds])
	}
	return e.depths[depthJoists]
}

// buildWall lays out a case's wall. lambda is the masonry's conductivity and
// sized the thickness (m) of the sized layer. Exact fit: no strategy that passes
// validation exceeds wall.MaxLayers by more than Add reports.
func (e *Engine) buildWall(w *wall.Wall, k *caseKey, lambda, sized float64) bool {
	*w = wall.Wall{}
	ok := true
	add := func(l wall.Layer) { ok = w.Add(l) >= 0 && ok }
	var st *strategy
	if k.strategy != bareWall {
		st = &e.strategies[k.strategy]
		for i := range st.Outside {
			add(e.strategyLayer(st.Outside, i, sized))
		}
		if coat := e.coats[k.strategy]; coat != nil && st.faceOn&(1<<k.outer) != 0 {
			add(wall.NewLayer(coat, 0, 0, 0, wall.Plain))
		}
	}
	if f := &e.outer[k.outer]; f.material != nil {
		add(wall.NewLayer(f.material, f.thickness, f.material.Lambda.Typical, 0, wall.Plain))
	}
	stone := e.stones[k.stone]
	add(wall.NewLayer(stone, float64(k.thickness)*1e-6, lambda, 0, wall.Masonry))
	if f := &e.inner[k.inner]; f.material != nil && (st == nil || !st.StripInner) {
		add(wall.NewLayer(f.material, f.thickness, f.material.Lambda.Typical, 0, wall.Plain))
	}
	if st != nil {
		for i := range st.Inside {
			add(e.strategyLayer(st.Inside, i, sized))
		}
	}
	return ok
}

func (e *Engine) strategyLayer(list []config.StrategyLayer, i int, sized float64) wall.Layer {
	c := &list[i]
	d, role := c.Thickness, wall.Plain
	if c.Sized {
		d, role = sized, wall.Sized
	}
	m := e.materials[c.Material]
	l := wall.NewLayer(m, d, m.Lambda.Typical, c.R, role)
	if c.BridgeShare > 0 {
		l.BridgeShare, l.BridgeR = c.BridgeShare, d/e.materials[c.Bridge].Lambda.Typical
	}
	l.Drained, l.AirChange = c.Drained, c.AirChange
	return l
}

// face returns what driving rain meets under a scenario. measured is the
// inventory's A_w of the face, NaN when not given; it already includes the
// finish.
func (e *Engine) face(k *caseKey, measured float64, s scenario) wall.Face {
	stone := e.stones[k.stone]
	takes, finish := stone, &e.outer[k.outer]
	var st *strategy
	if k.strategy != bareWall {
		st = &e.strategies[k.strategy]
	}
	var f wall.Face
	switch {
	case st != nil && len(st.Outside) > 0:
		takes = e.materials[st.Outside[0].Material]
		f.Aw, f.Sd = s.rising(takes.Aw), takes.SdLayer(st.Outside[0].Thickness)
	default:
		if finish.material != nil {
			f.Sd = finish.material.SdLayer(finish.thickness)
			if finish.material.Aw.Typical > 0 {
				takes = finish.material
			}
		}
		f.Aw = s.rising(takes.Aw) * s.rising(finish.factor)
		if !math.IsNaN(measured) {
			f.Aw = measured
		}
		if st != nil && st.Face != nil && st.faceOn&(1<<k.outer) != 0 {
			f.Aw *= s.rising(st.Face.AwFactor)
			f.Sd += st.Face.SdAdd
		}
	}
	f.Wf, f.W80, f.Porosity, f.Scrit = takes.Wf.Typical, takes.W80.Typical, takes.Porosity.Typical, s.falling(takes.Scrit)
	return f
}

// scenarioWall is buildWall under a scenario.
func (e *Engine) scenarioWall(w *wall.Wall, k *caseKey, s scenario) bool {
	sized := 0.0
	if k.strategy != bareWall {
		t := &e.strategies[k.strategy].Thickness
		if sized = t.Typical; k.sized > 0 {
			sized = t.At(int(k.sized) - 1)
		}
	}
	return e.buildWall(w, k, s.rising(e.stones[k.stone].Lambda), sized)
}

// indoor returns the indoor climate rule of a humidity level under a scenario.
func (e *Engine) indoor(level uint8, s scenario) climate.Indoor {
	if e.cfg.Indoor.Method == "en15026" {
		if s == adverse && level == 0 {
			return climate.IndoorHigh
		}
		return climate.IndoorNormal
	}
	if level > 0 {
		return climate.HumidityLoad(int(level), within[s])
	}
	d := e.cfg.Indoor.DefaultClass
	return climate.HumidityLoad([scenarios]int{d.Low, d.Typical, d.High}[s], within[s])
}

// within is where in its humidity class a home lies under a scenario.
var within = [scenarios]float64{0, 0.5, 1}

// Height in m at which driving rain is judged when the inventory has none, and
// height of one storey. Common practice, no source.
const (
	defaultHeight = 6
	storeyHeight  = 2.8
)

// wallRain returns the driving rain on the wall under a scenario. A known
// orientation leaves the wall factor as the only doubt; an unknown one spans
// from the lee side to the side facing the rain.
func (e *Engine) wallRain(z *zone, f *facts, s scenario) indicator.Rain {
	var open indicator.Rain
	switch o := f.num[ingest.Orientation]; {
	case !math.IsNaN(o):
		open = z.toward(o)
	case s == favourable:
		open = z.toward(z.station.RainFrom + 180)
	case s == typical:
		open = z.rainMean
	default:
		open = z.toward(z.station.RainFrom)
	}
	height := f.num[ingest.Height]
	if math.IsNaN(height) {
		height = f.num[ingest.Storeys] * storeyHeight
	}
	if math.IsNaN(height) {
		height = defaultHeight
	}
	form := rain.WallEaves
	if s == adverse {
		form = rain.WallGable
	}
	onWall := rain.WallIndex(1, rain.SiteFactors(rain.Exposure(f.cat[ingest.Exposure])), height, form)
	return indicator.Rain{Annual: open.Annual * onWall, Spell: open.Spell * onWall, SpellHours: open.SpellHours}
}
