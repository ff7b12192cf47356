package report

import (
	"bytes"
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"

	"wallsift/config"
)

// settings lists every value of the configuration that can move a figure of a
// building whose facts stay the same: key path → value as JSON has it. Left out are how
// inventories are read, what only says where results go and how fast, words for
// people, what programmes are made by, weather files, whose contents have hashes of
// their own, and what the manifest names by itself (tier, seed, weather).
func settings(l *config.Loaded) (map[string]any, error) {
	var b bytes.Buffer
	if err := l.WriteYAML(&b, false); err != nil {
		return nil, err
	}
	var tree map[string]any
	if err := yaml.Unmarshal(b.Bytes(), &tree); err != nil {
		return nil, fmt.Errorf("reading the configuration back: %w", err)
	}
	for _, section := range []string{"input", "run", "output", "stages", "findings", "programme", "costs"} {
		delete(tree, section)
	}
	out := map[string]any{}
	flatten(out, "", tree)
	return out, nil
}

// idle are the fields of rows that move no figure.
var idle = map[string]bool{"label": true, "summary": true, "reason": true, "source": true, "unit": true, "stage": true, "builds": true, "weather_file": true}

func flatten(out map[string]any, at string, value any) {
	m, ok := value.(map[string]any)
	if !ok {
		out[at] = value
		return
	}
	for name, v := range m {
		if strings.Contains(at, ".") && idle[name] { // a field of a row
			continue
		}
		key := name
		if at != "" {
			key = at + "." + name
		}
		flatten(out, key, v)
	}
}
