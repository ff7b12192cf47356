package main

import (
	"strings"

	"wallsift/screen/report"
)

// plainText sets the Markdown of a help topic for the terminal. It knows what
// the topics use: headings, paragraphs of one line, items, blocks indented by
// four, code in backticks, and a line {{name}} that stands for generated text.
// An unknown name is left as it stands.
func plainText(markdown string, generated map[string]func() string, width int) string {
	var b strings.Builder
	for line := range strings.Lines(markdown) {
		line = strings.TrimRight(line, "\n")
		name, named := strings.CutPrefix(line, "{{")
		switch {
		case named && generated[strings.TrimSuffix(name, "}}")] != nil:
			line = strings.TrimRight(generated[strings.TrimSuffix(name, "}}")](), "\n")
		case strings.HasPrefix(line, "    "):
		case strings.HasPrefix(line, "#"):
			line = strings.ToUpper(strings.TrimLeft(line, "# "))
		case strings.HasPrefix(line, "- "):
			line = "- " + hang(inline(line[2:], generated), "  ", width)
		default:
			line = report.Wrap(inline(line, generated), width)
		}
		b.WriteString(line)
		b.WriteByte('\n')
	}
	return b.String()
}

// inline takes the marks out of a line and puts generated words in.
func inline(s string, generated map[string]func() string) string {
	for name, f := range generated {
		if mark := "{{" + name + "}}"; strings.Contains(s, mark) {
			s = strings.ReplaceAll(s, mark, f())
		}
	}
	return strings.ReplaceAll(s, "`", "")
}

// hang wraps text and indents every line but the first.
func hang(s, indent string, width int) string {
	return strings.ReplaceAll(report.Wrap(s, width-len(indent)), "\n", "\n"+indent)
}
