package config

import (
	"cmp"
	"fmt"
	"iter"
	"maps"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"wallsift/model/indicator"
	"wallsift/model/material"
)

// CheckFields holds conditions, facts, findings and aliases against the fields an
// inventory can have, which this package does not know: a condition on a field
// that does not exist would never be true and never be missed. fields maps the
// name of a field to the values it may take, nil for numbers and free text. It
// returns Problems.
func (l *Loaded) CheckFields(fields map[string][]string) error {
	return l.validate(fields).problems.sorted().orNil()
}

// validate holds every value against its rule in fields.yaml and every row against
// the others.
func (l *Loaded) validate(inventory map[string][]string) *validator {
	v := &validator{l: l, inventory: inventory}
	v.walk()
	v.materials()
	v.stations()
	v.strategies()
	v.limits()
	v.work()
	v.findings()
	v.costs()
	v.settings()
	return v
}

// validator collects problems and adds the source of each value.
type validator struct {
	l               *Loaded
	inventory       map[string][]string // as CheckFields has it; nil while it is not known
	problems, notes Problems
}

func (v *validator) add(key string, value any, expected string, args ...any) {
	v.problems = append(v.problems, v.problem(key, value, expected, args...))
}

// want reports a value that is not as it ought to be.
func (v *validator) want(ok bool, key string, value any, expected string, args ...any) {
	if !ok {
		v.add(key, value, expected, args...)
	}
}

func (v *validator) problem(key string, value any, expected string, args ...any) Problem {
	p := Problem{Key: key, Expected: fmt.Sprintf(expected, args...), Source: v.l.origin(key)}
	if value != nil {
		p.Value = show(value)
	}
	return p
}

// walk holds every value against its rule.
func (v *validator) walk() {
	root := rootSchema()
	for _, name := range root.order {
		values, _ := v.l.values[name].(map[string]any)
		if !root.fields[name].isTable() {
			v.section(root.fields[name], name, "", values)
			continue
		}
		for id, row := range inOrder(values) {
			row, _ := row.(map[string]any)
			kind, _ := row["kind"].(string)
			if row["mix"] != nil {
				kind = "composite" // what it does not give is computed
			}
			v.section(root.fields[name].elem, joinKey(name, id), kind, row)
		}
	}
}

// section holds the values at a key against their rules; kind is the kind of
// material, where they are of one.
func (v *validator) section(s *schema, key, kind string, values map[string]any) {
	for _, name := range s.order {
		below, x, at := s.fields[name], values[name], joinKey(key, name)
		v.value(below, at, kind, x)
		r := below.rule
		if r == s.rule {
			continue // none of its own
		}
		if r.needs(kind) && !given(x) {
			v.missing(s, below, key, name)
		}
		if of, ok := values[r.ValueOf].(string); ok || r.ValueOf != "" {
			v.facts(at, cmp.Or(of, r.ValueOf), x)
		}
	}
}

// facts holds a value or a list of values against those a field of the inventory
// may take.
func (v *validator) facts(key, field string, x any) {
	levels := v.inventory[field]
	if list, ok := x.([]any); ok {
		for i := range list {
			v.facts(fmt.Sprintf("%s[%d]", key, i), field, list[i])
		}
	} else if word, ok := x.(string); ok && levels != nil {
		v.oneOf(key, word, levels)
	}
}

// given says whether a value says anything; a text of blanks does not.
func given(x any) bool {
	switch x := x.(type) {
	case nil:
		return false
	case string:
		return strings.TrimSpace(x) != ""
	case []any:
		return len(x) > 0
	}
	return true
}

// missing reports a field that a row must give. A row that lacks some is most
// often a slip in the id of a row that exists.
func (v *validator) missing(around, s *schema, key, name string) {
	hint := ""
	if table, id, _ := strings.Cut(key, "."); around == rootSchema().fields[table].elem && !v.l.isDefaultRow(table, id) {
		hint = didYouMean(id, v.l.defaults[table]) + " (a new row needs every field)"
	}
	expected := s.expected()
	if s.rule.Unit != "" && s.rule.Unit != "1" {
		expected += " in " + s.rule.Unit
	}
	v.add(joinKey(key, name), nil, "missing; expected %s, %s%s", expected, s.rule.Text, hint)
}

func (v *validator) value(s *schema, key, kind string, x any) {
	switch x := x.(type) {
	case map[string]any:
		switch {
		case slices.Equal(s.order, spreadFields):
			v.spread(s.rule, key, kind, x)
		case s.kind == reflect.Map:
			for name, word := range inOrder(x) {
				at := joinKey(key, name)
				if !given(word) {
					v.add(at, word, "expected the %s", s.rule.Text)
				}
				v.reference(at, name, "inventory")
				v.facts(at, name, word)
			}
		default:
			v.section(s, key, kind, x)
		}
	case []any:
		v.list(s, key, kind, x)
	default:
		v.scalar(s.rule, key, kind, x)
	}
}

