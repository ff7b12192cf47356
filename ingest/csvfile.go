package ingest

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// csvFile reads one CSV file batch by batch.
type csvFile struct {
	src    *Source
	scan   *scanner
	strict bool // not UTF-8 means broken, not Windows-1252
	noted  bool // that a record is Windows-1252

	width int      // cells of the header, with those at its end that have no name
	above []Reject // lines above the header, until the first batch takes them
}

// openCSV reads up to the header. A nil Reject means that rows may follow.
func openCSV(src *Source, in io.Reader, head []byte) (fileReader, *Reject) {
	f := &csvFile{src: src}
	text, strict := toUTF8(in, head)
	f.scan, f.strict = newScanner(text, src.opt.MaxRecord), strict
	return f, f.header()
}

// titleLines bounds how far down a header is looked for.
const titleLines = 20

// titleCells is how many cells a line above a header fills at most, such as the
// name of a register and a date.
const titleCells = 2

// header finds the delimiter and the header, and binds the columns.
func (f *csvFile) header() *Reject {
	s := f.scan
	f.findHeader(s.fill())
	if n := len(f.above); n > 0 {
		f.src.note("lines above the header: %d; the header is line %d", n, s.line)
	}
	var headers []string
	switch err := s.next().(type) {
	case nil:
	case problem:
		return whole(s.at, fmt.Sprintf("the header line cannot be read: %v", err), "close every quote in the first line, and check that the file is CSV")
	default:
		if err == io.EOF {
			return whole(0, "the file is empty", "a header line and at least one row are expected")
		}
		return f.broken(err)
	}
	f.width = len(s.cells)
	if f.decode(); !wholesome(s.rec) {
		return whole(s.at, "the header line is not text", "check that the file is CSV; accepted encodings are UTF-8, UTF-16 and Windows-1252")
	}
	for _, c := range s.cells {
		headers = append(headers, string(unquote(nil, s.rec, c)))
	}
	for n := len(headers); n > 0 && strings.TrimSpace(headers[n-1]) == ""; n-- {
		headers = headers[:n-1]
	}
	return f.src.bind(headers, s.delim)
}

// findHeader chooses the delimiter and moves to the header; what stands above it
// becomes rejects. The header is the line with most names of columns, two at least:
// registers print their name and the date of the export first. Where no line has
// two, it is the first that is not blank, or the first that fills four cells
// where those above it fill no more than two.
func (f *csvFile) findHeader(data []byte) {
	type guess struct {
		at                   int // in data
		line                 int64
		known, width, filled int
		delim                byte
	}
	best := guess{line: 1, delim: ','}
	delims := []byte{',', ';', '\t'}
	at := 0
	for n := int64(1); at < len(data) && len(f.above) < titleLines; n++ {
		end, next := firstLine(data[at:])
		line := data[at : at+end]
		first := len(f.above) == 0
		switch d := f.src.opt.Delimiter; {
		case d != 0:
			delims = []byte{byte(d)}
		case first && namesDelimiter(line):
			delims = []byte{line[4]}
		}
		if !namesDelimiter(line) && len(bytes.Trim(line, " ,;\t")) > 0 {
			here := guess{known: -1}
			for _, d := range delims {
				cells, size, _ := splitRecord(data[at:], d, true, nil)
				known, filled := 0, 0
				for _, c := range cells {
					h := f.readable(unquote(nil, data[at:at+size], c))
					if len(f.src.headers.find(h)) > 0 {
						known++
					}
					if strings.TrimSpace(h) != "" {
						filled++
					}
				}
				if known > here.known || known == here.known && len(cells) > here.width {
					here = guess{at, n, known, len(cells), filled, d}
				}
			}
			if first || here.known > max(best.known, 1) || best.known < 2 && best.filled <= titleCells && here.filled >= 2*titleCells && here.known >= best.known {
				best = here
			}
			f.above = append(f.above, Reject{File: f.src.files[f.src.file], Line: n, Value: shorten(f.readable(line)),
				Reason: "the line stands above the header and is not a row", Fix: "delete it, or leave it if it is a title"})
		} else if first {
			best.at, best.line = at+next, n+1
		}
		at += next
	}
	f.above = slices.DeleteFunc(f.above, func(r Reject) bool { return r.Line >= best.line })
	f.scan.r.Discard(best.at)
	f.scan.line, f.scan.delim = best.line, best.delim
}

// namesDelimiter says whether a line tells a spreadsheet its delimiter.
func namesDelimiter(line []byte) bool {
	return len(line) == 5 && bytes.EqualFold(line[:4], []byte("sep="))
}

// readable is text in UTF-8 if it is that or Windows-1252, of which five bytes are
// not defined.
func (f *csvFile) readable(text []byte) string {
	out, _ := charmap.Windows1252.NewDecoder().Bytes(text)
	undefined := func(r rune) bool { return r >= 0x80 && r < 0xa0 || r == utf8.RuneError }
	if f.strict || utf8.Valid(text) || bytes.ContainsFunc(out, undefined) {
		return string(text)
	}
	return string(out)
}

// decode makes UTF-8 of a record in Windows-1252. It reports false if it is not.
func (f *csvFile) decode() bool {
	s := f.scan
	if utf8.Valid(s.rec) {
		return false
	}
	n := len(s.rec)
	s.rec = []byte(f.readable(s.rec))
	s.cells, _, _ = splitRecord(s.rec, s.delim, true, s.cells)
	return len(s.rec) > n
}

