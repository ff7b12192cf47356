package config

import (
	"cmp"
	"maps"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"sync"
)

type shape uint8

const (
	shapeText shape = iota
	shapeInt
	shapeFloat
	shapeBool
	shapeSection // fixed fields
	shapeTable   // rows by id, each of shape elem
	shapeWords   // text by free key
	shapeList    // list of elem; a leaf for layering
)

// schema is what a key may hold, read off the Config type so that the type is
// the only place where keys are declared.
type schema struct {
	shape  shape
	order  []string // fields in the order they are declared
	fields map[string]*schema
	elem   *schema
	length int // of a list, 0 = any
	// rule is the field's own, or that of the range, list or section around it.
	rule *rule
}

var rootSchema = sync.OnceValue(func() *schema {
	s := schemaOf(reflect.TypeFor[Config]())
	for name, f := range s.fields {
		if f.shape == shapeTable {
			f = f.elem
			f.fields["drop"] = &schema{shape: shapeBool}
			f.fields["like"] = &schema{shape: shapeText}
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
func TableNames() (names []string) {
	root := rootSchema()
	for _, name := range root.order {
		if root.fields[name].shape == shapeTable {
			names = append(names, name)
		}
	}
	return names
}

func schemaOf(t reflect.Type) *schema {
	switch t.Kind() {
	case reflect.Pointer:
		return schemaOf(t.Elem())
	case reflect.Struct:
		s := &schema{shape: shapeSection, fields: map[string]*schema{}}
		s.addFields(t)
		return s
	case reflect.Map:
		if t.Elem().Kind() == reflect.String {
			return &schema{shape: shapeWords, elem: &schema{shape: shapeText}}
		}
		return &schema{shape: shapeTable, elem: schemaOf(t.Elem())}
	case reflect.Slice:
		return &schema{shape: shapeList, elem: schemaOf(t.Elem())}
	case reflect.Array:
		return &schema{shape: shapeList, elem: schemaOf(t.Elem()), length: t.Len()}
	case reflect.Float64:
		return &schema{shape: shapeFloat}
	case reflect.Int:
		return &schema{shape: shapeInt}
	case reflect.Bool:
		return &schema{shape: shapeBool}
	case reflect.String:
		return &schema{shape: shapeText}
	}
	panic("config: no schema for " + t.String())
}

func (s *schema) addFields(t reflect.Type) {
	for f := range t.Fields() {
		name, opts, _ := strings.Cut(f.Tag.Get("mapstructure"), ",")
		switch {
		case opts == "squash":
			s.addFields(f.Type)
		case name != "" && name != "-":
			s.order = append(s.order, name)
			s.fields[name] = schemaOf(f.Type)
		}
	}
}

// child returns the schema below s for one part of a key path, or nil.
func (s *schema) child(part string) *schema {
	switch s.shape {
	case shapeSection:
		return s.fields[part]
	case shapeTable, shapeWords:
		if idPattern.MatchString(part) {
			return s.elem
		}
	}
	return nil
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

// isLeaf says whether layers replace the value whole.
func (s *schema) isLeaf() bool {
	return s.shape != shapeSection && s.shape != shapeTable && s.shape != shapeWords
}

// leaves calls yield for every leaf key below s; the rows and words that exist
// are read off values.
func (s *schema) leaves(prefix string, values map[string]any, yield func(key string, s *schema)) {
	names := s.order
	if s.shape != shapeSection {
		names = slices.Sorted(maps.Keys(values))
	}
	for _, name := range names {
		c := s.child(name)
		if c == nil {
			continue
		}
		key := joinKey(prefix, name)
		if c.isLeaf() {
			yield(key, c)
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

// expected says in words what a value may be.
func (s *schema) expected() string {
	switch s.shape {
	case shapeText:
		return "text"
	case shapeInt:
		return "a whole number"
	case shapeFloat:
		return "a finite number"
	case shapeBool:
		return "true or false"
	case shapeSection:
		return "a section with the keys " + strings.Join(s.order, ", ")
	case shapeTable:
		return "a table of rows by id"
	case shapeWords:
		return "a section of text values"
	}
	count := map[int]string{0: "", 2: " of 2", 12: " of 12 (January to December)"}[s.length]
	return "a list" + count + ", each " + s.elem.expected()
}
