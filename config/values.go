package config

import (
	"fmt"
	"iter"
	"maps"
	"math"
	"reflect"
	"slices"
	"strconv"
)

// asMap accepts the map types the decoders produce; YAML has one of its own for
// maps in which a key reads as a number, such as climate zone 7.
func asMap(raw any) (map[string]any, bool) {
	switch m := raw.(type) {
	case map[string]any:
		return m, true
	case map[any]any:
		out := make(map[string]any, len(m))
		for k, v := range m {
			out[fmt.Sprint(k)] = v
		}
		return out, true
	}
	return nil, false
}

// asFloat accepts every finite number; NaN and infinities would make every
// later comparison pass.
func asFloat(raw any) (f float64, ok bool) {
	switch n := reflect.ValueOf(raw); {
	case n.CanFloat():
		f = n.Float()
	case n.CanInt():
		f = float64(n.Int())
	case n.CanUint():
		f = float64(n.Uint())
	default:
		return 0, false
	}
	return f, !math.IsNaN(f) && !math.IsInf(f, 0)
}

// asInt accepts whole numbers, also those JSON decoded to a float.
func asInt(raw any) (int, bool) {
	if n := reflect.ValueOf(raw); n.CanInt() {
		return int(n.Int()), true
	}
	f, ok := raw.(float64)
	return int(f), ok && f == math.Trunc(f) && math.Abs(f) < 1<<53
}

// show prints a value the way a user would write it.
func show(v any) string {
	switch x := v.(type) {
	case nil:
		return "nothing"
	case string:
		return strconv.Quote(x)
	case float64:
		return strconv.FormatFloat(x, 'g', -1, 64)
	case map[string]any:
		return "a section"
	}
	return fmt.Sprint(v)
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
