package config

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"wallsift/model/material"
)

// Validate checks ranges and references across all tables and returns every
// problem at once, in the order of the key paths, as Problems. Load calls it.
func (l *Loaded) Validate() error {
	v := &validator{l: l}
	v.settings()
	v.materials()
	v.climates()
	v.strategies()
	v.finishes()
	v.priors()
	v.findings()
	v.gates()
	v.steps()
	v.stages()
	v.limits()
	return v.done()
}

// validator collects problems and adds the source of each value.
type validator struct {
	l        *Loaded
	problems Problems
}

func (v *validator) done() error {
	slices.SortStableFunc(v.problems, func(a, b Problem) int { return strings.Compare(a.Key, b.Key) })
	return v.problems.orNil()
}

func (v *validator) add(key string, value any, expected string, args ...any) {
	p := Problem{Key: key, Expected: fmt.Sprintf(expected, args...), Source: v.l.origin(key)}
	if value != nil {
		p.Value = show(value)
	}
	v.problems = append(v.problems, p)
}

// within checks low ≤ f ≤ high.
func (v *validator) within(key string, f, low, high float64, unit string) {
	if f < low || f > high {
		v.add(key, f, "expected %s to %s %s", show(low), show(high), unit)
	}
}

// text checks that the texts every row needs are there. A row whose source is
// missing is most often a slip in the id of a row that exists.
func (v *validator) text(table, id string, fields map[string]string) {
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		if strings.TrimSpace(fields[name]) != "" {
			continue
		}
		hint := ""
		if !v.l.isDefaultRow(table, id) {
			hint = didYouMean(id, v.l.defaultRows(table)) + " (a new row needs every field)"
		}
		v.add(table+"."+id+"."+name, nil, "missing; every row needs a %s%s", name, hint)
	}
}

func (v *validator) oneOf(key, word string, words []string) {
	if !slices.Contains(words, word) {
		v.add(key, word, "expected one of %s%s", strings.Join(words, ", "), didYouMean(word, words))
	}
}

// reference checks that a word names a row of another table.
func (v *validator) reference(key, id, table string, rows []string) {
	if slices.Contains(rows, id) {
		return
	}
	if slices.Contains(v.l.Dropped, table+"."+id) {
		v.add(key, id, "the row %s.%s was dropped; drop or change what uses it, too", table, id)
		return
	}
	v.add(key, id, "no such row in %s%s", table, didYouMean(id, rows))
}

func (v *validator) unique(key string, list []string) {
	seen := map[string]bool{}
	for _, word := range list {
		if seen[word] {
			v.add(key, word, "is listed twice")
		}
		seen[word] = true
	}
}

// spread checks low ≤ typical ≤ high within bounds. A range of zeros is "not
// known" and only wrong when needed.
func (v *validator) spread(key string, r material.Range, low, high float64, unit string, needed bool) bool {
	if r == (material.Range{}) {
		if needed {
			v.add(key, nil, "missing; expected low, typical and high in %s", unit)
		}
		return false
	}
	if !(r.Low <= r.Typical && r.Typical <= r.High) {
		v.add(key, fmt.Sprintf("%g / %g / %g", r.Low, r.Typical, r.High), "expected low <= typical <= high, all three given")
		return false
	}
	if r.Low < low || r.High > high {
		v.add(key, fmt.Sprintf("%g / %g / %g", r.Low, r.Typical, r.High), "expected values from %g to %g %s", low, high, unit)
		return false
	}
	return true
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

func (l *Loaded) isDefaultRow(table, id string) bool {
	return slices.Contains(l.defaultRows(table), id)
}

// defaultRows lists the ids the defaults have in a table.
func (l *Loaded) defaultRows(table string) []string {
	ids := map[string]bool{}
	for key := range l.defaults {
		if rest, ok := strings.CutPrefix(key, table+"."); ok {
			id, _, _ := strings.Cut(rest, ".")
			ids[id] = true
		}
	}
	return sortedKeys(ids)
}
