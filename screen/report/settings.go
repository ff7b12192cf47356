package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"

	"wallsift/config"
)

// settings lists every value of the configuration that can move a figure of a
// building whose facts stay the same: key path → value in JSON. Left out are how
// inventories are read, what only says where results go and how fast, words for
// people, what programmes are made by, weather files, whose contents have hashes of
// their own, and what the manifest names by itself (tier, seed, weather).
func settings(l *config.Loaded) (map[string]string, error) {
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
	out := map[string]string{}
	return out, flatten(out, "", tree)
}

// idle are the fields of rows that move no figure.
var idle = map[string]bool{"label": true, "summary": true, "reason": true, "source": true, "unit": true, "stage": true, "builds": true, "weather_file": true}

func flatten(out map[string]string, at string, value any) error {
	if m, ok := value.(map[string]any); ok {
		for name, v := range m {
			if strings.Contains(at, ".") && idle[name] { // a field of a row
				continue
			}
			key := name
			if at != "" {
				key = at + "." + name
			}
			if err := flatten(out, key, v); err != nil {
				return err
			}
		}
		return nil
	}
	if word, ok := value.(string); ok {
		out[at] = word
		return nil
	}
	b, err := json.Marshal(value) // sorts the keys of rows in lists
	if err != nil {
		return fmt.Errorf("noting the setting %s: %w", at, err)
	}
	out[at] = string(b)
	return nil
}
