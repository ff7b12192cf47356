package weatherfile

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// Error is one fault of a file.
type Error struct {
	File   string
	Line   int    // from 1; 0 for the file as a whole
	Column string // name or number of the column, empty for the line as a whole
	Value  string // what stands there
	Want   string // what was expected
	Fix    string // what to do
}

// Error returns file, line, column, value, what was expected, and the fix.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&b, ", line %d", e.Line)
	}
	if e.Column != "" {
		fmt.Fprintf(&b, ", column %s", e.Column)
	}
	fmt.Fprintf(&b, ": got %q, expected %s; %s", short(e.Value), e.Want, e.Fix)
	return b.String()
}

// short keeps a long cell from filling the screen.
func short(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}

// maxFaults is the number of faults that are told at once.
const maxFaults = 5

// faults gathers what is wrong with a file.
type faults struct {
	file   string
	number int // of the line at hand, from 1; 0 for none
	list   []error
}

// add notes a fault of the line at hand and reports whether there are enough.
func (f *faults) add(column, value, want, fix string) bool {
	f.list = append(f.list, &Error{f.file, f.number, column, value, want, fix})
	return len(f.list) >= maxFaults
}

// clean makes valid UTF-8 of a name from a header.
func clean(s string) string {
	if !utf8.ValidString(s) {
		s, _ = charmap.ISO8859_1.NewDecoder().String(s) // every byte is a letter there
	}
	return strings.TrimSpace(s)
}
