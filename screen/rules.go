package screen

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/material"
)

// maxRules bounds gates, steps and strategies, so that what acted on a
// building fits one machine word.
const maxRules = 64

type gate struct {
	config.Gate
	when []condition
}

type step struct {
	config.Step
	stage       config.Stage
	when, check []condition
	sets        []set
}

// set is one fact that holds once a step is done.
type set struct {
	field ingest.Category
	level uint8
}

type strategy struct {
	config.Strategy
	gates, steps uint64 // by index
	which        indicator.Set
	faceOn       uint32             // outer finishes that take the face treatment, bit per level
	coat         *material.Material // of the face treatment where it adds s_d, else nil
	// Stages of work of the layers outside and inside, and of the face treatment.
	outsideIn, insideIn []config.Stage
	faceIn              config.Stage
}

// asIs is no strategy: the wall as it stands.
var asIs strategy

// bare says that the strategy adds nothing to the wall.
func (st *strategy) bare() bool { return len(st.Inside)+len(st.Outside) == 0 }

// treats says whether the face treatment goes on an outer finish.
func (st *strategy) treats(finish uint8) bool { return st.Face != nil && st.faceOn&(1<<finish) != 0 }

// needs says whether a step must be done or looked at. A step without any
// condition always belongs to its strategies.
func (s *step) needs(b *ingest.Building) (do, check bool) {
	if len(s.when) == 0 && len(s.check) == 0 {
		return true, false
	}
	do = len(s.when) > 0 && allHold(s.when, b)
	return do, !do && len(s.check) > 0 && allHold(s.check, b)
}

func compileGates(rows map[string]config.Gate) ([]gate, error) {
	var out []gate
	for _, id := range slices.Sorted(maps.Keys(rows)) {
		when, err := compileConditions("gates."+id, rows[id].When)
		if err != nil {
			return nil, err
		}
		out = append(out, gate{rows[id], when})
	}
	return out, nil
}

// compileSteps lists the steps in the order of work.
func compileSteps(c *config.Config) ([]step, error) {
	var out []step
	for _, row := range c.StepsInOrder() {
		id, s := row.ID, step{Step: row}
		var err error
		s.stage, _ = c.StageOf(&row) // the configuration is checked: there is one
		if s.when, err = compileConditions("steps."+id, s.When); err != nil {
			return nil, err
		}
		if s.check, err = compileConditions("steps."+id, s.Check); err != nil {
			return nil, err
		}
		for _, field := range slices.Sorted(maps.Keys(s.Sets)) {
			cat, ok := ingest.LookupCategory(field)
			if !ok {
				return nil, fmt.Errorf("steps.%s.sets: %q is not a category of the inventory", id, field)
			}
			level, _ := cat.Level(s.Sets[field])
			s.sets = append(s.sets, set{cat, level})
		}
		out = append(out, s)
	}
	return out, nil
}

func compileStrategies(c *config.Config, gates []gate, steps []step) (out []strategy) {
	for _, id := range slices.Sorted(maps.Keys(c.Strategies)) {
		s := strategy{Strategy: c.Strategies[id]}
		s.outsideIn, s.insideIn = stagesOf(c, s.Outside), stagesOf(c, s.Inside)
		s.faceIn, _ = c.StageOfLayer(&config.StrategyLayer{Material: config.FaceTreatment})
		for i := range gates {
			if slices.Contains(s.Gates, gates[i].ID) {
				s.gates |= 1 << i
			}
		}
		for i := range steps {
			if slices.Contains(s.Steps, steps[i].ID) {
				s.steps |= 1 << i
			}
		}
		for _, name := range s.Indicators {
			which, _ := indicator.Lookup(name)
			s.which = s.which.With(which)
		}
		if s.Face != nil {
			for _, word := range s.Face.Only {
				level, _ := ingest.OuterFinish.Level(word)
				s.faceOn |= 1 << level
			}
			if len(s.Face.Only) == 0 {
				s.faceOn = ^uint32(0)
			}
			if s.Face.SdAdd > 0 {
				s.coat = &material.Material{ID: config.FaceTreatment, Label: s.Face.Label, Kind: "membrane", Sd: s.Face.SdAdd, Source: s.Source}
			}
		}
		out = append(out, s)
	}
	slices.SortStableFunc(out, func(a, b strategy) int { return cmp.Compare(a.Order, b.Order) })
	return out
}

func stagesOf(c *config.Config, layers []config.StrategyLayer) []config.Stage {
	out := make([]config.Stage, len(layers))
	for i := range layers {
		out[i], _ = c.StageOfLayer(&layers[i])
	}
	return out
}
