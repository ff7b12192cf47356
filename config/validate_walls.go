package config

import (
	"fmt"
	"slices"
	"strings"

	"wallsift/model/climate"
	"wallsift/model/material"
)

// relations checks what must hold between values.
func (c *checker) relations() {
	c.materials()
	c.stations()
	c.strategies()
	c.limits()
	c.work()
	c.findings()
	c.costs()
	c.settings()
}

// materials checks what fields.yaml cannot say of one field alone.
func (c *checker) materials() {
	for id, m := range inOrder(c.l.Config.Materials) {
		key, full, wet := "materials."+id, 1000*m.Porosity.Typical, m.Wf.Typical
		c.want(full == 0 || wet <= full, key+".w_f", wet, "expected at most 1000 x porosity = %g kg/m³ (full pores)", full)
		c.want(wet == 0 || m.W80.Typical <= wet, key+".w80", m.W80.Typical, "expected at most the free saturation w_f, %g kg/m³", wet)
		c.want(m.MuWet <= m.MuDry, key+".mu_wet", m.MuWet, "expected at most mu_dry, %g", m.MuDry)
		if m.Kind == "membrane" {
			c.want((m.Sd != 0) != (len(m.SdCurve) > 0), key+".sd", m.Sd, "a membrane needs either sd (m) or sd_curve")
			c.want(opens(m.SdCurve), key+".sd_curve", m.SdCurve, "expected two or more points, rh rising and sd never rising")
		} else {
			c.want(m.Sd == 0 && len(m.SdCurve) == 0, key+".sd", m.Sd, "sd and sd_curve are for the kind membrane; others give mu_dry and mu_wet")
		}
		c.want(m.Kind != "composite" || m.Mix != nil, key+".mix", nil, "missing; a composite is a mix of a stone and a mortar")
		if m.Mix != nil {
			c.part(key+".mix.stone", m.Mix.Stone, "stone", "brick", "unit")
			c.part(key+".mix.mortar", m.Mix.Mortar, "mortar")
		}
	}
}

// opens says whether a layer opens as it gets damp: its s_d never rises with humidity.
func opens(curve []material.SdPoint) bool {
	for i := range len(curve) - 1 {
		if a, b := curve[i], curve[i+1]; b.RH <= a.RH || b.Sd > a.Sd {
			return false
		}
	}
	return len(curve) != 1
}

func (c *checker) part(key, id string, kinds ...string) {
	m, ok := c.l.Config.Materials[id]
	c.want(!ok || m.Mix == nil && slices.Contains(kinds, m.Kind), key, id, "expected a row of the kind %v that is not a mix itself", kinds)
}

// stations checks that the figures of a station agree with each other and with
// the sun, where each is within its own bounds.
func (c *checker) stations() {
	for id, station := range inOrder(c.l.Config.Stations) {
		key := "stations." + id
		if slices.ContainsFunc(c.problems, func(p Problem) bool { return strings.HasPrefix(p.Key, key+".") }) {
			continue
		}
		for _, f := range climate.Validate(station) {
			c.add(key+"."+f.Key, f.Value, "%s", f.Want)
		}
	}
}

// mostThicknesses bounds the thicknesses an allowance is sought among.
const mostThicknesses = 200

// strategies checks that layers are on the side the strategy says, that one
// takes the strategy's thickness, and that each has a stage of work.
func (c *checker) strategies() {
	cfg := &c.l.Config
	for id, s := range inOrder(cfg.Strategies) {
		key, sized := "strategies."+id, 0
		side := map[string]string{"outside": SideExterior, "inside": SideInterior}
		for name, layers := range map[string][]StrategyLayer{"outside": s.Outside, "inside": s.Inside} {
			c.want((s.Side == side[name]) == (len(layers) > 0), key+"."+name, nil,
				"%d layers with side: %s; exterior has its layers in outside, interior in inside, none has no layers", len(layers), s.Side)
			for i := range layers {
				c.builtLayer(fmt.Sprintf("%s.%s[%d]", key, name, i), &layers[i])
				if layers[i].Sized {
					sized++
				}
			}
		}
		c.thickness(key+".thickness", s.Thickness, s.Side, sized)
		c.want(s.HoldBack == nil || s.Side == SideInterior, key+".hold_back", nil, "only layers inside are held back at the joists")
		_, ok := Stages(InOrder(cfg.Stages)).OfLayer(&StrategyLayer{Material: FaceTreatment}, "")
		c.want(s.Face == nil || ok, key+".face", nil, "no stage lists %s among its materials; a treatment of the face needs one", FaceTreatment)
		for _, g := range s.Gates {
			gate := cfg.Gates[g]
			c.want(gate.Effect != EffectHold || slices.Contains(s.Steps, gate.Step), key+".steps", s.Steps,
				"the gate %s holds until the step %s, which is not listed: add it", g, gate.Step)
		}
	}
}