func (v *validator) list(s *schema, key, kind string, list []any) {
	seen := map[string]bool{}
	for i, x := range list {
		if s.rule.Unique && seen[cell(x)] {
			v.add(key, cell(x), "is listed twice")
		}
		seen[cell(x)] = true
		before := len(v.problems) + len(v.notes)
		v.value(s.elem, fmt.Sprintf("%s[%d]", key, i), kind, x)
		if s.elem.kind == reflect.Float64 && len(v.problems)+len(v.notes) > before {
			return // a wrong unit makes all of a series wrong alike
		}
	}
}

func (v *validator) scalar(r *rule, key, kind string, x any) {
	switch x := x.(type) {
	case int:
		v.number(key, float64(x), r.Unit, r.boundsOf(kind))
	case float64:
		v.number(key, x, r.Unit, r.boundsOf(kind))
	case string:
		switch {
		case !given(x): // missing reports it where it is needed
		case r.Words != nil:
			v.oneOf(key, x, r.Words)
		case r.Pattern != "" && !regexp.MustCompile(r.Pattern).MatchString(x):
			v.add(key, x, "expected %s", r.Expected)
		case r.Table == "kinds":
			v.oneOf(key, x, material.Kinds)
		case r.Table != "":
			v.reference(key, x, r.Table)
		}
	}
}

func (v *validator) number(key string, f float64, unit string, b bounds) {
	outside := func(b [2]float64) bool { return b != [2]float64{} && (f < b[0] || f > b[1]) }
	switch {
	case outside(b.Possible):
		v.add(key, f, "expected %s%s", span(b.Possible, unit), slipHint(f, unit, b))
	case outside(b.Usual):
		v.notes = append(v.notes, v.problem(key, f, "usual are %s%s", span(b.Usual, unit), slipHint(f, unit, b)))
	}
}

// span prints bounds with their unit, which ratios (1) have none of.
func span(b [2]float64, unit string) string {
	if unit == "1" {
		unit = ""
	}
	return strings.TrimSpace(show(b[0]) + " to " + show(b[1]) + " " + unit)
}

// spread checks that low <= typical <= high and the bounds of the three.
func (v *validator) spread(r *rule, key, kind string, m map[string]any) {
	var ends [3]float64
	for i, name := range spreadFields {
		ends[i], _ = asFloat(m[name])
	}
	if len(m) < len(ends) || !slices.IsSorted(ends[:]) {
		v.add(key, fmt.Sprintf("%g / %g / %g", ends[0], ends[1], ends[2]), "expected low <= typical <= high, all three given")
		return
	}
	for i, name := range spreadFields {
		v.number(joinKey(key, name), ends[i], r.Unit, r.boundsOf(kind))
	}
}

func (v *validator) oneOf(key, word string, words []string) {
	if !slices.Contains(words, word) {
		v.add(key, word, "expected one of %s%s", strings.Join(words, ", "), didYouMean(word, words))
	}
}

// reference checks that a word names a row of another table. Three tables are
// not of the configuration: the fields of an inventory, the indicators, and what a
// step can build.
func (v *validator) reference(key, id, table string) {
	var ids []string
	none := "no such row in " + table
	switch table {
	case "inventory":
		if v.inventory == nil {
			return
		}
		none, ids = "no such field of an inventory", sortedKeys(v.inventory)
	case "indicators":
		for i := range indicator.Count {
			ids = append(ids, i.Info().Name)
		}
	case "built":
		table, none, ids = "materials", "no such row in materials", append(sortedKeys(v.l.Config.Materials), FaceTreatment)
	default:
		rows, _ := v.l.values[table].(map[string]any)
		ids = sortedKeys(rows)
	}
	switch {
	case slices.Contains(ids, id):
	case slices.Contains(v.l.Dropped, table+"."+id):
		v.add(key, id, "the row %s.%s was dropped; drop or change what uses it, too", table, id)
	default:
		v.add(key, id, "%s%s", none, didYouMean(id, ids))
	}
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

// inOrder walks a map by its keys in order.
func inOrder[V any](m map[string]V) iter.Seq2[string, V] {
	return func(yield func(string, V) bool) {
		for _, key := range sortedKeys(m) {
			if !yield(key, m[key]) {
				return
			}
		}
	}
}

func (l *Loaded) isDefaultRow(table, id string) bool {
	return slices.Contains(l.defaults[table], id)
}
