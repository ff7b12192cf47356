package config

import (
	"fmt"
	"slices"
)

// CheckFields holds every condition, fact, finding, finish and alias against the fields an
// inventory can have, which this package does not know: fields maps the name
// of a field to the values it may take, nil for numbers and free text. A
// condition on a field that does not exist would never be true and never be
// missed. It returns Problems.
func (l *Loaded) CheckFields(fields map[string][]string) error {
	v := &fieldChecker{validator: validator{l: l}, fields: fields}
	c := &l.Config
	for _, id := range sortedKeys(c.Gates) {
		v.conditions("gates."+id+".when", c.Gates[id].When)
	}
	for _, id := range sortedKeys(c.Steps) {
		s := c.Steps[id]
		v.conditions("steps."+id+".when", s.When)
		v.conditions("steps."+id+".check", s.Check)
		for _, field := range sortedKeys(s.Sets) {
			v.fact("steps."+id+".sets."+field, field, s.Sets[field])
		}
	}
	for _, id := range sortedKeys(c.Strategies) {
		if face := c.Strategies[id].Face; face != nil {
			for i, word := range face.Only {
				v.fact(fmt.Sprintf("strategies.%s.face.only[%d]", id, i), "outer_finish", word)
			}
		}
	}
	for _, id := range sortedKeys(c.Priors) {
		v.fact("priors."+id+".level", c.Priors[id].Field, c.Priors[id].Level)
	}
	for _, id := range sortedKeys(c.Findings) {
		if _, ok := v.fields[id]; !ok {
			v.add("findings."+id, nil, "no such field of an inventory%s", didYouMean(id, sortedKeys(v.fields)))
		}
	}
	for _, id := range sortedKeys(c.Finishes) {
		v.fact("finishes."+id+".level", c.Finishes[id].Field, c.Finishes[id].Level)
	}
	for i, a := range c.Input.Aliases {
		v.fact(fmt.Sprintf("input.aliases[%d].to", i), a.Field, a.To)
	}
	return v.problems.sorted().orNil()
}

type fieldChecker struct {
	validator
	fields map[string][]string
}

func (v *fieldChecker) conditions(key string, list []Condition) {
	for i, c := range list {
		at := fmt.Sprintf("%s[%d]", key, i)
		if len(c.In) == 0 {
			if levels, ok := v.fields[c.Field]; ok && levels != nil {
				v.add(at, c.Field, "below and above are for numbers; use in")
			} else if !ok {
				v.fact(at, c.Field, "")
			}
		}
		for _, word := range c.In {
			v.fact(at, c.Field, word)
		}
	}
}

func (v *fieldChecker) fact(key, field, value string) {
	levels, ok := v.fields[field]
	if !ok {
		v.add(key, field, "no such field of an inventory%s", didYouMean(field, sortedKeys(v.fields)))
		return
	}
	if levels != nil && !slices.Contains(levels, value) {
		v.oneOf(key, value, levels)
	}
}
