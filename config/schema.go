package config

import (
	"cmp"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"sync"
)

// schema is what a key may hold, read off the Config type so that the type is
// the only place where keys are declared.
type schema struct {
	// kind is that of the type: Struct for a section of fixed fields, Map for a table
	// of rows or for text by free key, Slice for a list, which layers replace whole.
	kind   reflect.Kind
	order  []string // fields in the order they are declared
	fields map[string]*schema
	elem   *schema // of a map or list
	length int     // of a list, 0 = any
	mark   bool    // says how a row is made, and is no part of it
	// rule is the field's own, or that of the range, list or section around it.
	rule *rule
}

func (s *schema) isTable() bool { return s.kind == reflect.Map && s.elem.kind == reflect.Struct }

// isLeaf says whether layers replace the value whole.
func (s *schema) isLeaf() bool { return s.kind != reflect.Struct && s.kind != reflect.Map }

var rootSchema = sync.OnceValue(func() *schema {
	s := schemaOf(reflect.TypeFor[Config]())
	for name, f := range s.fields {
		if f.isTable() {
			f = f.elem
			f.fields["drop"] = &schema{kind: reflect.Bool, mark: true}
			f.fields["like"] = &schema{kind: reflect.String, mark: true}
			f.order = append(f.order, "like", "drop")
		}
		f.govern(name, "", nil)
	}
	return s
})

// govern gives a field of a section or table, and all below it, their rules.
func (s *schema) govern(section, field string, around *rule) {
	s.rule = cmp.Or(rules()[section][field], rules()["rows"][field], around)
	if s.elem != nil {
		s.elem.govern(section, field, s.rule)
	}
	for name, f := range s.fields {
		f.govern(section, joinKey(field, name), s.rule)
	}
}

// spreadFields are the fields of a range.
var spreadFields = []string{"low", "typical", "high"}

// TableNames lists the tables in the order they are documented.
func TableNames() []string {
	root := rootSchema()
	return slices.DeleteFunc(slices.Clone(root.order), func(name string) bool { return !root.fields[name].isTable() })
}

func schemaOf(t reflect.Type) *schema {
	s := &schema{kind: t.Kind(), fields: map[string]*schema{}}
	switch s.kind {
	case reflect.Pointer:
		return schemaOf(t.Elem())
	case reflect.Struct:
		for f := range t.Fields() {
			if name := f.Tag.Get("mapstructure"); name != "" && name != "-" {
				s.order = append(s.order, name)
				s.fields[name] = schemaOf(f.Type)
			}
		}
	case reflect.Map, reflect.Slice:
		s.elem = schemaOf(t.Elem())
	case reflect.Array:
		s.kind, s.elem, s.length = reflect.Slice, schemaOf(t.Elem()), t.Len()
	}
	return s
}

// child returns the schema below s for one part of a key path, or nil.
func (s *schema) child(part string) *schema {
	if s.kind == reflect.Map && idPattern.MatchString(part) {
		return s.elem
	}
	return s.fields[part]
}

// at walks a key path. It returns nil when nothing lives there.
func (s *schema) at(key string) *schema {
	for part := range strings.SplitSeq(key, ".") {
		if s = s.child(part); s == nil {
			return nil
		}
	}
	return s
}

// leaves calls yield for every leaf key below s with its value, nil where there is
// none; the rows and words that exist are read off values.
func (s *schema) leaves(prefix string, values map[string]any, yield func(key string, s *schema, value any)) {
	names := s.order
	if s.kind == reflect.Map {
		names = sortedKeys(values)
	}
	for _, name := range names {
		c, key := s.child(name), joinKey(prefix, name)
		if c.isLeaf() {
			yield(key, c, values[name])
			continue
		}
		below, _ := values[name].(map[string]any)
		c.leaves(key, below, yield)
	}
}

// idPattern is what ids and keys look like.
var idPattern = regexp.MustCompile(`^[a-z0-9]+(_[a-z0-9]+)*$`)

func joinKey(prefix, name string) string {
	if prefix == "" {
		return name
	}
	return prefix + "." + name
}

func (s *schema) expected() string {
	switch {
	case s.kind == reflect.Struct:
		return "a section with the keys " + strings.Join(s.order, ", ")
	case s.isTable():
		return "a table of rows by id"
	case s.kind == reflect.Slice:
		count := map[int]string{0: "", 2: " of 2", 12: " of 12 (January to December)"}[s.length]
		return "a list" + count + ", each " + s.elem.expected()
	}
	return map[reflect.Kind]string{reflect.String: "text", reflect.Int: "a whole number", reflect.Float64: "a finite number",
		reflect.Bool: "true or false", reflect.Map: "a section of text values"}[s.kind]
}
