package report

import (
	"bufio"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"wallsift/ingest"
)

// csv writes all rows to a CSV file.
func (r *Rows) csv(path string) error {
	return WriteFile(path, func(w *bufio.Writer) error {
		w.WriteString(csvRow(mapped(r.Columns, func(c Column) string { return c.Name })))
		var row []byte
		return r.lines(View{}, func(l *line) error {
			row = row[:0]
			for i := range r.Columns {
				c := &r.Columns[i]
				row = append(c.append(row, c.get(l)), ',')
			}
			row[len(row)-1] = '\n' // in place of a comma
			_, err := w.Write(row)
			return err
		})
	})
}

// csvRow is a row of texts that may be from the inventory.
func csvRow(cells []string) string {
	return strings.Join(mapped(cells, func(s string) string { return string(appendText(nil, s, true)) }), ",") + "\n"
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
	return strconv.AppendFloat(buf, Rounded(v.f, c.Decimals), 'f', c.Decimals, 64)
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
	First    []ingest.Reject // up to KeptRejects
	ByColumn map[string]int  // how many have a column to blame
	f        *os.File        // nil where none is written
	w        *bufio.Writer
}

// KeptRejects bounds the rejects kept for the terminal.
const KeptRejects = 1000

// RejectsHead are the columns of the file.
var RejectsHead = []string{"file", "line", "building_id", "column", "value", "reason", "fix"}

// NewRejects starts the file in dir, or none where dir is empty.
func NewRejects(dir string) (r *Rejects, err error) {
	r = &Rejects{ByColumn: map[string]int{}, w: bufio.NewWriter(io.Discard)}
	if dir == "" {
		return r, nil
	}
	if r.f, err = os.Create(filepath.Join(dir, RejectsCSV)); err != nil {
		return nil, err
	}
	r.w.Reset(r.f)
	_, err = r.w.WriteString(csvRow(RejectsHead))
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
	_, err := r.w.WriteString(csvRow(x.Cells()))
	return err
}

// Close finishes the file.
func (r *Rejects) Close() error {
	err := r.w.Flush()
	if r.f != nil {
		err = errors.Join(err, r.f.Close())
	}
	return err
}
