package config

import (
	"fmt"
	"slices"
	"strings"

	"wallsift/model/climate"
	"wallsift/model/material"
)

// materials checks what fields.yaml cannot say of one field alone.
func (v *validator) materials() {
	for id, m := range inOrder(v.l.Config.Materials) {
		key := "materials." + id
		if full := 1000 * m.Porosity.Typical; full > 0 && m.Wf.Typical > full {
			v.add(key+".w_f", m.Wf.Typical, "expected at most 1000 x porosity = %g kg/m³ (full pores)", full)
		}
		if m.Wf.Typical > 0 && m.W80.Typical > m.Wf.Typical {
			v.add(key+".w80", m.W80.Typical, "expected at most the free saturation w_f, %g kg/m³", m.Wf.Typical)
		}
		if m.MuWet > m.MuDry {
			v.add(key+".mu_wet", m.MuWet, "expected at most mu_dry, %g", m.MuDry)
		}
		switch {
		case m.Kind == "membrane":
			v.membrane(key, &m)
		case m.Sd != 0 || len(m.SdCurve) > 0:
			v.add(key+".sd", m.Sd, "sd and sd_curve are for the kind membrane; others give mu_dry and mu_wet")
		}
		if m.Mix != nil {
			v.part(key+".mix.stone", m.Mix.Stone, "stone", "brick", "unit")
			v.part(key+".mix.mortar", m.Mix.Mortar, "mortar")
		} else if m.Kind == "composite" {
			v.add(key+".mix", nil, "missing; a composite is a mix of a stone and a mortar")
		}
	}
}

// membrane checks that exactly one of sd and sd_curve is there; a layer that
// varies opens as it gets damp, so its s_d never rises with humidity.
func (v *validator) membrane(key string, m *material.Material) {
	if (m.Sd != 0) == (len(m.SdCurve) > 0) {
		v.add(key+".sd", m.Sd, "a membrane needs either sd (m) or sd_curve")
	}
	for i, p := range m.SdCurve {
		if len(m.SdCurve) < 2 || i > 0 && (p.RH <= m.SdCurve[i-1].RH || p.Sd > m.SdCurve[i-1].Sd) {
			v.add(key+".sd_curve", []float64{p.RH, p.Sd}, "expected two or more points, rh rising and sd never rising")
			return
		}
	}
}

// part checks one part of a mix.
func (v *validator) part(key, id string, kinds ...string) {
	if m, ok := v.l.Config.Materials[id]; ok && (m.Mix != nil || !slices.Contains(kinds, m.Kind)) {
		v.add(key, id, "expected a row of the kind %v that is not a mix itself", kinds)
	}
}

// stations checks that the figures of a station agree with each other and with
// the sun, where each is within its own bounds.
func (v *validator) stations() {
	for id, station := range inOrder(v.l.Config.Stations) {
		key := "stations." + id
		if slices.ContainsFunc(v.problems, func(p Problem) bool { return strings.HasPrefix(p.Key, key+".") }) {
			continue
		}
		for _, f := range climate.Validate(station) {
			v.add(key+"."+f.Key, f.Value, "%s", f.Want)
		}
	}
}

// mostThicknesses bounds the thicknesses an allowance is sought among.
const mostThicknesses = 200

