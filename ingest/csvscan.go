package ingest

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
)

// cell is one cell of a record, as a range of the scanner's buffer.
type cell struct {
	from, to int
	quoted   bool
	doubled  bool // holds doubled quotes, which stand for one
}

// Problems of a single record, after which the scan goes on with the line after the
// record's first line.
var (
	errUnclosed  = problem{"a quote is opened and never closed", "close the quote"}
	errMalformed = problem{"text follows a closing quote", "double the quotes inside a quoted cell, or close the quote before"}
	errMore      = problem{"the record does not end in the data given", ""} // of splitRecord alone
)

// splitRecord finds the first record of buf (RFC 4180, section 2). It returns
// its cells, appended to cells[:0], and the length of the record with its line
// end. last says that no data follow buf.
func splitRecord(buf []byte, delim byte, last bool, cells []cell) (_ []cell, n int, err error) {
	cells = cells[:0]
	i := 0
	for {
		c := cell{from: i, quoted: i < len(buf) && buf[i] == '"'}
		if c.quoted {
			c.from++
			for i = c.from; ; i += 2 {
				k := bytes.IndexByte(buf[i:], '"')
				if k < 0 && last {
					return append(cells, c), len(buf), errUnclosed
				}
				if i += k; !last && (k < 0 || i+1 == len(buf)) {
					return cells, 0, errMore
				}
				if i+1 == len(buf) || buf[i+1] != '"' {
					break
				}
				c.doubled = true
			}
			c.to = i
			i++
		} else {
			for i < len(buf) && buf[i] != delim && buf[i] != '\n' && buf[i] != '\r' {
				i++
			}
			if i == len(buf) && !last {
				return cells, 0, errMore
			}
			c.to = i
		}
		cells = append(cells, c)
		if i == len(buf) {
			return cells, i, nil
		}
		switch buf[i] {
		case delim:
			i++
		case '\n':
			return cells, i + 1, nil
		case '\r':
			if i+1 == len(buf) && !last {
				return cells, 0, errMore
			}
			if i+1 < len(buf) && buf[i+1] == '\n' {
				i++
			}
			return cells, i + 1, nil
		default:
			cells[len(cells)-1].to = 0 // nobody knows where it ends
			return cells, i, errMalformed
		}
	}
}

// scanner cuts a stream into records with memory bounded by maxRecord.
type scanner struct {
	r         *bufio.Reader // holds the longest record
	err       error         // of r, io.EOF at its end
	delim     byte
	maxRecord int

	line  int64 // of the next record, 1-based
	cells []cell
	rec   []byte // the current record, valid until the next call
	at    int64  // its first line
	lines int64  // how many lines it spans
	used  int    // bytes still in r that the next call does not look at
	long  bool   // they are of a line that goes on and is not looked at either

	// suspect is the last line of a record that was given up: up to it, a quote
	// inside a bare cell is half of a broken pair, not an inch mark.
	suspect int64
}

func newScanner(r io.Reader, maxRecord int) *scanner {
	return &scanner{r: bufio.NewReaderSize(r, maxRecord+2), maxRecord: maxRecord, line: 1}
}

// fill reads as much as the buffer holds. It may be called until there is an err.
func (s *scanner) fill() (data []byte) {
	data, s.err = s.r.Peek(s.maxRecord + 2)
	return data
}

// next moves to the next record. It returns io.EOF at the end, a problem (the
// scan may go on; rec is all that was read), or an error of the reader (it may not).
func (s *scanner) next() (err error) {
	s.r.Discard(s.used)
	for s.long {
		s.skipLine(s.fill())
		s.r.Discard(s.used)
	}
	n := 0
	data, _ := s.r.Peek(s.r.Buffered())
	s.cells, n, err = splitRecord(data, s.delim, s.err == io.EOF, s.cells)
	if err == errMore && s.err == nil {
		data = s.fill()
		s.cells, n, err = splitRecord(data, s.delim, s.err == io.EOF, s.cells)
	}
	s.at, s.rec, s.used = s.line, data, 0
	switch {
	case len(data) == 0, err == errMore && s.err != nil:
		return s.err
	case err == errMore, n > s.maxRecord:
		err = problem{fmt.Sprintf("the record is longer than %d bytes", s.maxRecord), "close the quote that was left open, or shorten the cell"}
	case err == errMalformed:
		s.suspect = s.at + countLines(data[:n])
	}
	if err != nil {
		s.line++
		s.skipLine(data)
		return err
	}
	s.rec, s.used, s.lines = data[:n], n, 1
	for _, c := range s.cells {
		if c.quoted {
			s.lines += countLines(s.rec[c.from:c.to])
		}
	}
	s.line += s.lines
	return nil
}

// back returns to the line after the first line of the current record. It may
// only be called right after next.
func (s *scanner) back() {
	s.suspect, s.line = s.at+s.lines-1, s.at+1
	data, _ := s.r.Peek(s.used)
	s.skipLine(data)
}

// skipLine passes over the first line of the data, or over all of it if the line
// may go on. Then a line end stays, for the data may end within a CRLF.
func (s *scanner) skipLine(data []byte) {
	end, next := firstLine(data)
	if s.used, s.long = next, next == len(data) && s.err == nil; s.long {
		s.used = end
	}
}

// firstLine returns where the first line of a text ends, and where the next begins.
func firstLine(b []byte) (end, next int) {
	switch end = bytes.IndexAny(b, "\r\n"); {
	case end < 0:
		return len(b), len(b)
	case bytes.HasPrefix(b[end:], []byte("\r\n")):
		return end, end + 2
	}
	return end, end + 1
}

// countLines counts line ends: LF, CRLF or a CR alone.
func countLines(b []byte) int64 {
	return int64(bytes.Count(b, []byte("\n")) + bytes.Count(b, []byte("\r")) - bytes.Count(b, []byte("\r\n")))
}

// unquote appends the text of a cell to dst.
func unquote(dst, rec []byte, c cell) []byte {
	b := rec[c.from:max(c.from, c.to)]
	if c.doubled {
		b = bytes.ReplaceAll(b, []byte(`""`), []byte(`"`))
	}
	return append(dst, b...)
}
