package screen

import (
	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/wall"
)

// layers lays out the wall of a world with sized metres of insulation. It reports
// false where the wall has more layers than the model holds.
func (e *Engine) layers(to *wall.Wall, w *world, sized float64) bool {
	st, ok := w.under, true
	*to = wall.Wall{}
	add := func(l wall.Layer) { ok = to.Add(l) >= 0 && ok }
	for i := range st.Outside {
		add(e.strategyLayer(&st.Outside[i], sized))
	}
	if st.coat != nil && st.treats(w.cat[ingest.OuterFinish]) {
		add(wall.NewLayer(st.coat, 0, 0, 0, wall.Plain))
	}
	finish := func(f *config.Finish) {
		if m := e.materials[f.Material]; m != nil {
			add(wall.NewLayer(m, f.Thickness, m.Lambda.Typical, 0, wall.Plain))
		}
	}
	finish(&e.outer[w.cat[ingest.OuterFinish]])
	add(wall.NewLayer(w.stone, w.thickness, w.lambda, 0, wall.Masonry))
	if !st.StripInner {
		finish(&e.inner[w.cat[ingest.InnerFinish]])
	}
	for i := range st.Inside {
		add(e.strategyLayer(&st.Inside[i], sized))
	}
	return ok
}

func (e *Engine) strategyLayer(c *config.StrategyLayer, sized float64) wall.Layer {
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

// Stack returns a building's wall as it is, and with a judgement's strategy once its
// steps are done, at typical values. It costs next to nothing: no year is run.
func (e *Engine) Stack(b *ingest.Building, j *Judgement) (before, after wall.Wall) {
	st := &e.strategies[j.Strategy]
	now, done := e.worldOf(b, &asIs, point{}), e.worldOf(e.repaired(st, b, &Judgement{}), st, point{})
	e.layers(&before, &now, 0)
	e.layers(&after, &done, j.Thickness)
	return before, after
}
