package config

import (
	"cmp"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/viper"

	"wallsift/model/indicator"
	"wallsift/model/material"
)

// checker collects what is wrong with a configuration, each with its source.
type checker struct {
	l               *Loaded
	merged          *viper.Viper        // the layers, the weakest first
	inventory       map[string][]string // as CheckFields has it; nil while it is not known
	problems, notes Problems
	unreadable      bool // there are values of the wrong type or under unknown keys
}

// unread reports what cannot be read as a known key of the right type.
func (c *checker) unread(source, key, value, expected string) {
	c.unreadable = true
	c.problems = append(c.problems, Problem{Key: key, Value: value, Expected: expected, Source: source})
}

func (c *checker) add(key string, value any, expected string, args ...any) {
	c.problems = append(c.problems, c.problem(key, value, expected, args...))
}

func (c *checker) want(ok bool, key string, value any, expected string, args ...any) {
	if !ok {
		c.add(key, value, expected, args...)
	}
}

func (c *checker) problem(key string, value any, expected string, args ...any) Problem {
	p := Problem{Key: key, Expected: fmt.Sprintf(expected, args...), Source: c.l.origin(key)}
	if value != nil {
		p.Value = show(value)
	}
	return p
}

// section holds the values at a key against the schema and their rules in fields.yaml,
// and returns them in the types of the schema. kind is the kind of material, where
// they are of one.
func (c *checker) section(s *schema, key, kind string, raw map[string]any) map[string]any {
	out := make(map[string]any, len(raw))
	for name, x := range inOrder(raw) {
		below, at := s.child(name), joinKey(key, name)
		if below == nil { // in a list
			c.unknown(s, at, name)
			continue
		}
		if s.isTable() {
			kind = kindOf(x)
		}
		if v, ok := c.value(below, at, kind, x); ok && !below.mark {
			out[name] = v
		}
	}
	switch {
	case s.kind == reflect.Map && !s.isTable():
		for name, word := range inOrder(out) {
			at := joinKey(key, name)
			c.want(given(word), at, word, "expected the %s", s.rule.Text)
			c.reference(at, name, "inventory")
			c.facts(at, name, word)
		}
	case slices.Equal(s.order, spreadFields) && len(out) == len(raw):
		var ends [3]float64
		for i, name := range spreadFields {
			ends[i], _ = asFloat(out[name])
		}
		c.want(len(out) == len(ends) && slices.IsSorted(ends[:]), key, fmt.Sprintf("%g / %g / %g", ends[0], ends[1], ends[2]),
			"expected low <= typical <= high, all three given")
	case s.kind == reflect.Struct:
		for _, name := range s.order {
			r := s.fields[name].rule
			if r == s.rule {
				continue // none of its own
			}
			if r.needs(kind) && !given(raw[name]) {
				c.missing(s, s.fields[name], key, name)
			}
			if of, ok := raw[r.ValueOf].(string); ok || r.ValueOf != "" {
				c.facts(joinKey(key, name), cmp.Or(of, r.ValueOf), out[name])
			}
		}
	}
	return out
}

// kindOf is the kind of material of a row; what a mix does not give is computed.
func kindOf(row any) string {
	m, _ := row.(map[string]any)
	if m["mix"] != nil {
		return "composite"
	}
	kind, _ := m["kind"].(string)
	return kind
}

func (c *checker) unknown(s *schema, path, name string) {
	expected := "unknown key" + cmp.Or(didYouMean(name, s.order), fmt.Sprintf("; known here are %q", s.order))
	if parts := strings.Split(name, "."); len(parts) > 1 && s.at(name) != nil {
		expected = "keys are nested in a file, without dots: " + strings.Join(parts, ": {") + ": ..." + strings.Repeat("}", len(parts)-1)
	} else if s.kind == reflect.Map {
		expected = fmt.Sprintf("%q is not an id: use lower snake_case, letters and digits joined by single underscores", name)
	}
	c.unread(c.l.origin(path), path, "", expected)
}

// value checks one value and returns it in the type of the schema.
func (c *checker) value(s *schema, key, kind string, raw any) (any, bool) {
	switch s.kind {
	case reflect.Struct, reflect.Map:
		if m, ok := asMap(raw); ok {
			return c.section(s, key, kind, m), true
		}
	case reflect.Slice:
		if list, ok := raw.([]any); ok {
			return c.list(s, key, kind, list)
		}
	case reflect.String:
		if text, ok := raw.(string); ok {
			c.text(s.rule, key, text)
			return text, true
		}
	case reflect.Bool:
		if b, ok := raw.(bool); ok {
			return b, true
		}
	case reflect.Int:
		if n, ok := asInt(raw); ok {
			c.number(key, float64(n), s.rule.Unit, s.rule.boundsOf(kind))
			return n, true
		}
	case reflect.Float64:
		if f, ok := asFloat(raw); ok {
			c.number(key, f, s.rule.Unit, s.rule.boundsOf(kind))
			return f, true
		}
	}
	expected := "expected " + s.expected()
	if s.kind == reflect.String && raw != nil {
		expected += "; put the value in quotes"
	}
	c.unread(c.l.origin(key), key, show(raw), expected)
	return nil, false
}

