package config

import (
	"fmt"
	"strings"
)

// gates checks effects, conditions and the step that lifts a hold.
func (v *validator) gates() {
	c := &v.l.Config
	for _, id := range sortedKeys(c.Gates) {
		g, key := c.Gates[id], "gates."+id
		v.text("gates", id, map[string]string{"label": g.Label, "reason": g.Reason, "source": g.Source})
		v.oneOf(key+".effect", g.Effect, []string{EffectExclude, EffectHold, EffectSurvey})
		if g.Tier != "" {
			v.oneOf(key+".tier", g.Tier, []string{TierSteady, TierTransient})
		}
		if len(g.When) == 0 {
			v.add(key+".when", nil, "missing; a gate without conditions would always act")
		}
		v.conditions(key+".when", g.When)
		switch {
		case g.Effect == EffectHold && g.Step == "":
			v.add(key+".step", nil, "missing; a hold names the step that lifts it")
		case g.Step != "":
			v.reference(key+".step", g.Step, "steps", sortedKeys(c.Steps))
		}
	}
}

func (v *validator) steps() {
	steps := v.l.Config.Steps
	for _, id := range sortedKeys(steps) {
		s, key := steps[id], "steps."+id
		v.text("steps", id, map[string]string{"label": s.Label, "reason": s.Reason, "source": s.Source})
		if s.Order <= 0 {
			v.add(key+".order", s.Order, "expected a whole number above 0, the place in the order of work")
		}
		v.conditions(key+".when", s.When)
		v.conditions(key+".check", s.Check)
		for _, field := range sortedKeys(s.Sets) {
			if strings.TrimSpace(s.Sets[field]) == "" {
				v.add(key+".sets."+field, s.Sets[field], "expected the value the fact has once the work is done")
			}
		}
	}
}

func (v *validator) conditions(key string, list []Condition) {
	for i, c := range list {
		at := fmt.Sprintf("%s[%d]", key, i)
		if c.Field == "" {
			v.add(at+".field", nil, "missing; a condition names a field of the inventory")
		}
		used := 0
		for _, given := range []bool{len(c.In) > 0, c.Below != nil, c.Above != nil} {
			if given {
				used++
			}
		}
		if used != 1 {
			v.add(at, nil, "%d tests; expected exactly one of in, below and above", used)
		}
		v.unique(at+".in", c.In)
	}
}

// limits checks the numbers indicators judge by. The indicators need every one
// of them, so none of the defaults may be dropped. Humidities and shares given
// in percent are the usual slip.
func (v *validator) limits() {
	rows := v.l.Config.Limits
	for _, id := range sortedKeys(rows) {
		lim, key := rows[id], "limits."+id
		v.text("limits", id, map[string]string{"label": lim.Label, "unit": lim.Unit, "source": lim.Source})
		if lim.Possible != [2]float64{} {
			v.within(key+".value", lim.Value, lim.Possible[0], lim.Possible[1], lim.Unit)
		}
		share := strings.Contains(id, "_rh_") || strings.Contains(id, "share")
		if share && lim.Unit == "1" && lim.Value > 1 {
			v.add(key+".value", lim.Value, "expected a share from 0 to 1, 0.8 for 80 %%")
		}
	}
	for _, key := range v.l.Dropped {
		if id, ok := strings.CutPrefix(key, "limits."); ok && v.l.isDefaultRow("limits", id) {
			v.add(key, nil, "cannot be dropped, the indicators need it; change its value instead")
		}
	}
}
