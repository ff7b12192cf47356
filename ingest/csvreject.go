package ingest

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
)

// cellAt finds the cell that holds byte i of the current record.
func (f *csvFile) cellAt(i int) int {
	for k, c := range f.scan.cells {
		if i < c.to {
			return k
		}
	}
	return 0
}

// headerOf names column i for a message.
func (f *csvFile) headerOf(i int) string {
	if i < len(f.headers) && i >= 0 {
		return f.headers[i]
	}
	return ""
}

// knownID reads the building id of the current record as far as there is one.
func (f *csvFile) knownID() string {
	i := f.layout.idSrc
	if i >= len(f.scan.cells) {
		return ""
	}
	if c := f.scan.cells[i]; c.to >= c.from && c.to <= len(f.scan.rec) {
		return shorten(strings.ToValidUTF8(strings.TrimSpace(string(unquote(nil, f.scan.rec, c))), "\ufffd"))
	}
	return ""
}

// reject leaves out the current record because of one cell.
func (f *csvFile) reject(cell int, reason, fix string) {
	var value string
	if cell < len(f.scan.cells) {
		value = shorten(strings.ToValidUTF8(string(unquote(nil, f.scan.rec, f.scan.cells[cell])), "\ufffd"))
	}
	f.rejects = append(f.rejects, Reject{File: f.name, Line: f.scan.at, Column: f.headerOf(cell), Value: value, Reason: reason, Fix: fix, Known: f.knownID()})
}

// rejectRagged leaves out a record with a wrong number of cells. One over
// several lines is probably held together by a forgotten quote, so the scan
// goes back to its second line.
func (f *csvFile) rejectRagged(n int) {
	word := "few"
	fix := "add the missing cells; a blank cell still needs its delimiter"
	if n > f.layout.width {
		word = "many"
		fix = fmt.Sprintf("put quotes around cells that hold the delimiter %q", f.scan.delim)
	}
	rej := Reject{File: f.name, Line: f.scan.at, Fix: fix, Known: f.knownID(),
		Reason: fmt.Sprintf("too %s cells: %d, the header has %d", word, n, f.layout.width)}
	if f.scan.lines > 1 {
		rej.Reason += fmt.Sprintf("; the record runs over %d lines", f.scan.lines)
		rej.Fix = "check the quotes from this line on; reading resumes on the next line"
		f.scan.back()
	}
	f.rejects = append(f.rejects, rej)
}

// runaway finds a cell over several lines that must be the work of a forgotten
// quote: a number or a word of a known column has no line breaks, and a remark
// has no lines with about as many delimiters as a row. It returns -1 for none.
func (f *csvFile) runaway(cells []cell) int {
	rec := f.scan.rec
	for _, b := range f.layout.known {
		c := cells[b.src]
		if catalogue[b.col].role != roleText && c.quoted && bytes.ContainsAny(bytes.TrimSpace(rec[c.from:c.to]), "\r\n") {
			return b.src
		}
	}
	many := max(4, 2*f.layout.width/3)
	for i, c := range cells {
		if !c.quoted {
			continue
		}
		text := rec[c.from:c.to]
		for k := bytes.IndexAny(text, "\r\n"); k >= 0; k = bytes.IndexAny(text, "\r\n") {
			text = text[k+1:]
			line := text
			if end := bytes.IndexAny(text, "\r\n"); end >= 0 {
				line = text[:end]
			}
			if bytes.Count(line, []byte{f.scan.delim}) >= many {
				return i
			}
		}
	}
	return -1
}

// rejectRunaway leaves out the record and goes back to its second line.
func (f *csvFile) rejectRunaway(cell int) {
	f.reject(cell, fmt.Sprintf("the quoted cell runs over %d lines and seems to hold other rows", f.scan.lines),
		"close the quote on this line; reading resumes on the next line")
	f.scan.back()
}

// rejectRecord reports a record that could not be split.
func (f *csvFile) rejectRecord(err error) {
	rej := Reject{File: f.name, Line: f.scan.at, Known: f.knownID()}
	if n := len(f.scan.cells); n > 0 {
		rej.Column = f.headerOf(n - 1)
	}
	switch {
	case errors.Is(err, errTooLong):
		rej.Column = ""
		rej.Reason = fmt.Sprintf("the record is longer than %d bytes", f.src.opt.MaxRecord)
		rej.Fix = "close the quote that was left open, or shorten the cell; reading resumes on the next line"
	case errors.Is(err, errUnclosed):
		rej.Reason = "a quote is opened and never closed"
		rej.Fix = "close the quote; reading resumes on the next line"
	case errors.Is(err, errMalformed):
		rej.Reason = "text follows a closing quote"
		rej.Fix = "double the quotes inside a quoted cell, or close the quote before; reading resumes on the next line"
	}
	f.rejects = append(f.rejects, rej)
}
