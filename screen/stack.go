package screen

import (
	"wallsift/ingest"
	"wallsift/model/wall"
)

// StackLayer is one layer of a wall as it is drawn, from outside to inside.
type StackLayer struct {
	Material  string // id; "face_treatment" for the coat of a strategy
	Label     string
	Kind      string  // of the material: stone, brick, composite, mortar, plaster, insulation, board, membrane, air
	Thickness float64 // m, 0 for membranes and coats
	Role      wall.Role
}

// Stack returns the layers of a building's wall as it is, and with a strategy
// once its steps are done, outside to inside, at typical values. It costs next
// to nothing: no year is run. strategy is an index into Engine.Strategies.
func (e *Engine) Stack(b *ingest.Building, strategy uint8) (before, after []StackLayer) {
	var w Worker
	w.e = e
	now := facts{cat: b.Cat, num: &b.Num}
	var scratch Judgement
	done := e.repaired(&e.strategies[strategy], &now, &scratch)
	bare, with := w.key(b, &now, bareWall), w.key(b, &done, strategy)
	return e.stackOf(&bare), e.stackOf(&with)
}

func (e *Engine) stackOf(k *caseKey) []StackLayer {
	var w wall.Wall
	e.scenarioWall(&w, k, typical)
	out := make([]StackLayer, w.N)
	for i := range out {
		l := &w.Layers[i]
		out[i] = StackLayer{Material: l.Material.ID, Label: l.Material.Label, Kind: string(l.Material.Kind), Thickness: l.Thickness, Role: l.Role}
	}
	return out
}
