package screen

import (
	"fmt"
	"math"

	"wallsift/config"
	"wallsift/ingest"
)

// condition is a compiled config.Condition.
type condition struct {
	number       bool
	field        uint8
	levels       uint32 // bit per accepted level
	above, below float64
}

func (c *condition) holds(b *ingest.Building) bool {
	if !c.number {
		return c.levels&(1<<b.Cat[c.field]) != 0
	}
	x := b.Num[c.field] // comparisons with NaN are false: an unknown number fulfils nothing
	return x > c.above || x < c.below
}

func allHold(list []condition, b *ingest.Building) bool {
	for i := range list {
		if !list[i].holds(b) {
			return false
		}
	}
	return true
}

func compileConditions(key string, list []config.Condition) ([]condition, error) {
	var out []condition
	for _, c := range list {
		if cat, ok := ingest.LookupCategory(c.Field); ok {
			one := condition{field: uint8(cat)}
			for _, word := range c.In {
				level, _ := cat.Level(word)
				one.levels |= 1 << level
			}
			out = append(out, one)
			continue
		}
		num, ok := ingest.LookupNumber(c.Field)
		if !ok {
			return nil, fmt.Errorf("%s: the inventory has no field %q", key, c.Field)
		}
		one := condition{number: true, field: uint8(num), above: math.Inf(1), below: math.Inf(-1)}
		if c.Above != nil {
			one.above = *c.Above
		}
		if c.Below != nil {
			one.below = *c.Below
		}
		out = append(out, one)
	}
	return out, nil
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
