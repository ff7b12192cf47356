package config

import (
	"slices"

	"wallsift/model/material"
)

// materials checks the materials table.
func (v *validator) materials() {
	rows := v.l.Config.Materials
	for _, id := range sortedKeys(rows) {
		m, key := rows[id], "materials."+id
		v.text("materials", id, map[string]string{"label": m.Label, "source": m.Source, "kind": m.Kind})
		if m.Kind != "" {
			v.oneOf(key+".kind", m.Kind, material.Kinds)
		}
		v.properties(key, &m)
		switch {
		case m.Mix != nil:
			v.mix(key+".mix", m.Mix)
		case m.Kind == "membrane":
			v.membrane(key, &m)
		default:
			v.vapour(key, &m)
		}
	}
}

// properties checks ranges; the bounds leave room for every building material
// and catch a wrong unit (from memory, no source).
func (v *validator) properties(key string, m *material.Material) {
	layer := m.Mix == nil && m.Kind != "membrane" && m.Kind != "air"
	v.spread(key+".lambda", m.Lambda, 0.005, 10, "W/(m·K)", layer)
	v.spread(key+".density", m.Density, 1, 4000, "kg/m³", layer)
	v.within(key+".lambda_moisture", m.LambdaMoisture, 0, 50, "(rise of lambda per unit moisture by mass)")
	if m.HeatCapacity != 0 || layer {
		v.within(key+".heat_capacity", m.HeatCapacity, 100, 5000, "J/(kg·K)")
	}
	masonry := m.Mix == nil && (m.IsMasonry() || m.Kind == "mortar" || m.Kind == "unit")
	v.spread(key+".a_w", m.Aw, 0, 5, "kg/(m²·√s); 1 kg/m²√h is 1/60 of it", masonry)
	v.spread(key+".w80", m.W80, 0, 1000, "kg/m³", masonry)
	porosity := v.spread(key+".porosity", m.Porosity, 0, 1, "m³/m³", masonry)
	free := v.spread(key+".w_f", m.Wf, 0, 1000, "kg/m³", masonry)
	v.spread(key+".s_crit", m.Scrit, 0, 1, "", masonry)
	if porosity && free && m.Wf.Typical > 1000*m.Porosity.Typical {
		v.add(key+".w_f", m.Wf.Typical, "expected at most 1000 x porosity = %g kg/m³ (full pores)", 1000*m.Porosity.Typical)
	}
	if free && m.W80.Typical > m.Wf.Typical {
		v.add(key+".w80", m.W80.Typical, "expected at most the free saturation w_f, %g kg/m³", m.Wf.Typical)
	}
}

func (v *validator) vapour(key string, m *material.Material) {
	v.within(key+".mu_dry", m.MuDry, 1, 1e6, "(vapour resistance factor, still air is 1)")
	v.within(key+".mu_wet", m.MuWet, 1, 1e6, "(vapour resistance factor, still air is 1)")
	if m.MuWet > m.MuDry {
		v.add(key+".mu_wet", m.MuWet, "expected at most mu_dry, %g", m.MuDry)
	}
	if m.Sd != 0 || len(m.SdCurve) > 0 {
		v.add(key+".sd", m.Sd, "sd and sd_curve are for the kind membrane; others give mu_dry and mu_wet")
	}
}

// membrane checks that exactly one of sd and sd_curve is there; a retarder
// opens, so its s_d never rises with humidity.
func (v *validator) membrane(key string, m *material.Material) {
	if (m.Sd != 0) == (len(m.SdCurve) > 0) {
		v.add(key+".sd", m.Sd, "a membrane needs either sd (m) or sd_curve")
	}
	v.within(key+".sd", m.Sd, 0, 1e5, "m")
	for i, p := range m.SdCurve {
		bad := p.RH < 0 || p.RH > 1 || p.Sd <= 0
		if i > 0 {
			bad = bad || p.RH <= m.SdCurve[i-1].RH || p.Sd > m.SdCurve[i-1].Sd
		}
		if bad || len(m.SdCurve) < 2 {
			v.add(key+".sd_curve", []float64{p.RH, p.Sd}, "expected two or more points, rh from 0 to 1 rising, sd above 0 m and never rising")
			return
		}
	}
}

func (v *validator) mix(key string, mix *material.Mix) {
	rows := v.l.Config.Materials
	v.spread(key+".mortar_share", mix.MortarShare, 0, 0.95, "of the volume", true)
	part := func(name, id string, kinds []string) {
		v.reference(key+"."+name, id, "materials", sortedKeys(rows))
		m, ok := rows[id]
		if ok && (m.Mix != nil || !slices.Contains(kinds, m.Kind)) {
			v.add(key+"."+name, id, "expected a row of the kind %v that is not a mix itself", kinds)
		}
	}
	part("stone", mix.Stone, []string{"stone", "brick", "unit"})
	part("mortar", mix.Mortar, []string{"mortar"})
}
