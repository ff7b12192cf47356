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
	var b strings.Builder
	if p.Source != "" {
		b.WriteString(p.Source + ": ")
	}
	if p.Key != "" {
		b.WriteString(p.Key + ": ")
	}
	if p.Value != "" {
		b.WriteString("found " + p.Value + ", ")
	}
	b.WriteString(p.Expected)
	return b.String()
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

// sorted puts problems in the order of their keys.
func (ps Problems) sorted() Problems {
	slices.SortStableFunc(ps, func(a, b Problem) int { return strings.Compare(a.Key, b.Key) })
	return ps
}

// orNil keeps an empty list from becoming a non-nil error.
func (ps Problems) orNil() error {
	if len(ps) == 0 {
		return nil
	}
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

// slip is a unit a number is often given in by mistake, with the factor that
// brings it to the unit of the key.
type slip struct {
	unit   string
	factor float64
}

// slips by the unit of the key. The tables of limits write units in plain letters.
var slips = map[string][]slip{
	"m":          {{"mm", 0.001}, {"cm", 0.01}, {"inches", 0.0254}},
	"mm a month": {{"m", 1000}, {"inches", 25.4}},
	"1":          {{"percent", 0.01}},
	"kg/kg":      {{"percent", 0.01}},
	"m³/m³":      {{"percent", 0.01}},
	"kg/(m²·√s)": {{"kg/(m²·√h)", 1.0 / 60}},
	"kg/m2s05":   {{"kg/m2h05", 1.0 / 60}},
	"kg/m2h05":   {{"kg/m2s05", 60}},
	"kg/(m²·h½)": {{"kg/(m²·s½)", 60}},
	"kg/m³":      {{"g/cm³", 1000}, {"percent of volume", 10}},
	"J/(kg·K)":   {{"kJ/(kg·K)", 1000}},
	"W/(m·K)":    {{"mW/(m·K)", 0.001}},
	"m/s":        {{"km/h", 1 / 3.6}},
	"kg/m2":      {{"g/m2", 0.001}},
}

// slipHint names the unit in which f would be a usual value, or returns nothing.
func slipHint(f float64, unit string, b bounds) string {
	usual := cmp.Or(b.Usual, b.Possible)
	for _, s := range slips[unit] {
		if x := f * s.factor; x >= usual[0] && x <= usual[1] {
			return fmt.Sprintf("; %s looks like %s: write %.3g", show(f), s.unit, x)
		}
	}
	return ""
}
