package ingest

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Suppose returns a copy of a building with one fact changed, by a name of
// Column.Headers and a value as a cell would hold it. A blank value makes an
// optional fact one that is not given. An error names the column, the value, what
// was expected and what to do; the id of a building cannot be changed.
func (s *Source) Suppose(b *Building, name, value string) (*Building, error) {
	t, known := canonical[fold(name)]
	if !known {
		return nil, fmt.Errorf("%q is not a column of an inventory%s; wallsift help columns lists them", name, didYouMean(name, headerNames()))
	}
	c := &catalogue[t.col]
	switch {
	case t.unit == needsUnit:
		return nil, fmt.Errorf("%s lacks a unit; use one of %s", name, strings.Join(c.Headers(), ", "))
	case c.Kind == KindID:
		return nil, fmt.Errorf("%s names the row and is no fact of it; change another column", c.Name)
	}
	out := *b
	out.Ranges = slices.DeleteFunc(slices.Clone(b.Ranges), func(r Range) bool { return c.Kind == KindNumber && r.Of == Number(c.slot) })
	out.forget(c)
	if value = s.rules.meant(c, trim(value)); value == "" {
		if c.Required {
			return nil, fmt.Errorf("%s is required and cannot be blank; give a value as a cell of the inventory may hold it", name)
		}
		return &out, nil
	}
	if p := c.set(&out, s.rules.words[c], t.unit, value, ','); p.bad() {
		return nil, fmt.Errorf("%s %q: %s; %s", name, shorten(value), p.reason, p.fix)
	}
	slices.SortFunc(out.Ranges, func(x, y Range) int { return int(x.Of) - int(y.Of) })
	return &out, nil
}

// forget makes the fact of a column one that is not given.
func (b *Building) forget(c *Column) {
	switch c.Kind {
	case KindCategory:
		b.Cat[c.slot] = 0
	case KindNumber:
		b.Num[c.slot] = math.NaN()
	case KindFacings:
		b.Facings = 0
	default:
		*b.text(c) = ""
	}
}
