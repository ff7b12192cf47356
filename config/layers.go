package config

import (
	"embed"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/viper"
)

//go:embed defaults/*.yaml
var defaultFiles embed.FS

// EnvPrefix starts the name of every environment variable that is read.
const EnvPrefix = "WALLSIFT_"

// codecs maps file suffixes to the names of viper's codecs.
var codecs = map[string]string{".yaml": "yaml", ".yml": "yaml", ".toml": "toml", ".json": "json"}

// loader stacks the layers: defaults as viper's defaults, files and then the
// environment merged into its configuration, flags as its overrides.
type loader struct {
	v        *viper.Viper
	origins  map[string]string
	sources  []Source
	problems Problems
}

// defaults reads the embedded files in sorted order.
func (l *loader) defaults() error {
	names, err := fs.Glob(defaultFiles, "defaults/*.yaml")
	if err != nil {
		return fmt.Errorf("config: listing the defaults: %w", err)
	}
	for _, name := range slices.Sorted(slices.Values(names)) {
		b, err := defaultFiles.ReadFile(name)
		if err != nil {
			return fmt.Errorf("config: reading the defaults: %w", err)
		}
		// The name helps whoever edits the defaults; origins only say "default".
		values := l.parse(Source{Kind: KindDefault, Name: name}, "yaml", b)
		if len(l.problems) > 0 {
			return fmt.Errorf("%s: %w", name, l.problems)
		}
		for key, v := range flatten(values) {
			l.v.SetDefault(key, v)
			l.origins[key] = KindDefault
		}
	}
	l.sources = append(l.sources, Source{Kind: KindDefault})
	return nil
}

func (l *loader) file(path string) {
	src := Source{Kind: KindFile, Name: path}
	format, ok := codecs[strings.ToLower(filepath.Ext(path))]
	if !ok {
		l.add(Problem{Source: src.String(), Expected: "unknown file type; name it .yaml, .yml, .toml or .json"})
		return
	}
	b, err := os.ReadFile(path)
	if err != nil {
		l.add(Problem{Source: src.String(), Expected: "cannot be read: " + err.Error()})
		return
	}
	values := l.parse(src, format, b)
	for key := range flatten(values) {
		l.origins[key] = src.String()
	}
	l.merge(values)
	l.sources = append(l.sources, src)
}

// parse decodes with viper's codec rather than its reader, because the reader
// lower-cases keys before a wrongly written one can be reported.
func (l *loader) parse(src Source, format string, b []byte) map[string]any {
	raw := map[string]any{}
	dec, err := viper.NewCodecRegistry().Decoder(format)
	if err == nil {
		err = dec.Decode(b, raw)
	}
	if err != nil {
		l.add(Problem{Source: src.String(), Expected: fmt.Sprintf("is not valid %s: %v", strings.ToUpper(format), err)})
		return nil
	}
	c := checker{source: src}
	values := c.section(rootSchema(), "", raw)
	l.problems = append(l.problems, c.problems...)
	return values
}

// environment applies every WALLSIFT_ variable. A variable names a known leaf
// key with dots as underscores; two keys that share a name are an error.
func (l *loader) environment(env []string) {
	byName := map[string][]string{}
	shapes := map[string]*schema{}
	rootSchema().leaves("", l.v.AllSettings(), func(key string, s *schema) {
		byName[EnvName(key)] = append(byName[EnvName(key)], key)
		shapes[key] = s
	})
	for _, entry := range slices.Sorted(slices.Values(env)) {
		name, text, ok := strings.Cut(entry, "=")
		if !ok || !strings.HasPrefix(name, EnvPrefix) {
			continue
		}
		src := Source{Kind: KindEnvironment, Name: name}
		keys := byName[name]
		if len(keys) != 1 {
			what := "no setting has this name" + didYouMean(name, slices.Collect(maps.Keys(byName)))
			if len(keys) > 1 {
				what = "stands for several keys: " + strings.Join(keys, ", ") + "; set them in a file"
			}
			l.add(Problem{Source: src.String(), Value: show(text), Expected: what})
			continue
		}
		if v, ok := l.leaf(src, keys[0], shapes[keys[0]], text); ok {
			l.merge(nest(keys[0], v))
		}
	}
}

// flags applies the values of the command line.
func (l *loader) flags(flags map[string]any, names map[string]string) {
	var keys []string
	shapes := map[string]*schema{}
	if len(flags) > 0 {
		rootSchema().leaves("", l.v.AllSettings(), func(key string, s *schema) {
			keys = append(keys, key)
			shapes[key] = s
		})
	}
	for _, key := range slices.Sorted(maps.Keys(flags)) {
		src := Source{Kind: KindFlag, Name: "--set " + key}
		if name := names[key]; name != "" {
			src.Name = "--" + strings.TrimPrefix(name, "--")
		}
		s := shapes[key]
		if s == nil {
			l.add(Problem{Key: key, Source: src.String(), Value: show(flags[key]),
				Expected: "unknown key" + didYouMean(key, keys) + " (new rows are added in a file)"})
			continue
		}
		if v, ok := l.leaf(src, key, s, flags[key]); ok {
			l.v.Set(key, v)
		}
	}
}

// leaf checks one value given on its own; a text is parsed first.
func (l *loader) leaf(src Source, key string, s *schema, raw any) (any, bool) {
	if text, isText := raw.(string); isText {
		v, err := parseText(s, text)
		if err != nil {
			l.add(Problem{Key: key, Value: show(text), Source: src.String(), Expected: err.Error()})
			return nil, false
		}
		raw = v
	}
	c := checker{source: src}
	v, ok := c.value(s, key, raw)
	l.problems = append(l.problems, c.problems...)
	if ok {
		l.origins[key] = src.String()
		if !slices.Contains(l.sources, src) {
			l.sources = append(l.sources, src)
		}
	}
	return v, ok
}

func (l *loader) merge(values map[string]any) {
	if err := l.v.MergeConfigMap(values); err != nil {
		l.add(Problem{Expected: "merging: " + err.Error()})
	}
}

func (l *loader) add(p Problem) { l.problems = append(l.problems, p) }

// EnvName returns the environment variable that sets a key.
func EnvName(key string) string {
	return EnvPrefix + strings.ToUpper(strings.ReplaceAll(key, ".", "_"))
}

// flatten returns the leaves of checked values by key path.
func flatten(values map[string]any) map[string]any {
	out := map[string]any{}
	var walk func(prefix string, m map[string]any)
	walk = func(prefix string, m map[string]any) {
		for name, v := range m {
			key := joinKey(prefix, name)
			if below, ok := v.(map[string]any); ok {
				walk(key, below)
			} else {
				out[key] = v
			}
		}
	}
	walk("", values)
	return out
}

// nest is the inverse of flatten for one leaf.
func nest(key string, v any) map[string]any {
	parts := strings.Split(key, ".")
	for _, part := range slices.Backward(parts[1:]) {
		v = map[string]any{part: v}
	}
	return map[string]any{parts[0]: v}
}
