package report

import (
	"bufio"
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"wallsift/ingest"
)

// csvSink is a CSV file on its way to disk.
type csvSink struct {
	f    *os.File
	w    *bufio.Writer
	cols []Column
	line []byte
}

// newCSVSink starts a file with its header.
func newCSVSink(path string, cols []Column) (sink, error) {
	f, err := os.Create(path)
	if err != nil {
		return nil, err
	}
	s := &csvSink{f: f, w: bufio.NewWriterSize(f, 1<<20), cols: cols}
	for i := range cols {
		s.line = append(appendText(s.line, cols[i].Name, true), ',')
	}
	return s, s.end()
}

// end ends a row.
func (s *csvSink) end() error {
	s.line[len(s.line)-1] = '\n' // in place of a comma
	_, err := s.w.Write(s.line)
	s.line = s.line[:0]
	return err
}

func (s *csvSink) write(_ *line, cells []cell) error {
	for i := range s.cols {
		s.line = append(s.cols[i].append(s.line, cells[i]), ',')
	}
	return s.end()
}

func (s *csvSink) close(bool) error { return errors.Join(s.w.Flush(), s.f.Close()) }

// append prints a cell.
func (c *Column) append(buf []byte, v cell) []byte {
	switch {
	case v.null:
		return buf
	case c.Kind == Text:
		return appendText(buf, v.s, c.Inventory)
	case c.Kind == Whole:
		return strconv.AppendInt(buf, v.i, 10)
	}
	return strconv.AppendFloat(buf, c.rounded(v.f), 'f', c.Decimals, 64)
}

// appendText writes a CSV cell after RFC 4180. Text from the inventory that a
// spreadsheet would run as a formula gets an apostrophe in front, the usual
// guard against formula injection; plain signed numbers are left alone.
func appendText(buf []byte, s string, user bool) []byte {
	guarded := s
	if user {
		guarded = Guarded(s)
	}
	if guarded == s && !strings.ContainsAny(s, ",\"\r\n") {
		return append(buf, s...)
	}
	return append(append(append(buf, '"'), strings.ReplaceAll(guarded, `"`, `""`)...), '"')
}

func formula(s string) bool {
	if s == "" || !strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return false
	}
	_, err := strconv.ParseFloat(s, 64)
	return err != nil
}

// Guarded puts an apostrophe before text that a spreadsheet would run as a formula,
// also behind a semicolon: where the comma is the decimal sign, spreadsheets take
// that for the end of a cell.
func Guarded(s string) string {
	return eachPart(s, func(part string) string {
		if formula(part) {
			return "'" + part
		}
		return part
	})
}

// Unguarded takes the apostrophes off text that was read back from a CSV file of
// this package, for formats that cannot mistake text for a formula. Text that had
// them itself, which is rare, loses them too.
func Unguarded(s string) string {
	return eachPart(s, func(part string) string {
		if rest, ok := strings.CutPrefix(part, "'"); ok && formula(rest) {
			return rest
		}
		return part
	})
}

// eachPart changes what stands between semicolons.
func eachPart(s string, change func(string) string) string {
	return strings.Join(mapped(strings.Split(s, ";"), change), ";")
}

// RejectsCSV is the name of the file of rows that were left out.
const RejectsCSV = "rejects.csv"

// Rejects writes rejects.csv as the run goes. It keeps the first few for the
// terminal.
type Rejects struct {
	First []ingest.Reject
	file  sink
}

// RejectsHead are the columns of the file.
var RejectsHead = []string{"file", "line", "building_id", "column", "value", "reason", "fix"}

// NewRejects starts the file in dir.
func NewRejects(dir string) (*Rejects, error) {
	f, err := newCSVSink(filepath.Join(dir, RejectsCSV), mapped(RejectsHead, func(name string) Column { return Column{Name: name, Inventory: true} }))
	return &Rejects{file: f}, err
}

// Add writes one reject.
func (r *Rejects) Add(x ingest.Reject) error {
	if len(r.First) < 1000 {
		r.First = append(r.First, x)
	}
	line := ""
	if x.Line > 0 {
		line = strconv.FormatInt(x.Line, 10)
	}
	return r.file.write(nil, mapped([]string{x.File, line, x.Known, x.Column, x.Value, x.Reason, x.Fix}, str))
}

// Close finishes the file.
func (r *Rejects) Close() error { return r.file.close(true) }
