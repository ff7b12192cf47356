package report

import (
	"bufio"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/arrow/memory"
	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/compress"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"
	"golang.org/x/sync/errgroup"

	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report/places/geoparquet"
)

// A Parquet row group is written once so many rows are gathered, or so many bytes
// of text: that bounds memory.
const (
	batchRows  = 1 << 14
	batchBytes = 16 << 20
)

// Schema is the number of the form of ranking.parquet and run.json. It grows when
// a column or a key comes, goes, or changes its type or its meaning.
const Schema = 2

// SchemaKey is where the metadata of a Parquet file hold Schema, in digits.
const SchemaKey = "wallsift.schema"

// Names of the ranking files.
const (
	RankingCSV     = "ranking.csv"
	RankingParquet = "ranking.parquet"
)

// WriteRanking writes those of ranking.csv and ranking.parquet to dir that are named,
// both where none is: one row for each building and strategy, buildings in order of
// place, strategies in order of rank within the building. Both are written at the
// same time. Parquet has one column more, the point of the building after GeoParquet.
func WriteRanking(dir string, e *screen.Engine, run *screen.Run, names ...string) error {
	var g errgroup.Group
	for name, write := range map[string]func(*Rows, string) error{RankingCSV: (*Rows).csv, RankingParquet: (*Rows).parquet} {
		if len(names) == 0 || slices.Contains(names, name) {
			g.Go(func() error { return write(Ranking(e, run, false), filepath.Join(dir, name)) })
		}
	}
	return g.Wait()
}

// Ranked is a home with its ranks, from 1.
type Ranked struct {
	Row     screen.Row
	Overall int
	Within  []int // by Judgement.Strategy
}

// WriteParquet writes homes that were ranked elsewhere, in the order given, as
// WriteRanking does in ranking.parquet.
func WriteParquet(path string, e *screen.Engine, names ingest.Names, homes []Ranked) error {
	r := &Rows{Columns: columns(e, SI, names, false), lines: func(_ View, f func(*line) error) error {
		for i := range homes {
			h := &homes[i]
			if err := linesOf(e, &h.Row, h.Overall, func(s uint8) int { return h.Within[s] }, false, f); err != nil {
				return err
			}
		}
		return nil
	}}
	return r.parquet(path)
}

// parquet writes all rows to a Parquet file. While a batch is encoded the next one is
// gathered; nothing else is held.
func (r *Rows) parquet(path string) error {
	fields := mapped(r.Columns, func(c Column) arrow.Field { return arrow.Field{Name: c.Name, Type: c.arrow(), Nullable: true} })
	fields = append(fields, arrow.Field{Name: geoparquet.Column, Type: arrow.BinaryTypes.Binary, Nullable: true})
	schema := arrow.NewSchema(fields, nil)
	opts := []parquet.WriterProperty{parquet.WithCompression(compress.Codecs.Snappy), parquet.WithCreatedBy("wallsift")}
	for _, c := range r.Columns {
		if c.Kind == Real { // a dictionary of reals that seldom repeat costs time and saves little
			opts = append(opts, parquet.WithDictionaryFor(c.Name, false))
		}
	}
	return WriteFile(path, func(to *bufio.Writer) error {
		w, err := pqarrow.NewFileWriter(schema, to, parquet.NewWriterProperties(opts...), pqarrow.DefaultWriterProps())
		if err != nil {
			return err
		}
		b, extent := array.NewRecordBuilder(memory.DefaultAllocator, schema), geoparquet.NewExtent()
		rows, bytes, encoder := 0, 0, new(errgroup.Group) // rows and bytes of text since the last batch
		flush := func() error {
			if err := encoder.Wait(); err != nil {
				return err
			}
			batch := b.NewRecord()
			rows, bytes, encoder = 0, 0, new(errgroup.Group)
			encoder.Go(func() error {
				defer batch.Release()
				return w.Write(batch)
			})
			return nil
		}
		err = r.lines(View{}, func(l *line) error {
			for i := range r.Columns {
				c := &r.Columns[i]
				bytes += c.add(b.Field(i), c.get(l))
			}
			lon, lat := l.b.Num[ingest.Longitude], l.b.Num[ingest.Latitude]
			if point, ok := geoparquet.Point(lon, lat); ok {
				b.Field(len(r.Columns)).(*array.BinaryBuilder).Append(point)
				extent.Add(lon, lat)
			} else {
				b.Field(len(r.Columns)).AppendNull()
			}
			if rows++; rows == batchRows || bytes >= batchBytes {
				return flush()
			}
			return nil
		})
		if err == nil && rows > 0 {
			err = flush()
		}
		if failed := encoder.Wait(); err == nil {
			err = failed
		}
		return errors.Join(err, w.AppendKeyValueMetadata(geoparquet.MetadataKey, geoparquet.Metadata(extent)), w.AppendKeyValueMetadata(SchemaKey, strconv.Itoa(Schema)), w.Close())
	})
}

// add appends a cell to a column of Parquet and returns how much text it holds.
func (c *Column) add(to array.Builder, v cell) int {
	list, is := to.(*array.ListBuilder)
	switch {
	case is: // where nothing is in it, it is empty; a list is always known
		list.Append(true)
		for item := range strings.SplitSeq(v.s, c.list) {
			if !v.null {
				list.ValueBuilder().(*array.StringBuilder).Append(item)
			}
		}
		return 0
	case v.null:
		to.AppendNull()
		return 0
	}
	switch b := to.(type) {
	case *array.Date32Builder:
		_ = b.AppendValueFromString(v.s) // it was read as a date before
	case *array.StringBuilder:
		b.Append(v.s)
	case *array.Int64Builder:
		b.Append(v.i)
	case *array.Float64Builder:
		b.Append(v.f)
	}
	return len(v.s)
}

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
