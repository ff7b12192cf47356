package config

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
)

// section checks a section, table, word map or entry of a list against the schema
// and turns its values into the types of the schema, so that layering never meets
// two types under one key (the merge would keep the first and say nothing).
func (l *loader) section(s *schema, key string, raw map[string]any) map[string]any {
	out := make(map[string]any, len(raw))
	for name, x := range inOrder(raw) {
		below := s.child(name)
		path := joinKey(key, name)
		if below == nil {
			l.unknown(s, path, name)
			continue
		}
		if x == nil && !below.isLeaf() && !s.isTable() {
			continue // a header with everything below it commented out
		}
		if v, ok := l.value(below, path, x); ok {
			out[name] = v
		}
	}
	return out
}

func (l *loader) unknown(s *schema, path, name string) {
	if parts := strings.Split(name, "."); len(parts) > 1 && s.at(name) != nil {
		l.add(path, "", "keys are nested in a file, without dots: "+strings.Join(parts, ": {")+": ..."+strings.Repeat("}", len(parts)-1))
		return
	}
	if s.kind == reflect.Map {
		l.add(path, "", fmt.Sprintf("%q is not an id: use lower snake_case, letters and digits joined by single underscores", name))
		return
	}
	hint := didYouMean(name, s.order)
	if hint == "" {
		hint = fmt.Sprintf("; known here are %q", s.order)
	}
	l.add(path, "", "unknown key"+hint)
}

// value checks one value and returns it in the type of the schema.
func (l *loader) value(s *schema, key string, raw any) (any, bool) {
	var out any
	ok := false
	switch s.kind {
	case reflect.Struct, reflect.Map:
		if m, isMap := asMap(raw); isMap {
			return l.section(s, key, m), true
		}
	case reflect.Slice:
		if list, isList := raw.([]any); isList {
			return l.list(s, key, list)
		}
	case reflect.String:
		out, ok = raw.(string)
	case reflect.Bool:
		out, ok = raw.(bool)
	case reflect.Int:
		out, ok = asInt(raw)
	case reflect.Float64:
		out, ok = asFloat(raw)
	}
	if !ok {
		expected := "expected " + s.expected()
		if s.kind == reflect.String && raw != nil {
			expected += "; put the value in quotes"
		}
		l.add(key, show(raw), expected)
	}
	return out, ok
}

func (l *loader) list(s *schema, key string, raw []any) (any, bool) {
	if s.length != 0 && len(raw) != s.length {
		l.add(key, fmt.Sprintf("%d values", len(raw)), "expected "+s.expected())
		return nil, false
	}
	out, all := make([]any, 0, len(raw)), true
	for i, r := range raw {
		v, ok := l.value(s.elem, fmt.Sprintf("%s[%d]", key, i), r)
		out, all = append(out, v), all && ok
	}
	return out, all
}

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

// parseText turns the text of an environment variable or of --set into a value
// the checker can judge. Lists of scalars are comma separated; an empty text
// is an empty list. What does not parse is returned as text, so that the
// checker reports it with the key and what was expected.
func parseText(s *schema, text string) (any, error) {
	var v any
	var err error
	trimmed := strings.TrimSpace(text)
	switch s.kind {
	case reflect.Int:
		v, err = strconv.Atoi(trimmed)
	case reflect.Float64:
		v, err = strconv.ParseFloat(trimmed, 64)
	case reflect.Bool:
		v, err = strconv.ParseBool(trimmed)
	case reflect.Slice:
		if s.elem.kind == reflect.Struct {
			return nil, fmt.Errorf("%s can only be given in a file", s.expected())
		}
		list := []any{}
		if trimmed == "" {
			return list, nil
		}
		for part := range strings.SplitSeq(text, ",") {
			v, _ := parseText(s.elem, strings.TrimSpace(part)) // of no list
			list = append(list, v)
		}
		return list, nil
	default:
		v = text
	}
	if err != nil {
		return text, nil
	}
	return v, nil
}
