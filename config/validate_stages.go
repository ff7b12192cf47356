package config

import (
	"fmt"

	"wallsift/model/material"
)

// stages checks the stages of work, and that every step and every layer of a
// strategy has one: work without a stage would have no place in a work list.
func (v *validator) stages() {
	c := &v.l.Config
	orders := map[int]string{}
	listed := map[string]string{} // material or kind → stage
	materials := append(sortedKeys(c.Materials), FaceTreatment)
	for _, id := range sortedKeys(c.Stages) {
		s, key := c.Stages[id], "stages."+id
		v.text("stages", id, map[string]string{"label": s.Label, "source": s.Source})
		if s.Order <= 0 {
			v.add(key+".order", s.Order, "expected a whole number above 0, the place in the order of work")
		} else if other := orders[s.Order]; other != "" {
			v.add(key+".order", s.Order, "the stage %s has the same order; give each its own", other)
		}
		orders[s.Order] = id
		claim := func(at, word string) {
			if other := listed[word]; other != "" {
				v.add(at, word, "is listed by the stage %s already; keep one", other)
			}
			listed[word] = id
		}
		for i, m := range s.Materials {
			at := fmt.Sprintf("%s.materials[%d]", key, i)
			v.reference(at, m, "materials", materials)
			claim(at, m)
		}
		for i, kind := range s.Kinds {
			at := fmt.Sprintf("%s.kinds[%d]", key, i)
			v.oneOf(at, kind, material.Kinds)
			claim(at, "kind "+kind)
		}
	}
	if len(c.Stages) == 0 {
		v.add("stages", nil, "none left; at least one stage is needed")
		return
	}
	ids := sortedKeys(c.Stages)
	for _, id := range sortedKeys(c.Steps) {
		s, key := c.Steps[id], "steps."+id
		if s.Stage != "" {
			v.reference(key+".stage", s.Stage, "stages", ids)
		} else if _, ok := c.StageOf(&s); !ok && s.Order > 0 {
			v.add(key+".stage", nil, "missing, and no stage begins at or before order %d; give the step a stage", s.Order)
		}
		if s.Builds != "" {
			v.reference(key+".builds", s.Builds, "materials", materials)
		}
	}
	for _, id := range sortedKeys(c.Strategies) {
		s, key := c.Strategies[id], "strategies."+id
		for _, side := range []struct {
			name   string
			layers []StrategyLayer
		}{{"outside", s.Outside}, {"inside", s.Inside}} {
			for i := range side.layers {
				v.layerStage(fmt.Sprintf("%s.%s[%d].stage", key, side.name, i), &side.layers[i], ids)
			}
		}
		if s.Face != nil {
			if _, ok := c.StageOfMaterial(FaceTreatment); !ok {
				v.add(key+".face", nil, "no stage lists %s among its materials; a treatment of the face needs one", FaceTreatment)
			}
		}
	}
}

func (v *validator) layerStage(key string, l *StrategyLayer, stages []string) {
	c := &v.l.Config
	m, known := c.Materials[l.Material]
	if l.Stage != "" {
		v.reference(key, l.Stage, "stages", stages)
	} else if _, ok := c.StageOfLayer(l); !ok && known {
		v.add(key, nil, "missing, and no stage lists the material %s or the kind %s; give the layer a stage, or list the material under one", l.Material, m.Kind)
	}
}
