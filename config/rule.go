package config

import (
	"cmp"
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"go.yaml.in/yaml/v3"
)

//go:embed fields.yaml
var fieldsYAML []byte

// rule says what a key means and may hold; the head of fields.yaml explains it.
type rule struct {
	bounds   `yaml:",inline"`
	Text     string            `yaml:"text"`
	Unit     string            `yaml:"unit"`
	Kinds    map[string]bounds `yaml:"kinds"`
	Words    []string          `yaml:"words"`
	Pattern  string            `yaml:"pattern"`
	Expected string            `yaml:"expected"`
	Table    string            `yaml:"table"`
	Needed   string            `yaml:"needed"`
	ValueOf  string            `yaml:"value_of"`
	Unique   bool              `yaml:"unique"`
	Slips    []struct {
		Unit   string  `yaml:"unit"`
		Factor float64 `yaml:"factor"`
	} `yaml:"slips"`
}

// bounds of a number: outside Possible it is refused, outside Usual noted. Both
// zero means no bound.
type bounds struct {
	Possible [2]float64 `yaml:"possible"`
	Usual    [2]float64 `yaml:"usual"`
}

func (r *rule) UnmarshalYAML(node *yaml.Node) error {
	if node.Kind == yaml.ScalarNode {
		r.Text = node.Value
		return nil
	}
	type plain rule // without this method
	return node.Decode((*plain)(r))
}

func (r *rule) boundsOf(kind string) bounds {
	k := r.Kinds[kind]
	return bounds{cmp.Or(k.Possible, r.Possible), cmp.Or(k.Usual, r.Usual)}
}

// needs says whether a row of a kind of material must give the field.
func (r *rule) needs(kind string) bool {
	return r.Needed == "true" || slices.Contains(strings.Fields(r.Needed), kind)
}

// rules holds the rules by section or table, then by field.
var rules = sync.OnceValue(func() (m map[string]map[string]*rule) {
	if err := yaml.Unmarshal(fieldsYAML, &m); err != nil {
		panic(fmt.Sprintf("config: fields.yaml: %v", err)) // embedded, so a defect of the build
	}
	return m
})

// Describe returns what a leaf key means, with its unit, and "" for a key that
// does not exist.
func Describe(key string) string {
	s := rootSchema().at(key)
	if s == nil || !s.isLeaf() {
		return ""
	}
	text, end := s.rule.Text, key[len(parentKey(key))+1:]
	if s.rule.Unit != "" && s.rule.Unit != "1" {
		text = s.rule.Unit + ", " + text
	}
	if slices.Contains(spreadFields, end) && s.rule == rootSchema().at(parentKey(key)).rule {
		text += " (" + end + ")"
	}
	return text
}

// Words returns the words that a setting or a field accepts, nil where any will do.
func Words(key string) []string {
	section, field, _ := strings.Cut(key, ".")
	if r := rules()[section][field]; r != nil {
		return r.Words
	}
	return nil
}

// Words that are asked for in several places.
var (
	Formats     = Words("output.format")
	Units       = Words("output.units")
	ResultFiles = Words("output.files")
)
