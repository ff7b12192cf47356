package screen

import (
	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/wall"
)

// layers lays out the wall of a world with sized metres of insulation. It reports
// false where the wall has more layers than the model holds.
func (e *Engine) layers(to *wall.Wall, w *world, sized float64) bool {
	st := w.under
	*to = wall.Wall{}
	ok := true
	add := func(l wall.Layer) { ok = to.Add(l) >= 0 && ok }
	if st != nil {
		for i := range st.Outside {
			add(e.strategyLayer(st.Outside, i, sized))
		}
		if st.coat != nil && st.treats(w.cat[ingest.OuterFinish]) {
			add(wall.NewLayer(st.coat, 0, 0, 0, wall.Plain))
		}
	}
	if f := &e.outer[w.cat[ingest.OuterFinish]]; f.material != nil {
		add(wall.NewLayer(f.material, f.thickness, f.material.Lambda.Typical, 0, wall.Plain))
	}
	add(wall.NewLayer(w.stone, w.thickness, w.lambda, 0, wall.Masonry))
	if f := &e.inner[w.cat[ingest.InnerFinish]]; f.material != nil && (st == nil || !st.StripInner) {
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

// StackLayer is one layer of a wall as it is drawn, from outside to inside.
type StackLayer struct {
	Material  string // id; "face_treatment" for the coat of a strategy
	Label     string
	Kind      string  // of the material: stone, brick, composite, mortar, plaster, insulation, board, membrane, air
	Thickness float64 // m, 0 for membranes and coats
	Role      wall.Role
}

// Stack returns the layers of a building's wall as it is, and with a judgement's
// strategy once its steps are done, outside to inside, at typical values. It
// costs next to nothing: no year is run.
func (e *Engine) Stack(b *ingest.Building, j *Judgement) (before, after []StackLayer) {
	st := &e.strategies[j.Strategy]
	return e.stackOf(b, nil, 0), e.stackOf(e.repaired(st, b, &Judgement{}), st, j.Thickness)
}

func (e *Engine) stackOf(b *ingest.Building, st *strategy, sized float64) []StackLayer {
	var w wall.Wall
	at := e.worldOf(b, st, point{})
	e.layers(&w, &at, sized)
	out := make([]StackLayer, w.N)
	for i := range out {
		l := &w.Layers[i]
		out[i] = StackLayer{Material: l.Material.ID, Label: l.Material.Label, Kind: string(l.Material.Kind), Thickness: l.Thickness, Role: l.Role}
	}
	return out
}
