package config

import (
	_ "embed"
	"fmt"
	"strings"
	"sync"

	"go.yaml.in/yaml/v3"
)

//go:embed rowfields.yaml
var rowFieldsYAML []byte

// Describe returns what a leaf key means, and "" for a key that does not
// exist. Settings are described by the comments of defaults/settings.yaml,
// fields of rows by rowfields.yaml.
func Describe(key string) string {
	if text, ok := settingComments()[key]; ok {
		return text
	}
	if rootSchema().at(key) == nil {
		return ""
	}
	parts := strings.SplitN(key, ".", 3)
	if len(parts) < 3 {
		return ""
	}
	field := parts[2]
	switch field {
	case "source":
		return "where the row's figures come from"
	case "drop":
		return "true takes the row out"
	}
	fields := rowFields()[parts[0]]
	for ; field != ""; field = parentKey(field) {
		if text, ok := fields[field]; ok {
			return text + spreadWord(parts[2], field)
		}
	}
	return ""
}

// spreadWord names the end of a range when the description is of the range.
func spreadWord(field, described string) string {
	switch rest, _ := strings.CutPrefix(field, described+"."); rest {
	case "low", "typical", "high":
		return " (" + rest + ")"
	}
	return ""
}

var rowFields = sync.OnceValue(func() map[string]map[string]string {
	var m map[string]map[string]string
	if err := yaml.Unmarshal(rowFieldsYAML, &m); err != nil {
		panic(fmt.Sprintf("config: rowfields.yaml: %v", err)) // embedded, so a defect of the build
	}
	return m
})

// settingComments reads the comment at the end of each line of settings.yaml.
// Optional settings, which have no line, are described in comments of the form
// "# key: text" inside their section.
var settingComments = sync.OnceValue(func() map[string]string {
	b, err := defaultFiles.ReadFile("defaults/settings.yaml")
	if err != nil {
		panic(fmt.Sprintf("config: settings.yaml: %v", err))
	}
	var doc yaml.Node
	if err := yaml.Unmarshal(b, &doc); err != nil {
		panic(fmt.Sprintf("config: settings.yaml: %v", err))
	}
	out := map[string]string{}
	var walk func(prefix string, n *yaml.Node)
	walk = func(prefix string, n *yaml.Node) {
		for i := 0; i+1 < len(n.Content); i += 2 {
			k, v := n.Content[i], n.Content[i+1]
			key := joinKey(prefix, k.Value)
			if v.Kind == yaml.MappingNode {
				walk(key, v)
				continue
			}
			out[key] = commentText(firstOf(v.LineComment, k.LineComment))
		}
	}
	walk("", doc.Content[0])
	section := ""
	for line := range strings.Lines(string(b)) {
		if name, rest, ok := strings.Cut(line, ":"); ok && strings.TrimSpace(rest) == "" && idPattern.MatchString(name) {
			section = name
		}
		name, text, ok := strings.Cut(commentText(line), ": ")
		key := joinKey(section, name)
		if ok && strings.HasPrefix(line, "  # ") && rootSchema().at(key) != nil {
			out[key] = strings.TrimSpace(text)
		}
	}
	return out
})

func commentText(c string) string {
	return strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(c), "#"))
}

func firstOf(texts ...string) string {
	for _, t := range texts {
		if t != "" {
			return t
		}
	}
	return ""
}