// broken reports an error of the reader from the current line on.
func (f *csvFile) broken(err error) *Reject {
	return whole(f.scan.line, fmt.Sprintf("the file could not be read further: %v", err), "check the disk or the network, and run again")
}

func (f *csvFile) row(b *gathering) (*Reject, bool) {
	b.rejects, f.above = append(b.rejects, f.above...), nil
	switch err := f.scan.next().(type) {
	case nil:
		f.take(b)
	case problem:
		last := len(f.scan.cells) - 1
		if err != errUnclosed && err != errMalformed {
			last = -1
		}
		f.reject(b, last, err.reason, err.fix+"; reading resumes on the next line")
	default:
		if err == io.EOF {
			return nil, false
		}
		return f.broken(err), false
	}
	return nil, true
}

// take moves the current record into the columns, unless it is blank or to be
// rejected.
func (f *csvFile) take(b *gathering) {
	s := f.scan
	latin := f.decode()
	blank := func(c cell) bool { return len(bytes.TrimSpace(s.rec[c.from:c.to])) == 0 }
	cells, width := s.cells, len(f.src.lay.names)
	for len(cells) > width && blank(cells[len(cells)-1]) {
		cells = cells[:len(cells)-1]
	}
	if !slices.ContainsFunc(cells, func(c cell) bool { return !blank(c) }) {
		return
	}
	if len(cells) != width {
		f.rejectRagged(b, len(cells))
		return
	}
	if s.lines > 1 {
		if i := f.runaway(cells); i >= 0 {
			f.reject(b, i, fmt.Sprintf("the quoted cell runs over %d lines and seems to hold other rows", s.lines), "close the quote on this line; reading resumes on the next line")
			s.back()
			return
		}
	}
	for i, c := range cells {
		if s.at <= s.suspect && !c.quoted && bytes.IndexByte(s.rec[c.from:c.to], '"') >= 0 {
			f.reject(b, i, "the cell holds a single quote, left over from the broken record above", "repair the quotes of the record above and of this one")
			return
		}
		if !f.src.lay.withheld[i] {
			b.data = unquote(b.data, s.rec, c)
		}
		b.end()
	}
	if latin && !f.noted {
		f.noted = true
		f.src.note("line %d is not valid UTF-8; it and others like it are read as Windows-1252", s.at)
	}
	not := "neither UTF-8 nor Windows-1252"
	if f.strict {
		not = "not valid UTF-8, as the file's byte order mark promises"
	}
	b.keep(s.at, len(s.rec), not)
}

// runaway finds a cell over several lines that must be the work of a forgotten
// quote: a number or a word of a known column has no line breaks, and a remark
// has no lines with about as many delimiters as a row. It returns -1 for none.
func (f *csvFile) runaway(cells []cell) int {
	lay, many := f.src.lay, max(4, 2*len(f.src.lay.names)/3)
	for i, c := range cells {
		word := slices.ContainsFunc(lay.known, func(b bound) bool { return b.src == i && b.col.Kind != KindText })
		lines := bytes.FieldsFunc(bytes.TrimSpace(f.scan.rec[c.from:c.to]), func(r rune) bool { return r == '\r' || r == '\n' })
		for _, line := range lines[min(1, len(lines)):] {
			if c.quoted && (word || bytes.Count(line, []byte{f.scan.delim}) >= many) {
				return i
			}
		}
	}
	return -1
}

// reject leaves out the current record because of one cell, if it is i.
func (f *csvFile) reject(b *gathering, i int, reason, fix string) {
	text := func(i int) string { return f.readable(unquote(nil, f.scan.rec, at(f.scan.cells, i))) }
	value, known := text(i), strings.TrimSpace(text(f.src.lay.id[0].src))
	if slices.Contains(f.src.lay.withheld, true) { // cells of a broken record may stand in any column
		value, known = "", ""
	}
	b.leaveOut(f.scan.at, at(f.src.lay.names, i), value, known, reason, fix)
}

// at is an element of a list, the zero value where there is none.
func at[T any](list []T, i int) (out T) {
	if i >= 0 && i < len(list) {
		out = list[i]
	}
	return out
}

// rejectRagged leaves out a record with a wrong number of cells. One over
// several lines is probably held together by a forgotten quote, so the scan
// goes back to its second line.
func (f *csvFile) rejectRagged(b *gathering, n int) {
	width := len(f.src.lay.names)
	reason, fix := fmt.Sprintf("too few cells: %d, the header has %d", n, width), "add the missing cells; a blank cell still needs its delimiter"
	switch {
	case n > width && n <= f.width:
		reason, fix = fmt.Sprintf("the row fills column %d, which has no name in the header", n), "name the column in the header, or empty the cell"
	case n > width:
		reason, fix = fmt.Sprintf("too many cells: %d, the header has %d", n, width), fmt.Sprintf("put quotes around cells that hold the delimiter %q", f.scan.delim)
	}
	if f.scan.lines > 1 {
		reason += fmt.Sprintf("; the record runs over %d lines", f.scan.lines)
		fix = "check the quotes from this line on; reading resumes on the next line"
		defer f.scan.back()
	}
	f.reject(b, -1, reason, fix)
}
