package screen

import (
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

// strategy is a row of the table with what is looked up once.
type strategy struct {
	config.Strategy
	which indicator.Set
	coat  *material.Material // of the face treatment where it adds s_d, else nil
}

// asIs is no strategy: the wall as it stands.
var asIs strategy

// bare says that the strategy adds nothing to the wall.
func (st *strategy) bare() bool { return len(st.Inside)+len(st.Outside) == 0 }

// treats says whether the face treatment goes on an outer finish.
func (st *strategy) treats(finish uint8) bool {
	return st.Face != nil && (len(st.Face.Only) == 0 || among(st.Face.Only, ingest.OuterFinish, finish))
}

// among says whether a level of a category is one of some words.
func among(words []string, of ingest.Category, level uint8) bool {
	return slices.ContainsFunc(words, func(word string) bool {
		is, _ := of.Level(word)
		return is == level
	})
}

// allHold says whether a building fulfils every condition. A number that is not known
// fulfils none: comparisons with NaN are false.
func allHold(list []config.Condition, b *ingest.Building) bool {
	for i := range list {
		c := &list[i]
		if cat, ok := ingest.LookupCategory(c.Field); ok {
			if !among(c.In, cat, b.Cat[cat]) {
				return false
			}
			continue
		}
		n, _ := ingest.LookupNumber(c.Field)
		if x := b.Num[n]; !(c.Above != nil && x > *c.Above || c.Below != nil && x < *c.Below) {
			return false
		}
	}
	return true
}

// needs says whether a step must be done or looked at. A step without any
// condition always belongs to its strategies.
func needs(s *config.Step, b *ingest.Building) (do, check bool) {
	if len(s.When) == 0 && len(s.Check) == 0 {
		return true, false
	}
	do = len(s.When) > 0 && allHold(s.When, b)
	return do, !do && len(s.Check) > 0 && allHold(s.Check, b)
}

func (e *Engine) compileRules() error {
	c := e.cfg
	for _, g := range config.InOrder(c.Gates) {
		if err := testable("gates."+g.ID, g.When); err != nil {
			return err
		}
		e.gates = append(e.gates, g)
	}
	e.stages, e.steps = config.InOrder(c.Stages), c.StepsInOrder()
	for i, s := range e.steps {
		if stage, _ := e.stages.Of(&s); stage.Repair && len(s.When) > 0 {
			e.repairs |= 1 << i
		}
		if err := testable("steps."+s.ID, slices.Concat(s.When, s.Check)); err != nil {
			return err
		}
		for _, field := range slices.Sorted(maps.Keys(s.Sets)) {
			if _, ok := ingest.LookupCategory(field); !ok {
				return fmt.Errorf("steps.%s.sets: %q is not a category of the inventory", s.ID, field)
			}
		}
	}
	for _, row := range config.InOrder(c.Strategies) {
		s := strategy{Strategy: row}
		for _, name := range s.Indicators {
			which, _ := indicator.Lookup(name)
			s.which = s.which.With(which)
		}
		if s.Face != nil && s.Face.SdAdd > 0 {
			s.coat = &material.Material{ID: config.FaceTreatment, Label: s.Face.Label, Kind: "membrane", Sd: s.Face.SdAdd, Source: s.Source}
		}
		e.strategies, e.choices = append(e.strategies, s), append(e.choices, row)
	}
	e.choices = append(e.choices, WallByWall)
	for table, n := range map[string]int{"gates": len(e.gates), "steps": len(e.steps), "strategies": len(e.strategies)} {
		if n > maxRules {
			return fmt.Errorf("%s: %d rows, at most %d are supported", table, n, maxRules)
		}
	}
	if len(e.strategies) == 0 {
		return fmt.Errorf("strategies: none left, at least one is needed")
	}
	return nil
}

// testable refuses a condition on what is neither a category nor a number.
func testable(key string, list []config.Condition) error {
	for _, c := range list {
		_, category := ingest.LookupCategory(c.Field)
		if _, number := ingest.LookupNumber(c.Field); !category && !number {
			return fmt.Errorf("%s: the inventory has no field %q", key, c.Field)
		}
	}
	return nil
}

// inventoryFields lists every field a configuration may name, with its levels
// where it is a category.
func inventoryFields() map[string][]string {
	out := map[string][]string{}
	for _, c := range ingest.Columns() {
		out[c.Name] = nil
		if c.Kind == ingest.KindCategory {
			out[c.Name] = c.Levels
		}
	}
	return out
}

// GatesOf returns the gates of a bit set, in order of id.
func (e *Engine) GatesOf(bits uint64) []config.Gate { return ofSet(e.gates, bits) }

// StepsOf returns the steps of a bit set, in the order of work.
func (e *Engine) StepsOf(bits uint64) []config.Step { return ofSet(e.steps, bits) }

func ofSet[T any](rows []T, set uint64) (out []T) {
	for i := range rows {
		if set&(1<<i) != 0 {
			out = append(out, rows[i])
		}
	}
	return out
}
