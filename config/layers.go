package config

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"go.yaml.in/yaml/v3"
)

//go:embed defaults/*.yaml
var defaultFiles embed.FS

// EnvPrefix starts the name of every environment variable that is read.
const EnvPrefix = "WALLSIFT_"

// codecs names the format of a file by its suffix.
var codecs = map[string]string{".yaml": "yaml", ".yml": "yaml", ".toml": "toml", ".json": "json"}

// loader merges the layers, the weakest first.
type loader struct {
	values   map[string]any
	origins  map[string]string
	sources  []Source
	source   Source // of the layer at hand
	problems Problems
}

func (l *loader) add(key, value, expected string) {
	l.problems = append(l.problems, Problem{Key: key, Value: value, Expected: expected, Source: l.source.String()})
}

// layer puts checked values over what is there.
func (l *loader) layer(values map[string]any) {
	below := l.values
	l.values = map[string]any{}
	fill(l.values, values)
	fill(l.values, below)
	rootSchema().leaves("", values, func(key string, _ *schema, value any) {
		if value != nil {
			l.origins[key] = l.source.String()
		}
	})
	if !slices.Contains(l.sources, l.source) {
		l.sources = append(l.sources, l.source)
	}
}

// defaults reads the embedded files in sorted order.
func (l *loader) defaults() error {
	l.source = Source{Kind: KindDefault}
	names, _ := fs.Glob(defaultFiles, "defaults/*.yaml")
	for _, name := range names {
		b, _ := defaultFiles.ReadFile(name) // they are of the program
		l.layer(l.parse("yaml", b))
		if len(l.problems) > 0 {
			return fmt.Errorf("%s: %w", name, l.problems)
		}
	}
	return nil
}

func (l *loader) file(path string) {
	l.source = Source{Kind: KindFile, Name: path}
	format, ok := codecs[strings.ToLower(filepath.Ext(path))]
	if !ok {
		l.add("", "", "unknown file type; name it .yaml, .yml, .toml or .json")
		return
	}
	b, err := os.ReadFile(path)
	if err != nil {
		l.add("", "", "cannot be read: "+err.Error())
		return
	}
	l.layer(l.parse(format, b))
}

func (l *loader) parse(format string, b []byte) map[string]any {
	raw := map[string]any{}
	if err := decode(format, b, &raw); err != nil {
		l.add("", "", fmt.Sprintf("is not valid %s: %v", strings.ToUpper(format), err))
		return nil
	}
	return l.section(rootSchema(), "", raw)
}

// decode reads JSON as the YAML that it is: a decoder of JSON takes the last of two
// equal keys and drops the first without a word.
func decode(format string, b []byte, raw *map[string]any) error {
	if format == "toml" {
		return toml.Unmarshal(b, raw)
	}
	dec := yaml.NewDecoder(bytes.NewReader(b))
	if err := dec.Decode(raw); err != nil && err != io.EOF { // an empty file holds no document
		return err
	}
	var more any
	if err := dec.Decode(&more); err != io.EOF && (err != nil || more != nil) {
		return errors.New("it holds a second document after ---; put all in one")
	}
	return nil
}

// leaves returns every key that one value can be given for.
func (l *loader) leaves() map[string]*schema {
	out := map[string]*schema{}
	rootSchema().leaves("", l.values, func(key string, s *schema, _ any) { out[key] = s })
	return out
}

// environment applies every WALLSIFT_ variable. A variable names a known leaf
// key with dots as underscores; two keys that share a name are an error.
func (l *loader) environment(env []string) {
	env = slices.DeleteFunc(slices.Clone(env), func(entry string) bool { return !strings.HasPrefix(entry, EnvPrefix) })
	if len(env) == 0 {
		return
	}
	leaves, byName := l.leaves(), map[string][]string{}
	for _, key := range sortedKeys(leaves) {
		byName[EnvName(key)] = append(byName[EnvName(key)], key)
	}
	for _, entry := range slices.Sorted(slices.Values(env)) {
		name, text, _ := strings.Cut(entry, "=")
		l.source = Source{Kind: KindEnvironment, Name: name}
		switch keys := byName[name]; len(keys) {
		case 0:
			l.add("", show(text), "no setting has this name"+didYouMean(name, sortedKeys(byName)))
		case 1:
			l.one(keys[0], leaves[keys[0]], text)
		default:
			l.add("", show(text), "stands for several keys: "+strings.Join(keys, ", ")+"; set them in a file")
		}
	}
}

// flags applies the values of the command line.
func (l *loader) flags(flags map[string]any, names map[string]string) {
	if len(flags) == 0 {
		return
	}
	leaves := l.leaves()
	for key, raw := range inOrder(flags) {
		l.source = Source{Kind: KindFlag, Name: "--set " + key}
		if name := names[key]; name != "" {
			l.source.Name = "--" + strings.TrimPrefix(name, "--")
		}
		if leaves[key] == nil {
			l.add(key, show(raw), "unknown key"+didYouMean(key, sortedKeys(leaves))+" (new rows are added in a file)")
			continue
		}
		l.one(key, leaves[key], raw)
	}
}

// one checks and puts a value given on its own; a text is parsed first.
func (l *loader) one(key string, s *schema, raw any) {
	if text, isText := raw.(string); isText {
		v, err := parseText(s, text)
		if err != nil {
			l.add(key, show(text), err.Error())
			return
		}
		raw = v
	}
	if v, ok := l.value(s, key, raw); ok {
		l.layer(nest(key, v))
	}
}

// EnvName returns the environment variable that sets a key.
func EnvName(key string) string {
	return EnvPrefix + strings.ToUpper(strings.ReplaceAll(key, ".", "_"))
}

// nest returns the sections that hold one leaf.
func nest(key string, v any) map[string]any {
	parts := strings.Split(key, ".")
	for _, part := range slices.Backward(parts[1:]) {
		v = map[string]any{part: v}
	}
	return map[string]any{parts[0]: v}
}