func (c *checker) list(s *schema, key, kind string, raw []any) (any, bool) {
	if s.length != 0 && len(raw) != s.length {
		c.unread(c.l.origin(key), key, fmt.Sprintf("%d values", len(raw)), "expected "+s.expected())
		return nil, false
	}
	out, told, seen := make([]any, len(raw)), false, map[string]bool{}
	for i, x := range raw {
		problems, notes := c.problems, c.notes
		out[i], _ = c.value(s.elem, fmt.Sprintf("%s[%d]", key, i), kind, x)
		if told {
			c.problems, c.notes = problems, notes // a wrong unit makes all of a series wrong alike
		}
		told = told || s.elem.kind == reflect.Float64 && len(c.problems)+len(c.notes) > len(problems)+len(notes)
		c.want(!s.rule.Unique || !seen[cell(x)], key, cell(x), "is listed twice")
		seen[cell(x)] = true
	}
	return out, true
}

// facts holds a value or a list of values against those a field of the inventory
// may take.
func (c *checker) facts(key, field string, x any) {
	levels := c.inventory[field]
	if list, ok := x.([]any); ok {
		for i := range list {
			c.facts(fmt.Sprintf("%s[%d]", key, i), field, list[i])
		}
	} else if word, ok := x.(string); ok && levels != nil {
		c.oneOf(key, word, levels)
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
func (c *checker) missing(around, s *schema, key, name string) {
	hint := ""
	if table, id, _ := strings.Cut(key, "."); around == rootSchema().fields[table].elem && !c.l.isDefaultRow(table, id) {
		hint = didYouMean(id, c.l.defaults[table]) + " (a new row needs every field)"
	}
	expected := s.expected()
	if s.rule.Unit != "" && s.rule.Unit != "1" {
		expected += " in " + s.rule.Unit
	}
	c.add(joinKey(key, name), nil, "missing; expected %s, %s%s", expected, s.rule.Text, hint)
}

func (c *checker) text(r *rule, key, x string) {
	switch {
	case !given(x) && (r.Pattern == "" || r.Needed != ""): // missing reports it where it is needed
	case r.Words != nil:
		c.oneOf(key, x, r.Words)
	case r.Pattern != "":
		c.want(regexp.MustCompile(r.Pattern).MatchString(x), key, x, "expected %s", r.Expected)
	case r.Table == "kinds":
		c.oneOf(key, x, material.Kinds)
	case r.Table != "":
		c.reference(key, x, r.Table)
	}
}

func (c *checker) number(key string, f float64, unit string, b bounds) {
	outside := func(b [2]float64) bool { return b != [2]float64{} && (f < b[0] || f > b[1]) }
	switch {
	case outside(b.Possible):
		c.add(key, f, "expected %s%s", span(b.Possible, unit), slipHint(f, unit, b))
	case outside(b.Usual):
		c.notes = append(c.notes, c.problem(key, f, "usual are %s%s", span(b.Usual, unit), slipHint(f, unit, b)))
	}
}

// span prints bounds with their unit, which ratios (1) have none of.
func span(b [2]float64, unit string) string {
	if unit == "1" {
		unit = ""
	}
	return strings.TrimSpace(show(b[0]) + " to " + show(b[1]) + " " + unit)
}

func (c *checker) oneOf(key, word string, words []string) {
	if !slices.Contains(words, word) {
		c.add(key, word, "expected one of %s%s", strings.Join(words, ", "), didYouMean(word, words))
	}
}

// reference checks that a word names a row of another table. Three tables are
// not of the configuration: the fields of an inventory, the indicators, and what a
// step can build.
func (c *checker) reference(key, id, table string) {
	var ids []string
	none := "no such row in " + table
	switch table {
	case "inventory":
		if c.inventory == nil {
			return
		}
		none, ids = "no such field of an inventory", sortedKeys(c.inventory)
	case "indicators":
		for i := range indicator.Count {
			ids = append(ids, i.Info().Name)
		}
	case "built":
		table, none, ids = "materials", "no such row in materials", append(sortedKeys(c.l.table("materials")), FaceTreatment)
	default:
		ids = sortedKeys(c.l.table(table))
	}
	switch {
	case slices.Contains(ids, id):
	case slices.Contains(c.l.Dropped, table+"."+id):
		c.add(key, id, "the row %s.%s was dropped; drop or change what uses it, too", table, id)
	default:
		c.add(key, id, "%s%s", none, didYouMean(id, ids))
	}
}
