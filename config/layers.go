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
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/spf13/viper"
	"go.yaml.in/yaml/v3"
)

//go:embed defaults/*.yaml
var defaultFiles embed.FS

// EnvPrefix starts the name of every environment variable that is read.
const EnvPrefix = "WALLSIFT_"

// codecs names the format of a file by its suffix.
var codecs = map[string]string{".yaml": "yaml", ".yml": "yaml", ".toml": "toml", ".json": "json"}

// layer puts the values of a source over what is there.
func (c *checker) layer(source Source, values map[string]any) {
	if !slices.Contains(c.l.Sources, source) {
		c.l.Sources = append(c.l.Sources, source)
	}
	c.merged.MergeConfigMap(c.known(rootSchema(), source.String(), "", values)) //nolint:errcheck // it returns none
}

// known notes where the values of a layer came from, and leaves out what the schema has
// no place for: merged, a key is no longer as it was written, and a value where a
// section belongs is lost.
func (c *checker) known(s *schema, source, key string, values map[string]any) map[string]any {
	out := make(map[string]any, len(values))
	for name, x := range inOrder(values) {
		below, at := s.child(name), joinKey(key, name)
		section, isSection := asMap(x)
		switch {
		case below == nil:
			c.l.Origins[at] = source
			c.unknown(s, at, name)
		case below.isLeaf() && x != nil:
			out[name], c.l.Origins[at] = x, source
		case isSection:
			out[name] = c.known(below, source, at, section)
		case below.isLeaf() || x != nil: // a header with everything below it commented out says nothing
			c.unread(source, at, show(x), "expected "+below.expected())
		}
	}
	return out
}

func (c *checker) defaults() {
	names, _ := fs.Glob(defaultFiles, "defaults/*.yaml")
	for _, name := range names {
		b, _ := defaultFiles.ReadFile(name)
		values, err := decode("yaml", b)
		if err != nil {
			panic(name + ": " + err.Error()) // they are of the program
		}
		c.layer(Source{Kind: "default"}, values)
	}
}

func (c *checker) file(path string) {
	source := Source{Kind: "file", Name: path}
	format, ok := codecs[strings.ToLower(filepath.Ext(path))]
	if !ok {
		c.unread(source.String(), "", "", "unknown file type; name it .yaml, .yml, .toml or .json")
		return
	}
	b, err := os.ReadFile(path)
	if err != nil {
		c.unread(source.String(), "", "", "cannot be read: "+err.Error())
		return
	}
	values, err := decode(format, b)
	if err != nil {
		c.unread(source.String(), "", "", fmt.Sprintf("is not valid %s: %v", strings.ToUpper(format), err))
	}
	c.layer(source, values)
}

// decode reads JSON as the YAML that it is: a decoder of JSON takes the last of two
// equal keys and drops the first without a word.
func decode(format string, b []byte) (raw map[string]any, err error) {
	if format == "toml" {
		return raw, toml.Unmarshal(b, &raw)
	}
	dec := yaml.NewDecoder(bytes.NewReader(b))
	if err := dec.Decode(&raw); err != nil && err != io.EOF { // an empty file holds no document
		return nil, err
	}
	var more any
	if err := dec.Decode(&more); err != io.EOF && (err != nil || more != nil) {
		return nil, errors.New("it holds a second document after ---; put all in one")
	}
	return raw, nil
}

// environment applies every WALLSIFT_ variable. A variable names a known leaf
// key with dots as underscores; two keys that share a name are an error.
func (c *checker) environment(leaves map[string]*schema, env []string) {
	env = slices.DeleteFunc(slices.Clone(env), func(entry string) bool { return !strings.HasPrefix(entry, EnvPrefix) })
	byName := map[string][]string{}
	for _, key := range sortedKeys(leaves) {
		byName[EnvName(key)] = append(byName[EnvName(key)], key)
	}
	for _, entry := range slices.Sorted(slices.Values(env)) {
		name, text, _ := strings.Cut(entry, "=")
		source := Source{Kind: "environment", Name: name}
		switch keys := byName[name]; len(keys) {
		case 0:
			c.unread(source.String(), "", show(text), "no setting has this name"+didYouMean(name, sortedKeys(byName)))
		case 1:
			c.one(source, keys[0], leaves[keys[0]], text)
		default:
			c.unread(source.String(), "", show(text), "stands for several keys: "+strings.Join(keys, ", ")+"; set them in a file")
		}
	}
}

func (c *checker) flags(leaves map[string]*schema, flags map[string]any, names map[string]string) {
	for key, raw := range inOrder(flags) {
		source := Source{Kind: "flag", Name: "--set " + key}
		if name := names[key]; name != "" {
			source.Name = "--" + strings.TrimPrefix(name, "--")
		}
		if leaves[key] == nil {
			c.unread(source.String(), key, show(raw), "unknown key"+didYouMean(key, sortedKeys(leaves))+" (new rows are added in a file)")
			continue
		}
		c.one(source, key, leaves[key], raw)
	}
}

// one puts a value given on its own; a text is parsed first.
func (c *checker) one(source Source, key string, s *schema, raw any) {
	if text, isText := raw.(string); isText {
		if s.kind == reflect.Slice && s.elem.kind == reflect.Struct {
			c.unread(source.String(), key, show(text), s.expected()+" can only be given in a file")
			return
		}
		raw = parseText(s, text)
	}
	v := viper.New()
	v.Set(key, raw)
	c.layer(source, v.AllSettings())
}

// parseText turns the text of an environment variable or of --set into a value
// the checker can judge. Lists are comma separated; an empty text is an empty list.
// What does not parse stays text, so that the checker reports it with the key and
// what was expected.
func parseText(s *schema, text string) any {
	var v any = text
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
		list := []any{}
		if trimmed != "" {
			for part := range strings.SplitSeq(trimmed, ",") {
				list = append(list, parseText(s.elem, strings.TrimSpace(part)))
			}
		}
		return list
	}
	if err != nil {
		return text
	}
	return v
}

// EnvName returns the environment variable that sets a key.
func EnvName(key string) string {
	return EnvPrefix + strings.ToUpper(strings.ReplaceAll(key, ".", "_"))
}
