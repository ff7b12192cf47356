package simulate

import (
	"cmp"
	"sync"

	"wallsift/model/transient"
	"wallsift/model/wall"
)

// What is taken for layers whose row gives no moisture data: linings and boards
// that hold next to nothing and draw no water. From memory, no source.
const (
	fewW80       = 0.5 // kg/m³
	fewWf        = 50  // kg/m³
	fewDensity   = 50  // kg/m³
	fewHeat      = 1000
	airDensity   = 1.2 // kg/m³
	airW80       = 0.01
	airWf        = 1.0 // more is free water, which drains where the layer can
	mostW80Share = 0.7 // of w_f; the storage curve needs less than 0.8
)

// settled returns the typical properties of a layer that is not masonry.
func settled(l *wall.Layer) Stone {
	m := l.Material
	s := Stone{LambdaMoisture: m.LambdaMoisture, Density: cmp.Or(m.Density.Typical, fewDensity), HeatCapacity: cmp.Or(m.HeatCapacity, fewHeat), MuDry: max(m.MuDry, 1), MuWet: max(m.MuWet, 1),
		Aw: m.Aw.Typical, W80: m.W80.Typical, Wf: m.Wf.Typical, Scrit: m.Scrit.Typical}
	if m.Kind == "air" {
		s.Density, s.HeatCapacity, s.W80, s.Wf, s.Aw = airDensity, fewHeat, airW80, airWf, 0
		return s
	}
	if s.Wf == 0 || s.W80 == 0 {
		s.W80, s.Wf, s.Aw = fewW80, fewWf, 0
	}
	return s
}

// recipe is all that makes a compiled material.
type recipe struct {
	Stone
	lambda float64
}

// Materials compiles recipes and keeps the latest; it may be shared.
type Materials struct {
	mu   sync.Mutex
	have map[recipe]*transient.Compiled
}

// mostCompiled bounds the cache: about 120 kB each.
const mostCompiled = 512

func (m *Materials) compile(r recipe) (*transient.Compiled, error) {
	r.Scrit = 0 // does not shape transport
	m.mu.Lock()
	c := m.have[r]
	m.mu.Unlock()
	if c != nil {
		return c, nil
	}
	storage, err := transient.NewParametric(min(r.W80, mostW80Share*r.Wf), r.Wf)
	if err != nil {
		return nil, err
	}
	mat := transient.Material{Name: "layer", Density: r.Density, HeatCapacity: r.HeatCapacity, Lambda: r.lambda, LambdaMoisture: r.LambdaMoisture,
		Storage: storage, Vapour: transient.Mu{Dry: r.MuDry, Wet: r.MuWet}}
	if r.Aw > 0 {
		mat.Liquid = transient.CapillaryUptake{Aw: r.Aw, Wf: r.Wf}
	}
	if c, err = transient.Compile(mat); err != nil {
		return nil, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.have == nil || len(m.have) >= mostCompiled {
		m.have = map[recipe]*transient.Compiled{}
	}
	m.have[r] = c
	return c, nil
}
