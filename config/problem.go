package config

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/agnivade/levenshtein"
)

// Source is where a value came from.
type Source struct {
	Kind string `json:"kind"`           // default, file, environment or flag
	Name string `json:"name,omitempty"` // path, variable or flag; empty for the defaults
}

// String returns "default", "file PATH", "environment VAR" or "flag --x".
func (s Source) String() string {
	if s.Kind == "default" {
		return s.Kind
	}
	return s.Kind + " " + s.Name
}

// Problem is one thing wrong with the configuration, or one to take note of.
type Problem struct {
	Key      string // key path, e.g. "materials.granite_unit.lambda.low"
	Value    string // the value found; empty when it is missing
	Expected string // what would have been right, and the fix
	Source   string // as Source.String, empty when nothing set the key
}

// Error says source, key, value and expectation on one line.
func (p Problem) Error() string {
	parts := []string{p.Source, p.Key, p.Expected}
	if p.Value != "" {
		parts[2] = "found " + p.Value + ", " + p.Expected
	}
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), ": ")
}

// Problems is every problem found at once; Load returns it as its error.
type Problems []Problem

// Texts returns the problems one by one.
func (ps Problems) Texts() []string {
	out := make([]string, len(ps))
	for i, p := range ps {
		out[i] = p.Error()
	}
	return out
}

// Error lists one problem a line.
func (ps Problems) Error() string {
	if len(ps) == 1 {
		return "configuration: " + ps[0].Error()
	}
	return fmt.Sprintf("configuration: %d problems\n  %s", len(ps), strings.Join(ps.Texts(), "\n  "))
}

func (ps Problems) sorted() Problems {
	slices.SortStableFunc(ps, func(a, b Problem) int { return strings.Compare(a.Key, b.Key) })
	return ps
}

// didYouMean returns a hint to append to an expectation: the candidate with the
// fewest edits from word, when there are few enough of them for a slip of the
// finger, one edit in three letters; else nothing.
func didYouMean(word string, candidates []string) string {
	best, bestDist := "", len(word)/3+2
	for _, c := range slices.Sorted(slices.Values(candidates)) {
		if d := levenshtein.ComputeDistance(word, c); d < bestDist {
			best, bestDist = c, d
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf("; did you mean %q?", best)
}

// slipHint names the unit in which f would be a usual value, or returns nothing.
func slipHint(f float64, unit string, b bounds) string {
	usual, r := cmp.Or(b.Usual, b.Possible), cmp.Or(rules()["units"][unit], &rule{})
	for _, s := range r.Slips {
		if x := f * s.Factor; x >= usual[0] && x <= usual[1] {
			return fmt.Sprintf("; %s looks like %s: write %.3g", show(f), s.Unit, x)
		}
	}
	return ""
}
