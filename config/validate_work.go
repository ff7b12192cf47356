package config

import (
	"fmt"
	"slices"
)

// work checks gates, steps and stages: a hold has a step that lifts it, every
// condition is one test, and no work is without a stage, for it would have no
// place in a work list.
func (c *checker) work() {
	cfg := &c.l.Config
	for id, g := range inOrder(cfg.Gates) {
		key := "gates." + id
		c.conditions(key+".when", g.When)
		c.want(g.Effect != EffectHold || g.Step != "", key+".step", nil, "missing; a hold names the step that lifts it")
	}
	orders, listed := map[int]string{}, map[string]string{} // stage by order, by material or kind
	claim := func(stage, list, prefix string, words []string) {
		for i, word := range words {
			other, twice := listed[prefix+word]
			c.want(!twice, fmt.Sprintf("stages.%s.%s[%d]", stage, list, i), prefix+word, "is listed by the stage %s already; keep one", other)
			listed[prefix+word] = stage
		}
	}
	for id, s := range inOrder(cfg.Stages) {
		other, twice := orders[s.Order]
		c.want(!twice, "stages."+id+".order", s.Order, "the stage %s has the same order; give each its own", other)
		orders[s.Order] = id
		claim(id, "materials", "", s.Materials)
		claim(id, "kinds", "kind ", s.Kinds)
	}
	for id, s := range inOrder(cfg.Steps) {
		key := "steps." + id
		c.conditions(key+".when", s.When)
		c.conditions(key+".check", s.Check)
		_, ok := Stages(InOrder(cfg.Stages)).Of(&s)
		c.want(ok || s.Stage != "", key+".stage", nil, "missing, and no stage begins at or before order %d; give the step a stage", s.Order)
	}
}

func (c *checker) conditions(key string, list []Condition) {
	for i, test := range list {
		at := fmt.Sprintf("%s[%d]", key, i)
		used := slices.DeleteFunc([]bool{len(test.In) > 0, test.Below != nil, test.Above != nil}, func(used bool) bool { return !used })
		c.want(len(used) == 1, at, nil, "%d tests; expected exactly one of in, below and above", len(used))
		c.want(len(test.In) > 0 || c.inventory[test.Field] == nil, at, test.Field, "below and above are for numbers; use in")
	}
}

// alwaysAsked are the fields that a survey asks for whatever the priors are.
var alwaysAsked = []string{"a_w", "height", "humidity_class", "orientation"}

// findings checks the priors, and that whatever a survey can ask for has a row that
// says how it is found out: an order that does not would be no use in the field.
func (c *checker) findings() {
	cfg := &c.l.Config
	for _, id := range alwaysAsked {
		_, ok := cfg.Findings[id]
		c.want(ok, "findings."+id, nil, "missing; a survey asks for it where the inventory lacks it: do not drop the row, change it")
	}
	for _, id := range sortedKeys(cfg.Findings) {
		c.reference("findings."+id, id, "inventory")
	}
	seen := map[[2]string]string{}
	for id, p := range inOrder(cfg.Priors) {
		at := [2]string{p.Field, p.Level}
		c.want(seen[at] == "", "priors."+id+".level", p.Level, "has a row already, %s; keep one", seen[at])
		seen[at] = id
	}
}

// costs checks that every row prices work there is: a slip in an id would leave it
// without a price.
func (c *checker) costs() {
	cfg := &c.l.Config
	ids := append(sortedKeys(cfg.Strategies), sortedKeys(cfg.Steps)...)
	for id, cost := range inOrder(cfg.Costs) {
		key, given := "costs."+id, c.l.table("costs")[id].(map[string]any)
		c.want(slices.Contains(ids, id), key, id, "no such strategy or step%s", didYouMean(id, ids))
		c.want(given["per_m2"] != nil || given["per_m2_mm"] != nil || given["per_home"] != nil, key, nil,
			"expected per_m2, per_m2_mm or per_home; 0 where the work is paid for elsewhere")
		_, sized := cfg.Strategies[id]
		c.want(sized || cost.PerM2MM == 0, key+".per_m2_mm", cost.PerM2MM, "a step has no sized layer; give per_m2 or per_home")
	}
}

// settings checks what fields.yaml cannot say of the settings. A word of a field
// means one thing.
func (c *checker) settings() {
	meant := map[Alias]bool{}
	for _, a := range c.l.Config.Input.Aliases {
		k := Alias{Field: a.Field, From: a.From}
		c.want(!meant[k], "input.aliases", a.From, "is mapped twice for the field %s; keep one entry", a.Field)
		meant[k] = true
	}
	steps, p := c.l.Config.Rank.MarginSteps, &c.l.Config.Programme
	rising := slices.IsSorted(steps) && len(slices.Compact(slices.Clone(steps))) == len(steps)
	c.want(rising, "rank.margin_steps", steps, "expected utilisations each larger than the one before")
	if p.Budget != nil && p.Target != nil {
		c.add("programme.budget", *p.Budget, "is given beside programme.target_kwh_a; give one of them: a programme for a target says what it costs")
	}
}