func (c *checker) thickness(key string, t Thickness, side string, sized int) {
	switch {
	case side == SideNone:
		c.want(t == Thickness{}, key, nil, "a strategy without layers has no thickness")
	case sized != 1:
		c.add(key, nil, "%d layers are sized; exactly one takes its thickness from the range", sized)
	case !(0 < t.Min && t.Min <= t.Typical && t.Typical <= t.Max):
		c.add(key, fmt.Sprintf("%g / %g / %g", t.Min, t.Typical, t.Max), "expected 0 < min <= typical <= max")
	case t.Step <= 0 || t.Step > max(t.Max-t.Min, 0.001):
		c.add(key+".step", t.Step, "expected above 0 and at most max - min, in m")
	default:
		c.want(t.Steps() <= mostThicknesses, key+".step", t.Step,
			"makes %d steps from min to max, at most %d are tried; choose a larger step", t.Steps(), mostThicknesses)
	}
}

func (c *checker) builtLayer(key string, layer *StrategyLayer) {
	if m, known := c.l.Config.Materials[layer.Material]; known {
		air, thick := m.Kind == "air", m.Kind != "membrane"
		c.want(!layer.Sized || layer.Thickness == 0 && thick && !air, key+".sized", true, "a sized layer is a solid material and gives no thickness of its own")
		c.want(layer.Sized || layer.Thickness != 0 || !thick, key+".thickness", nil, "missing; expected the thickness in m")
		c.want(air == (layer.R > 0), key+".r", layer.R, "air layers, and only they, give their resistance r")
		c.want(air || !layer.Drained && layer.AirChange == 0, key+".drained", layer.Drained, "only air layers drain or are vented")
		_, ok := Stages(InOrder(c.l.Config.Stages)).OfLayer(layer, m.Kind)
		c.want(ok || layer.Stage != "", key+".stage", nil,
			"missing, and no stage lists the material %s or the kind %s; give the layer a stage, or list the material under one", layer.Material, m.Kind)
	}
	c.want((layer.Bridge != "") == (layer.BridgeShare > 0), key+".bridge_share", layer.BridgeShare, "expected above 0 with a bridge, nothing without one")
}

// limits holds values against the row's own bounds. What the models need may
// not be dropped.
func (c *checker) limits() {
	for table, rows := range inOrder(map[string]map[string]Limit{"limits": c.l.Config.Limits, "evidence": c.l.Config.Evidence}) {
		for id, row := range inOrder(rows) {
			key, r := table+"."+id, row.Range()
			c.want((row.Low == nil) == (row.High == nil), key, nil, "expected low and high, or neither")
			c.want(r.Low <= r.Typical && r.Typical <= r.High, key+".value", row.Value, "expected from low %g to high %g", r.Low, r.High)
			for name, x := range map[string]*float64{".value": &row.Value, ".low": row.Low, ".high": row.High} {
				if x != nil {
					c.number(key+name, *x, row.Unit, bounds{row.Possible, row.Usual})
				}
			}
		}
	}
	for _, key := range c.l.Dropped {
		table, id, _ := strings.Cut(key, ".")
		needed := slices.Contains([]string{"limits", "evidence", "exposures"}, table) && c.l.isDefaultRow(table, id)
		c.want(!needed, key, nil, "cannot be dropped, the models need it; change its values instead")
	}
}
