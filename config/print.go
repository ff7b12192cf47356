package config

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"reflect"
	"strings"

	"github.com/spf13/viper"
	"go.yaml.in/yaml/v3"
)

// WriteYAML writes the effective configuration in a form that can be given
// back as a configuration file: loading it alone yields the same
// configuration. Rows that were dropped appear as `drop: true`. With origins
// every leaf carries a comment that says where its value came from.
func (l *Loaded) WriteYAML(w io.Writer, origins bool) error {
	var p printer
	if origins {
		p = l.Origins
	}
	enc := yaml.NewEncoder(w)
	enc.SetIndent(2)
	if err := enc.Encode(p.node(rootSchema(), "", l.Values())); err != nil {
		return fmt.Errorf("printing the configuration: %w", err)
	}
	return enc.Close()
}

// Values returns the values by section, with the dropped default rows marked again.
func (l *Loaded) Values() map[string]any {
	v := viper.New()
	for name, values := range l.values {
		v.SetDefault(name, values)
	}
	for _, key := range l.Dropped {
		if table, id, _ := strings.Cut(key, "."); l.isDefaultRow(table, id) { // of the user's own rows nothing is left
			v.SetDefault(key+".drop", true)
		}
	}
	return v.AllSettings()
}

// printer holds the origins that are printed, none where it is nil.
type printer map[string]string

// node builds the YAML of a value, fields in the order they are declared and
// rows in the order of their ids.
func (p printer) node(s *schema, key string, v any) *yaml.Node {
	n := &yaml.Node{}
	switch x := v.(type) {
	case map[string]any:
		n.Kind = yaml.MappingNode
		names := sortedKeys(x)
		if s.kind == reflect.Struct {
			names = s.order
		}
		numbers := true
		for _, name := range names {
			v, ok := x[name]
			if !ok {
				continue
			}
			path := joinKey(key, name)
			k, c := &yaml.Node{}, p.node(s.child(name), path, v)
			k.SetString(name)
			if o := p[path]; o != "" {
				at := c
				if c.Kind == yaml.SequenceNode && c.Style != yaml.FlowStyle { // a block list has no line of its own
					at = k
				}
				at.LineComment = "# " + o
			}
			n.Content = append(n.Content, k, c)
			_, isNumber := v.(float64)
			numbers = numbers && isNumber
		}
		if numbers && strings.Contains(key, ".") && p == nil && s.kind == reflect.Struct { // ranges read best on one line
			n.Style = yaml.FlowStyle
		}
	case []any:
		n.Kind = yaml.SequenceNode
		for _, e := range x {
			c := p.node(s.elem, "", e)
			if c.Kind == yaml.MappingNode {
				c.Style = yaml.FlowStyle
			}
			n.Content = append(n.Content, c)
		}
		if s.elem.kind != reflect.Struct || len(x) == 0 {
			n.Style = yaml.FlowStyle
		}
	default:
		if err := n.Encode(v); err != nil {
			panic(fmt.Sprintf("config: printing %s: %v", key, err)) // texts, numbers and booleans always encode
		}
	}
	return n
}

// Fingerprint returns a hash (SHA-256, hexadecimal) of everything in the
// effective configuration that can change a result. It does not depend on
// where values came from, nor on settings that say only where results go, how
// they are shown and how fast: input.batch_rows, run.workers,
// run.max_rejected_share, and all of output, programme and costs.
func (l *Loaded) Fingerprint() string {
	c := l.Config // maps are shared, but only read
	c.Input.BatchRows, c.Run.Workers, c.Run.MaxRejectedShare, c.Output = 0, 0, 0, Output{}
	// JSON sorts maps by key and prints floats in the shortest exact form.
	b, err := json.Marshal(&c)
	if err != nil {
		panic(fmt.Sprintf("config: fingerprint: %v", err)) // plain data and finite numbers always encode
	}
	sum := sha256.Sum256(append([]byte("wallsift configuration 1\n"), b...))
	return hex.EncodeToString(sum[:])
}