// strategies checks that layers are on the side the strategy says, that one
// takes the strategy's thickness, and that each has a stage of work.
func (v *validator) strategies() {
	c := &v.l.Config
	for id, s := range inOrder(c.Strategies) {
		key, sized := "strategies."+id, 0
		for _, side := range []struct {
			name, side string
			layers     []StrategyLayer
		}{{"outside", SideExterior, s.Outside}, {"inside", SideInterior, s.Inside}} {
			if (s.Side == side.side) != (len(side.layers) > 0) {
				v.add(key+"."+side.name, nil, "%d layers with side: %s; exterior has its layers in outside, interior in inside, none has no layers", len(side.layers), s.Side)
			}
			for i := range side.layers {
				v.layer(fmt.Sprintf("%s.%s[%d]", key, side.name, i), &side.layers[i])
				if side.layers[i].Sized {
					sized++
				}
			}
		}
		t := s.Thickness
		switch {
		case s.Side == SideNone:
			if t != (Thickness{}) {
				v.add(key+".thickness", nil, "a strategy without layers has no thickness")
			}
		case sized != 1:
			v.add(key+".thickness", nil, "%d layers are sized; exactly one takes its thickness from the range", sized)
		case !(0 < t.Min && t.Min <= t.Typical && t.Typical <= t.Max):
			v.add(key+".thickness", fmt.Sprintf("%g / %g / %g", t.Min, t.Typical, t.Max), "expected 0 < min <= typical <= max")
		case t.Step <= 0 || t.Step > max(t.Max-t.Min, 0.001):
			v.add(key+".thickness.step", t.Step, "expected above 0 and at most max - min, in m")
		case t.Steps() > mostThicknesses:
			v.add(key+".thickness.step", t.Step, "makes %d steps from min to max, at most %d are tried; choose a larger step", t.Steps(), mostThicknesses)
		}
		if s.HoldBack != nil && s.Side != SideInterior {
			v.add(key+".hold_back", nil, "only layers inside are held back at the joists")
		}
		if s.Face != nil {
			if _, ok := c.StageOfMaterial(FaceTreatment); !ok {
				v.add(key+".face", nil, "no stage lists %s among its materials; a treatment of the face needs one", FaceTreatment)
			}
		}
		for _, g := range s.Gates {
			if gate := c.Gates[g]; gate.Effect == EffectHold && !slices.Contains(s.Steps, gate.Step) {
				v.add(key+".steps", s.Steps, "the gate %s holds until the step %s, which is not listed: add it", g, gate.Step)
			}
		}
	}
}

func (v *validator) layer(key string, layer *StrategyLayer) {
	if m, known := v.l.Config.Materials[layer.Material]; known {
		air, thick := m.Kind == "air", m.Kind != "membrane"
		switch {
		case layer.Sized && (layer.Thickness != 0 || air || !thick):
			v.add(key+".sized", true, "a sized layer is a solid material and gives no thickness of its own")
		case !layer.Sized && thick && layer.Thickness == 0:
			v.add(key+".thickness", nil, "missing; expected the thickness in m")
		}
		if air != (layer.R > 0) {
			v.add(key+".r", layer.R, "air layers, and only they, give their resistance r")
		}
		if !air && (layer.Drained || layer.AirChange != 0) {
			v.add(key+".drained", layer.Drained, "only air layers drain or are vented")
		}
		if _, ok := v.l.Config.StageOfLayer(layer); !ok && layer.Stage == "" {
			v.add(key+".stage", nil, "missing, and no stage lists the material %s or the kind %s; give the layer a stage, or list the material under one", layer.Material, m.Kind)
		}
	}
	if (layer.Bridge != "") != (layer.BridgeShare > 0) {
		v.add(key+".bridge_share", layer.BridgeShare, "expected above 0 with a bridge, nothing without one")
	}
}

// limits holds values against the row's own bounds. What the models need may
// not be dropped.
func (v *validator) limits() {
	for table, rows := range inOrder(map[string]map[string]Limit{"limits": v.l.Config.Limits, "evidence": v.l.Config.Evidence}) {
		for id, row := range inOrder(rows) {
			key := table + "." + id
			b := bounds{row.Possible, row.Usual}
			v.number(key+".value", row.Value, row.Unit, b)
			if (row.Low == nil) != (row.High == nil) {
				v.add(key, nil, "expected low and high, or neither")
			} else if r := row.Range(); r.Low > r.Typical || r.Typical > r.High {
				v.add(key+".value", row.Value, "expected from low %g to high %g", r.Low, r.High)
			} else if row.Low != nil {
				v.number(key+".low", r.Low, row.Unit, b)
				v.number(key+".high", r.High, row.Unit, b)
			}
		}
	}
	for _, key := range v.l.Dropped {
		table, id, _ := strings.Cut(key, ".")
		if slices.Contains([]string{"limits", "evidence", "exposures"}, table) && v.l.isDefaultRow(table, id) {
			v.add(key, nil, "cannot be dropped, the models need it; change its values instead")
		}
	}
}
