package weatherfile

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
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
type faults []error

// add notes a fault and reports whether there are enough.
func (f *faults) add(e Error) bool {
	*f = append(*f, &e)
	return len(*f) >= maxFaults
}

func (f faults) joined() error { return errors.Join(f...) }

const (
	// maxLine bounds a line in bytes; real ones have a few hundred, comments of
	// EPW headers some thousand.
	maxLine = 1 << 18
	// maxYears bounds the rows that are kept.
	maxYears = 50
	maxRows  = maxYears * 8784
)

// lines walks the lines of a text, numbered from 1.
type lines struct {
	file   string
	scan   *bufio.Scanner
	number int
	text   string
}

func newLines(file string, r io.Reader) *lines {
	s := bufio.NewScanner(r)
	s.Buffer(make([]byte, 0, 4096), maxLine)
	return &lines{file: file, scan: s}
}

// next moves to the next line that is not blank. It ends at the end of the text
// and at a line that is no text or too long, which err tells.
func (l *lines) next() bool {
	for l.scan.Scan() {
		l.number++
		b := l.scan.Bytes()
		if l.number == 1 {
			b = bytes.TrimPrefix(b, []byte("\ufeff"))
		}
		l.text = strings.TrimRight(string(b), " \t\r")
		if l.text != "" {
			return true
		}
	}
	return false
}

func (l *lines) err() error {
	err := l.scan.Err()
	if errors.Is(err, bufio.ErrTooLong) {
		return &Error{l.file, l.number + 1, "", "a very long line", "lines below 256 KiB",
			"check that the file is an EPW or CSV text file"}
	}
	return err
}

// fail is a fault of the line at hand.
func (l *lines) fail(column, value, want, fix string) Error {
	return Error{l.file, l.number, column, value, want, fix}
}

// isText reports whether the line can be text in UTF-8 or Latin-1: EPW headers
// come in both. A zero byte means UTF-16 or a binary file.
func isText(s string) bool { return !strings.ContainsRune(s, 0) }

// clean makes valid UTF-8 of a name from a header.
func clean(s string) string {
	if !utf8.ValidString(s) {
		s, _ = charmap.ISO8859_1.NewDecoder().String(s) // every byte is a letter there
	}
	return strings.TrimSpace(s)
}

// cut splits a line; a cell may stand in double quotes but not hold the mark.
func cut(s, mark string, into []string) []string {
	into = into[:0]
	for {
		cell, rest, found := strings.Cut(s, mark)
		cell = strings.TrimSpace(cell)
		if n := len(cell); n >= 2 && cell[0] == '"' && cell[n-1] == '"' {
			cell = strings.TrimSpace(cell[1 : n-1])
		}
		into = append(into, cell)
		if !found {
			return into
		}
		s = rest
	}
}
