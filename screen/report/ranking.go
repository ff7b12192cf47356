package report

import (
	"bufio"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

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
// same time from the same rows; nothing is held but one batch on its way to each.
// Parquet has one column more, the point of the building after GeoParquet.
func WriteRanking(dir string, e *screen.Engine, run *screen.Run, names ...string) error {
	cols := columns(e, run.Names(), run.Cases > 0)
	var sinks []sink
	for name, open := range map[string]func(string, []Column) (sink, error){RankingCSV: newCSVSink, RankingParquet: newParquetSink} {
		if len(names) > 0 && !slices.Contains(names, name) {
			continue
		}
		s, err := open(filepath.Join(dir, name), cols)
		if err != nil {
			return err
		}
		defer s.abandon()
		sinks = append(sinks, s)
	}
	return fill(cols, func(f func(*line) error) error { return eachLine(e, run, View{}, f) }, sinks...)
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
	cols := columns(e, names, false)
	p, err := newParquetSink(path, cols)
	if err != nil {
		return err
	}
	defer p.abandon()
	known := screen.NewReadier(e)
	return fill(cols, func(f func(*line) error) error {
		for i := range homes {
			h := &homes[i]
			if err := linesOf(known, &h.Row, h.Overall, func(s uint8) int { return h.Within[s] }, false, f); err != nil {
				return err
			}
		}
		return nil
	}, p)
}

// writeCSV writes lines to a file of their own.
func writeCSV(path string, cols []Column, lines func(func(*line) error) error) error {
	s, err := newCSVSink(path, cols)
	if err != nil {
		return err
	}
	defer s.abandon()
	return fill(cols, lines, s)
}

// sink takes the rows of a file.
type sink interface {
	write(l *line, cells []cell) error
	close() error
	abandon() // frees what is open where close was not reached
}

// fill forms each cell once, whatever the number of sinks, and closes them.
func fill(cols []Column, lines func(func(*line) error) error, sinks ...sink) error {
	cells := make([]cell, len(cols))
	err := lines(func(l *line) error {
		for i := range cols {
			cells[i] = cols[i].get(l)
		}
		for _, s := range sinks {
			if err := s.write(l, cells); err != nil {
				return err
			}
		}
		return nil
	})
	for _, s := range sinks {
		if err == nil {
			err = s.close()
		}
	}
	return err
}

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

func (c *csvFile) abandon() { c.f.Close() }

type csvSink struct {
	*csvFile
	cols []Column
}

func newCSVSink(path string, cols []Column) (sink, error) {
	f, err := newCSVFile(path, texts(cols, func(c Column) string { return c.Name })...)
	return csvSink{f, cols}, err
}

func (s csvSink) write(_ *line, cells []cell) error {
	for i := range s.cols {
		s.line = append(s.cols[i].append(s.line, cells[i]), ',')
	}
	return s.end()
}

// append prints a cell. Reals of ordinary size are scaled to whole numbers,
// which is several times faster than printing decimals of a binary fraction.
func (c *Column) append(buf []byte, v cell) []byte {
	switch {
	case v.null:
		return buf
	case c.Kind == Text:
		return appendText(buf, v.s, c.Inventory)
	case c.Kind == Whole:
		return strconv.AppendInt(buf, v.i, 10)
	case math.Abs(v.f) > 1e9:
		return strconv.AppendFloat(buf, v.f, 'f', c.Decimals, 64)
	}
	unit := pow10[c.Decimals]
	n := int64(math.Round(v.f * float64(unit)))
	if n < 0 {
		buf, n = append(buf, '-'), -n
	}
	buf = strconv.AppendInt(buf, n/unit, 10)
	if c.Decimals == 0 {
		return buf
	}
	buf = append(buf, '.')
	for rest, digit := n%unit, unit/10; digit > 0; digit /= 10 {
		buf = append(buf, byte('0'+rest/digit%10))
	}
	return buf
}

var pow10 = [...]int64{1, 10, 100, 1000, 1e4, 1e5, 1e6}

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
	s = guarded
	buf = append(buf, '"')
	for i := 0; i < len(s); i++ {
		if s[i] == '"' {
			buf = append(buf, '"')
		}
		buf = append(buf, s[i])
	}
	return append(buf, '"')
}

func formula(s string) bool {
	if s == "" || !strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return false
	}
	_, err := strconv.ParseFloat(s, 64)
	return err != nil
}

// parquetSink gathers rows and hands them on batch by batch to a goroutine that
// encodes them.
type parquetSink struct {
	w       *pqarrow.FileWriter
	builder *array.RecordBuilder
	put     []func(cell) // by column
	extent  geoparquet.Extent
	rows    int // since the last batch
	bytes   int // of text likewise
	batches chan arrow.Record
	encoder errgroup.Group
	closed  bool
}

