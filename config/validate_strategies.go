package config

import (
	"fmt"
	"slices"

	"wallsift/model/indicator"
)

// strategies checks layers, ranges and references of every strategy.
func (v *validator) strategies() {
	c := &v.l.Config
	var indicators []string
	for id := range indicator.Count {
		indicators = append(indicators, id.Info().Name)
	}
	for _, id := range sortedKeys(c.Strategies) {
		s, key := c.Strategies[id], "strategies."+id
		v.text("strategies", id, map[string]string{"label": s.Label, "summary": s.Summary, "source": s.Source})
		v.oneOf(key+".side", s.Side, []string{SideNone, SideInterior, SideExterior})
		v.sides(key, &s)
		v.thickness(key+".thickness", &s)
		for _, list := range []struct {
			name, table string
			words, rows []string
		}{
			{"gates", "gates", s.Gates, sortedKeys(c.Gates)},
			{"steps", "steps", s.Steps, sortedKeys(c.Steps)},
			{"indicators", "the indicators", s.Indicators, indicators},
		} {
			v.unique(key+"."+list.name, list.words)
			for i, word := range list.words {
				v.reference(fmt.Sprintf("%s.%s[%d]", key, list.name, i), word, list.table, list.rows)
			}
		}
		if len(s.Indicators) == 0 {
			v.add(key+".indicators", nil, "missing; a strategy nothing judges would always pass")
		}
		for _, g := range s.Gates {
			if gate := c.Gates[g]; gate.Effect == EffectHold && !slices.Contains(s.Steps, gate.Step) {
				v.add(key+".steps", s.Steps, "the gate %s holds until the step %s, which is not listed: add it", g, gate.Step)
			}
		}
		if s.Face != nil {
			v.spread(key+".face.a_w_factor", s.Face.AwFactor, 0, 1, "(a factor on A_w)", true)
			v.within(key+".face.sd_add", s.Face.SdAdd, 0, 10, "m")
			v.unique(key+".face.only", s.Face.Only)
		}
	}
}

// sides checks that layers are on the side the strategy says.
func (v *validator) sides(key string, s *Strategy) {
	sized := 0
	for _, side := range []struct {
		name, side string
		layers     []StrategyLayer
	}{{"outside", SideExterior, s.Outside}, {"inside", SideInterior, s.Inside}} {
		if (s.Side == side.side) != (len(side.layers) > 0) {
			v.add(key+"."+side.name, nil, "%d layers with side: %s; exterior has its layers in outside, interior in inside, none has no layers", len(side.layers), s.Side)
		}
		for i, layer := range side.layers {
			v.layer(fmt.Sprintf("%s.%s[%d]", key, side.name, i), &layer)
			if layer.Sized {
				sized++
			}
		}
	}
	if s.Side != SideNone && sized != 1 {
		v.add(key+".thickness", nil, "%d layers are sized; exactly one takes its thickness from the range", sized)
	}
}

func (v *validator) layer(key string, layer *StrategyLayer) {
	rows := v.l.Config.Materials
	v.reference(key+".material", layer.Material, "materials", sortedKeys(rows))
	v.within(key+".thickness", layer.Thickness, 0, 1, "m")
	m, known := rows[layer.Material]
	if known {
		air := m.Kind == "air"
		switch {
		case layer.Sized && (layer.Thickness != 0 || air || m.Kind == "membrane"):
			v.add(key+".sized", true, "a sized layer is a solid material and gives no thickness of its own")
		case !layer.Sized && m.Kind != "membrane" && layer.Thickness == 0:
			v.add(key+".thickness", nil, "missing; expected the thickness in m")
		}
		if air != (layer.R > 0) || layer.R > 2 {
			v.add(key+".r", layer.R, "air layers, and only they, give their resistance r, up to 2 m²K/W")
		}
	}
	if known && m.Kind != "air" && (layer.Drained || layer.AirChange != 0) {
		v.add(key+".drained", layer.Drained, "only air layers drain or are vented")
	}
	v.within(key+".air_change", layer.AirChange, 0, 200, "1/h")
	if layer.Bridge != "" {
		v.reference(key+".bridge", layer.Bridge, "materials", sortedKeys(rows))
	}
	if layer.BridgeShare < 0 || layer.BridgeShare >= 1 || (layer.Bridge != "") != (layer.BridgeShare > 0) {
		v.add(key+".bridge_share", layer.BridgeShare, "expected above 0 and below 1 with a bridge, nothing without one")
	}
}

// mostSteps bounds the thicknesses an allowance is sought among.
const mostSteps = 200

func (v *validator) thickness(key string, s *Strategy) {
	t := s.Thickness
	if s.Side == SideNone {
		if t != (Thickness{}) {
			v.add(key, fmt.Sprintf("%g / %g / %g", t.Min, t.Typical, t.Max), "a strategy without layers has no thickness")
		}
		return
	}
	if !(0 < t.Min && t.Min <= t.Typical && t.Typical <= t.Max && t.Max <= 1) {
		v.add(key, fmt.Sprintf("%g / %g / %g", t.Min, t.Typical, t.Max), "expected 0 < min <= typical <= max <= 1 m")
	}
	if t.Step <= 0 || t.Step > max(t.Max-t.Min, 0.001) {
		v.add(key+".step", t.Step, "expected above 0 and at most max - min, in m")
	} else if t.Steps() > mostSteps {
		v.add(key+".step", t.Step, "makes %d steps from min to max, at most %d are tried; choose a larger step", t.Steps(), mostSteps)
	}
}
