package ingest

import (
	"bufio"
	"bytes"
	"context"
	"io"
)

// cell is one cell of a record, as a range of the scanner's buffer.
type cell struct {
	from, to int
	quoted   bool
	doubled  bool // holds doubled quotes, which stand for one
}

// recordError is a problem of a single record, after which the scan goes on with
// the line after the record's first line.
type recordError string

func (e recordError) Error() string { return string(e) }

const (
	errTooLong   = recordError("record too long")
	errUnclosed  = recordError("unclosed quote")
	errMalformed = recordError("text after a closing quote")
	errMore      = recordError("the record does not end in the data given") // to splitRecord alone
)

// splitRecord finds the first record of buf (RFC 4180, section 2). It returns
// its cells, appended to cells[:0], and the length of the record with its line
// end. last says that no data follow buf.
func splitRecord(buf []byte, delim byte, last bool, cells []cell) (_ []cell, n int, err error) {
	cells = cells[:0]
	i := 0
	for {
		if i < len(buf) && buf[i] == '"' {
			c := cell{from: i + 1, quoted: true}
			j := i + 1
			for {
				k := bytes.IndexByte(buf[j:], '"')
				if k < 0 {
					if last {
						return append(cells, c), len(buf), errUnclosed
					}
					return cells, 0, errMore
				}
				j += k
				if j+1 == len(buf) && !last {
					return cells, 0, errMore
				}
				if j+1 < len(buf) && buf[j+1] == '"' {
					c.doubled = true
					j += 2
					continue
				}
				break
			}
			c.to = j
			cells = append(cells, c)
			i = j + 1
		} else {
			from := i
			for i < len(buf) && buf[i] != delim && buf[i] != '\n' && buf[i] != '\r' {
				i++
			}
			if i == len(buf) && !last {
				return cells, 0, errMore
			}
			cells = append(cells, cell{from: from, to: i})
		}
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
	used  int    // its bytes, still in r

	// suspect is the last line of a record that was given up: up to it, a quote
	// inside a bare cell is half of a broken pair, not an inch mark.
	suspect int64
}

func newScanner(r io.Reader, maxRecord int) *scanner {
	return &scanner{r: bufio.NewReaderSize(r, maxRecord+2), maxRecord: maxRecord, line: 1}
}

// data are read and not used.
func (s *scanner) data() []byte {
	data, _ := s.r.Peek(s.r.Buffered())
	return data
}

// fill reads more data. It reports false when there is no more to be had.
func (s *scanner) fill() bool {
	n := s.r.Buffered()
	if s.err == nil {
		_, s.err = s.r.Peek(n + 1)
	}
	return s.r.Buffered() > n
}

// next moves to the next record. It returns io.EOF at the end, one of the
// record errors above (the scan may go on), or an error of the reader (it may
// not).
func (s *scanner) next(ctx context.Context) error {
	s.r.Discard(s.used)
	s.used = 0
	for {
		if s.r.Buffered() == 0 && !s.fill() {
			return s.err
		}
		data := s.data()
		cells, n, err := splitRecord(data, s.delim, s.err == io.EOF, s.cells)
		s.cells, s.at = cells, s.line
		switch {
		case err == errMore && len(data) <= s.maxRecord:
			if err := ctx.Err(); err != nil {
				return err
			}
			if !s.fill() && s.err != io.EOF {
				return s.err
			}
			continue
		case err == errMore, n > s.maxRecord:
			err = errTooLong
		case err == errMalformed:
			s.suspect = s.at + countLines(data[:n])
		}
		if err != nil {
			return s.resume(ctx, err)
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
}

// back returns to the line after the first line of the current record. It may
// only be called right after next.
func (s *scanner) back() {
	s.suspect = s.at + s.lines - 1
	s.line, s.used = s.at, 0
	s.skipLine(context.Background()) // the line end is in the buffer
}

// resume skips the first line of a broken record and returns why. The start of
// the record is kept in rec, to tell which building it was.
func (s *scanner) resume(ctx context.Context, why error) error {
	data := s.data()
	s.rec = bytes.Clone(data[:min(len(data), 1024)])
	if err := s.skipLine(ctx); err != nil {
		return err
	}
	return why
}

// skipLine drops data up to and with the next line end.
func (s *scanner) skipLine(ctx context.Context) error {
	s.line++
	for {
		b := s.data()
		i := bytes.IndexAny(b, "\r\n")
		if i >= 0 && (b[i] == '\n' || i+1 < len(b) || s.err != nil) {
			if b[i] == '\r' && i+1 < len(b) && b[i+1] == '\n' {
				i++
			}
			s.r.Discard(i + 1)
			return nil
		}
		if i < 0 {
			i = len(b)
		}
		s.r.Discard(i) // a CR at the end stays, to see what follows it
		if err := ctx.Err(); err != nil {
			return err
		}
		if !s.fill() && s.r.Buffered() == 0 {
			if s.err == io.EOF {
				return nil
			}
			return s.err
		}
	}
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