func newParquetSink(path string, cols []Column) (sink, error) {
	f, err := os.Create(path)
	if err != nil {
		return nil, fmt.Errorf("writing %s: %w", RankingParquet, err)
	}
	fields := make([]arrow.Field, len(cols))
	for i, c := range cols {
		fields[i] = arrow.Field{Name: c.Name, Type: c.arrow(), Nullable: true}
	}
	fields = append(fields, arrow.Field{Name: geoparquet.Column, Type: arrow.BinaryTypes.Binary, Nullable: true})
	schema := arrow.NewSchema(fields, nil)
	opts := []parquet.WriterProperty{parquet.WithCompression(compress.Codecs.Snappy), parquet.WithCreatedBy("wallsift")}
	for _, c := range cols {
		if c.Kind == Real { // a dictionary of reals that seldom repeat costs time and saves little
			opts = append(opts, parquet.WithDictionaryFor(c.Name, false))
		}
	}
	props := parquet.NewWriterProperties(opts...)
	w, err := pqarrow.NewFileWriter(schema, f, props, pqarrow.DefaultWriterProps())
	if err != nil {
		f.Close()
		return nil, fmt.Errorf("writing %s: %w", RankingParquet, err)
	}
	p := &parquetSink{w: w, builder: array.NewRecordBuilder(memory.DefaultAllocator, schema), extent: geoparquet.NewExtent(), batches: make(chan arrow.Record, 1)}
	for i := range cols {
		p.put = append(p.put, p.putter(&cols[i], p.builder.Field(i)))
	}
	p.encoder.Go(p.drain)
	return p, nil
}

// putter returns what appends a cell to a column.
func (p *parquetSink) putter(c *Column, to array.Builder) func(cell) {
	filled := func(fill func(cell)) func(cell) {
		return func(v cell) {
			if v.null {
				to.AppendNull()
				return
			}
			fill(v)
		}
	}
	switch b := to.(type) {
	case *array.ListBuilder: // where nothing is in it, it is empty; a list is always known
		items := b.ValueBuilder().(*array.StringBuilder)
		return func(v cell) {
			b.Append(true)
			if !v.null {
				for item := range strings.SplitSeq(v.s, c.list) {
					items.Append(item)
				}
			}
		}
	case *array.Date32Builder:
		return filled(func(v cell) {
			day, err := time.Parse(time.DateOnly, v.s)
			if err != nil { // the inventory was read as a date before
				b.AppendNull()
				return
			}
			b.Append(arrow.Date32FromTime(day))
		})
	case *array.StringBuilder:
		return filled(func(v cell) {
			b.Append(v.s)
			p.bytes += len(v.s)
		})
	case *array.Int64Builder:
		return filled(func(v cell) { b.Append(v.i) })
	}
	b := to.(*array.Float64Builder)
	return filled(func(v cell) { b.Append(v.f) })
}

func (p *parquetSink) write(l *line, cells []cell) error {
	for i, v := range cells {
		p.put[i](v)
	}
	lon, lat := l.b.Num[ingest.Longitude], l.b.Num[ingest.Latitude]
	b := p.builder.Field(len(cells)).(*array.BinaryBuilder)
	if point, ok := geoparquet.Point(lon, lat); ok {
		b.Append(point)
		p.extent.Add(lon, lat)
	} else {
		b.AppendNull()
	}
	if p.rows++; p.rows == batchRows || p.bytes >= batchBytes {
		p.flush()
	}
	return nil
}

func (p *parquetSink) flush() {
	p.batches <- p.builder.NewRecord()
	p.rows, p.bytes = 0, 0
}

// drain encodes batches until there are no more. After a failure it goes on
// reading, so that the sender never waits for nobody.
func (p *parquetSink) drain() (failed error) {
	for rec := range p.batches {
		if failed == nil {
			failed = p.w.Write(rec)
		}
		rec.Release()
	}
	return failed
}

func (p *parquetSink) close() error {
	if p.rows > 0 {
		p.flush()
	}
	p.closed = true
	close(p.batches)
	err := p.encoder.Wait()
	if err == nil {
		err = errors.Join(p.w.AppendKeyValueMetadata(geoparquet.MetadataKey, geoparquet.Metadata(p.extent)),
			p.w.AppendKeyValueMetadata(SchemaKey, strconv.Itoa(Schema)))
	}
	if err = errors.Join(err, p.w.Close()); err != nil {
		return fmt.Errorf("writing %s: %w", RankingParquet, err)
	}
	return nil
}

func (p *parquetSink) abandon() {
	if !p.closed {
		close(p.batches)
		p.encoder.Wait()
		p.w.Close()
	}
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
	if !strings.Contains(s, ";") {
		return change(s)
	}
	parts := strings.Split(s, ";")
	for i, part := range parts {
		parts[i] = change(part)
	}
	return strings.Join(parts, ";")
}
