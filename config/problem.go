package config

import (
	"fmt"
	"strings"
)

// Problem is one thing wrong with the configuration.
type Problem struct {
	Key      string // key path, e.g. "materials.granite.lambda.low"
	Value    string // the value found; empty when it is missing
	Expected string // what would have been right, and the fix
	Source   string // as Source.String, empty when nothing set the key
}

// Error says source, key, value and expectation on one line.
func (p Problem) Error() string {
	var b strings.Builder
	if p.Source != "" {
		b.WriteString(p.Source + ": ")
	}
	if p.Key != "" {
		b.WriteString(p.Key + ": ")
	}
	if p.Value != "" {
		b.WriteString("found " + p.Value + ", ")
	}
	b.WriteString(p.Expected)
	return b.String()
}

// Problems is every problem found at once; Load returns it as its error.
type Problems []Problem

// Error lists one problem a line.
func (ps Problems) Error() string {
	if len(ps) == 1 {
		return "configuration: " + ps[0].Error()
	}
	var b strings.Builder
	fmt.Fprintf(&b, "configuration: %d problems", len(ps))
	for _, p := range ps {
		b.WriteString("\n  " + p.Error())
	}
	return b.String()
}

// orNil keeps an empty list from becoming a non-nil error.
func (ps Problems) orNil() error {
	if len(ps) == 0 {
		return nil
	}
	return ps
}
