package report

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"wallsift/ingest"
)

// csvFile is a CSV file on its way to disk, cell by cell.
type csvFile struct {
	f    *os.File
	w    *bufio.Writer
	line []byte
}

// newCSVFile starts a file with its header.
func newCSVFile(path string, head ...string) (*csvFile, error) {
	f, err := os.Create(path)
	if err != nil {
		return nil, fmt.Errorf("writing %s: %w", filepath.Base(path), err)
	}
	c := &csvFile{f: f, w: bufio.NewWriterSize(f, 1<<20)}
	for _, name := range head {
		c.text(name, true)
	}
	return c, c.end()
}

// text adds a cell; user marks what may be from the inventory.
func (c *csvFile) text(s string, user bool) { c.line = append(appendText(c.line, s, user), ',') }

// end ends a row.
func (c *csvFile) end() error {
	c.line[len(c.line)-1] = '\n' // in place of a comma
	_, err := c.w.Write(c.line)
	c.line = c.line[:0]
	return err
}

func (c *csvFile) close() error {
	if err := c.w.Flush(); err != nil {
		return fmt.Errorf("writing %s: %w", filepath.Base(c.f.Name()), err)
	}
	return c.f.Close()
}

// csvSink is a CSV file of rows.
type csvSink struct {
	*csvFile
	cols []Column
}

func newCSVSink(path string, cols []Column) (sink, error) {
	f, err := newCSVFile(path, texts(cols, func(c Column) string { return c.Name })...)
	return csvSink{f, cols}, err
}

func (s csvSink) abandon() { s.f.Close() }

func (s csvSink) write(_ *line, cells []cell) error {
	for i := range s.cols {
		s.line = append(s.cols[i].append(s.line, cells[i]), ',')
	}
	return s.end()
}

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
	return strings.Join(texts(strings.Split(s, ";"), change), ";")
}

// RejectsCSV is the name of the file of rows that were left out.
const RejectsCSV = "rejects.csv"

// Rejects writes rejects.csv as the run goes. It keeps the first few for the
// terminal.
type Rejects struct {
	First    []ingest.Reject // up to KeptRejects
	ByColumn map[string]int  // how many have a column to blame
	file     *csvFile        // nil where none is written
}

// KeptRejects bounds the rejects kept for the terminal.
const KeptRejects = 1000

// RejectsHead are the columns of the file.
var RejectsHead = []string{"file", "line", "building_id", "column", "value", "reason", "fix"}

// NewRejects starts the file in dir, or none where dir is empty.
func NewRejects(dir string) (r *Rejects, err error) {
	r = &Rejects{ByColumn: map[string]int{}}
	if dir != "" {
		r.file, err = newCSVFile(filepath.Join(dir, RejectsCSV), RejectsHead...)
	}
	return r, err
}

// Add writes one reject.
func (r *Rejects) Add(x ingest.Reject) error {
	if len(r.First) < KeptRejects {
		r.First = append(r.First, x)
	}
	// Ragged rows and broken files have no column; a header's name is as long as
	// somebody made it.
	if len(r.ByColumn) < 100 || r.ByColumn[x.Column] > 0 {
		r.ByColumn[x.Column]++
	}
	if r.file == nil {
		return nil
	}
	for _, s := range x.Cells() {
		r.file.text(s, true)
	}
	return r.file.end()
}

// Close finishes the file.
func (r *Rejects) Close() error {
	if r.file == nil {
		return nil
	}
	return r.file.close()
}
