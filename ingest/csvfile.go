package ingest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"
)

// csvFile reads one CSV file batch by batch.
type csvFile struct {
	src    *Source
	file   int32
	name   string
	close  func() error
	scan   *scanner
	strict bool // not UTF-8 means broken, not Windows-1252
	noted  bool

	layout  *layout
	headers []string
	notes   []string
	cols    []*textColumn
	rejects []Reject
	scratch []byte
	any     bool // a row or a reject was met
	done    bool
}

// openCSV reads up to the header. A nil Reject means that rows may follow.
func openCSV(ctx context.Context, src *Source, file int32, r io.Reader, head []byte, closer func() error) (*csvFile, *Reject) {
	f := &csvFile{src: src, file: file, name: src.files[file], close: closer}
	utf8r, strict := toUTF8(r, head)
	f.strict = strict
	f.scan = newScanner(utf8r, src.opt.MaxRecord)
	if rej := f.header(ctx); rej != nil {
		return nil, rej
	}
	for _, src := range f.layout.read {
		f.cols = append(f.cols, newTextColumn(src))
	}
	return f, nil
}

func (f *csvFile) whole(line int64, reason, fix string) *Reject {
	return &Reject{File: f.name, Line: line, Reason: reason, Fix: fix, Whole: true}
}

// header finds the delimiter and the header line, and binds the columns.
func (f *csvFile) header(ctx context.Context) *Reject {
	s := f.scan
	for s.end-s.start < min(s.maxRecord, 64<<10) && s.fill() {
	}
	data := s.buf[s.start:s.end]
	for { // drop blank lines and a line that names the delimiter
		n := bytes.IndexAny(data, "\r\n")
		if n < 0 {
			break
		}
		if named := data[:n]; len(named) == 5 && bytes.EqualFold(named[:4], []byte("sep=")) {
			s.delim = named[4]
		} else if len(bytes.Trim(named, " ,;\t")) > 0 {
			break
		}
		if err := s.skipLine(ctx); err != nil {
			return f.broken(err)
		}
		data = s.buf[s.start:s.end]
	}
	if err := f.skipTitles(ctx, data); err != nil {
		return f.broken(err)
	}
	data = s.buf[s.start:s.end]
	switch {
	case f.src.opt.Delimiter != 0:
		s.delim = byte(f.src.opt.Delimiter)
	case s.delim == 0:
		s.delim = f.sniff(data)
	}
	if err := s.next(ctx); err != nil {
		switch {
		case err == io.EOF:
			return f.whole(0, "the file is empty", "a header line and at least one row are expected")
		case errors.Is(err, errTooLong), errors.Is(err, errUnclosed), errors.Is(err, errMalformed):
			return f.whole(s.at, fmt.Sprintf("the header line cannot be read: %v", err), "close every quote in the first line, and check that the file is CSV")
		}
		return f.broken(err)
	}
	headers, ok := f.texts()
	if !ok || bytes.IndexByte(s.rec, 0) >= 0 {
		return f.whole(s.at, "the header line is not text", "check that the file is CSV; accepted encodings are UTF-8, UTF-16 and Windows-1252")
	}
	f.headers = headers
	for n := len(f.headers); n > 0 && blank(f.headers[n-1]); n-- {
		f.headers = f.headers[:n-1]
	}
	lay, problems, notes := f.src.headers.bind(f.headers, f.src.place)
	if len(problems) > 0 {
		return joinTrouble(f.name, problems)
	}
	f.layout, f.notes = lay, append(f.notes, notes...)
	return nil
}

// sniff chooses the delimiter under which the first line makes most sense.
func (f *csvFile) sniff(data []byte) byte {
	best, bestScore := byte(','), -1
	for _, d := range []byte{',', ';', '\t'} {
		cells, n, _ := splitRecord(data, d, true, nil)
		var h []string
		for _, c := range cells {
			h = append(h, string(unquote(nil, data[:n], c)))
		}
		if sc := f.src.headers.score(h); sc > bestScore {
			best, bestScore = d, sc
		}
	}
	return best
}

// broken reports an error of the reader from the current line on.
func (f *csvFile) broken(err error) *Reject {
	return f.whole(f.scan.line, fmt.Sprintf("the file could not be read further: %v", err), "check the disk or the network, and run again")
}

// texts returns the cells of the current record as UTF-8.
func (f *csvFile) texts() ([]string, bool) {
	var out []string
	latin := !utf8.Valid(f.scan.rec)
	for _, c := range f.scan.cells {
		b := unquote(nil, f.scan.rec, c)
		if latin {
			var err error
			if b, err = windows1252(nil, b); err != nil || f.strict {
				return nil, false
			}
		}
		out = append(out, string(b))
	}
	return out, true
}

// unquote appends the text of a cell to dst.
func unquote(dst, rec []byte, c cell) []byte {
	b := rec[c.from:max(c.from, c.to)]
	if !c.doubled {
		return append(dst, b...)
	}
	for {
		i := bytes.IndexByte(b, '"')
		if i < 0 {
			return append(dst, b...)
		}
		dst = append(dst, b[:i+1]...)
		b = b[min(i+2, len(b)):]
	}
}

// blank says whether a cell holds nothing but space.
func blank[T string | []byte](s T) bool {
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c == ' ' || c == '\t' || c == '\r' || c == '\n':
		case c == 0xa0: // in Windows-1252
		case c == 0xc2 && i+1 < len(s) && s[i+1] == 0xa0:
			i++
		default:
			return false
		}
	}
	return true
}

func (f *csvFile) shut() { f.close() }
