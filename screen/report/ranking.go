package report

import (
	"bufio"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
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
	batchRows  = 1 << 16
	batchBytes = 64 << 20
)

// Schema is the number of the form of ranking.parquet and run.json. It grows when
// a column or a key comes, goes, or changes its type or its meaning.
const Schema = 1

// SchemaKey is where the metadata of a Parquet file hold Schema, in digits.
const SchemaKey = "wallsift.schema"

// Names of the ranking files.
const (
	RankingCSV     = "ranking.csv"
	RankingParquet = "ranking.parquet"
)

// WriteRanking writes ranking.csv and ranking.parquet to dir: one row for each
// building and strategy, buildings in order of place, strategies in order of
// rank within the building. Both are written at the same time from the same
// rows; nothing is held but one batch on its way to each. Parquet has one column
// more, the point of the building after GeoParquet.
func WriteRanking(dir string, e *screen.Engine, run *screen.Run) error {
	cols := columns(run.Names(), run.Cases > 0, newVocabulary(e))
	c, err := newCSVSink(filepath.Join(dir, RankingCSV), cols)
	if err != nil {
		return err
	}
	defer c.f.Close()
	err = writeParquet(filepath.Join(dir, RankingParquet), cols, c.write, func(f func(*line) error) error { return eachLine(e, run, View{}, f) })
	if err != nil {
		return err
	}
	return c.close()
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
	cols := columns(names, false, newVocabulary(e))
	return writeParquet(path, cols, func(l *line, to func(int, cell)) error {
		for i := range cols {
			to(i, cols[i].get(l))
		}
		return nil
	}, func(f func(*line) error) error {
		for i := range homes {
			h := &homes[i]
			if err := linesOf(e, &h.Row, h.Overall, func(s uint8) int { return h.Within[s] }, false, f); err != nil {
				return err
			}
		}
		return nil
	})
}

// writeParquet writes lines whose cells are handed over one by one.
func writeParquet(path string, cols []Column, cells func(*line, func(int, cell)) error, lines func(func(*line) error) error) error {
	p, err := newParquetSink(path, cols)
	if err != nil {
		return err
	}
	batches := make(chan arrow.Record, 2)
	var g errgroup.Group
	g.Go(func() error { return p.drain(batches) })
	rows := 0
	flush := func() {
		batches <- p.builder.NewRecord()
		rows, p.bytes = 0, 0
	}
	err = lines(func(l *line) error {
		if err := cells(l, p.append); err != nil {
			return err
		}
		p.locate(l)
		if rows++; rows == batchRows || p.bytes >= batchBytes {
			flush()
		}
		return nil
	})
	if rows > 0 {
		flush()
	}
	close(batches)
	if perr := g.Wait(); err == nil {
		err = perr
	}
	return err
}

type csvSink struct {
	f    *os.File
	name string
	w    *bufio.Writer
	cols []Column
	buf  []byte
	// done and cells keep what columns of the building (not of the strategy)
	// printed for the building at hand.
	done  [][]byte
	cells []cell
	of    int // place of that building
}

func newCSVSink(path string, cols []Column) (*csvSink, error) {
	f, err := os.Create(path)
	if err != nil {
		return nil, fmt.Errorf("writing %s: %w", filepath.Base(path), err)
	}
	s := &csvSink{f: f, name: filepath.Base(path), w: bufio.NewWriterSize(f, 1<<20), cols: cols, done: make([][]byte, len(cols)), cells: make([]cell, len(cols))}
	for i, c := range cols {
		if i > 0 {
			s.buf = append(s.buf, ',')
		}
		s.buf = appendText(s.buf, c.Name, c.Inventory)
	}
	s.buf = append(s.buf, '\n')
	_, err = s.w.Write(s.buf)
	return s, err
}

// write prints one row and hands each cell to also as well, so that a cell is
// formed once for both files.
func (s *csvSink) write(l *line, also func(int, cell)) error {
	buf := s.buf[:0]
	for i := range s.cols {
		c := &s.cols[i]
		if i > 0 {
			buf = append(buf, ',')
		}
		if c.building && s.of == l.place {
			also(i, s.cells[i])
			buf = append(buf, s.done[i]...)
			continue
		}
		v := c.get(l)
		also(i, v)
		from := len(buf)
		buf = c.append(buf, v)
		if c.building {
			s.cells[i], s.done[i] = v, append(s.done[i][:0], buf[from:]...)
		}
	}
	s.of = l.place
	s.buf = append(buf, '\n')
	_, err := s.w.Write(s.buf)
	return err
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

func (s *csvSink) close() error {
	if err := s.w.Flush(); err != nil {
		return fmt.Errorf("writing %s: %w", s.name, err)
	}
	return s.f.Close()
}

// appendText writes a CSV cell after RFC 4180. Text from the inventory that a
// spreadsheet would run as a formula gets an apostrophe in front, the usual
// guard against formula injection; plain signed numbers are left alone.
func appendText(buf []byte, s string, user bool) []byte {
	guard := user && formula(s)
	if !guard && !strings.ContainsAny(s, ",\"\r\n") {
		return append(buf, s...)
	}
	buf = append(buf, '"')
	if guard {
		buf = append(buf, '\'')
	}
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

type parquetSink struct {
	w       *pqarrow.FileWriter
	builder *array.RecordBuilder
	cols    []Column
	extent  geoparquet.Extent
	bytes   int    // of text since the last batch
	point   []byte // of the building at hand, nil when its place is not known
	of      int    // place of that building
}

func newParquetSink(path string, cols []Column) (*parquetSink, error) {
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
	return &parquetSink{w: w, builder: array.NewRecordBuilder(memory.DefaultAllocator, schema), cols: cols, extent: geoparquet.NewExtent()}, nil
}

func (p *parquetSink) append(i int, v cell) {
	switch b := p.builder.Field(i).(type) {
	case *array.ListBuilder: // where nothing is in it, it is empty; a list is always known
		b.Append(true)
		if !v.null {
			for item := range strings.SplitSeq(v.s, p.cols[i].list) {
				b.ValueBuilder().(*array.StringBuilder).Append(item)
			}
		}
	case *array.Date32Builder:
		day, err := time.Parse(time.DateOnly, v.s)
		if v.null || err != nil { // the inventory was read as a date before
			b.AppendNull()
			return
		}
		b.Append(arrow.Date32FromTime(day))
	case *array.StringBuilder:
		if v.null {
			b.AppendNull()
			return
		}
		b.Append(v.s)
		p.bytes += len(v.s)
	case *array.Int64Builder:
		if v.null {
			b.AppendNull()
			return
		}
		b.Append(v.i)
	case *array.Float64Builder:
		if v.null {
			b.AppendNull()
			return
		}
		b.Append(v.f)
	}
}

// locate closes a row with the building's point, after GeoParquet.
func (p *parquetSink) locate(l *line) {
	if p.of != l.place {
		lon, lat := l.b.Num[ingest.Longitude], l.b.Num[ingest.Latitude]
		point, ok := geoparquet.Point(lon, lat)
		if ok {
			p.extent.Add(lon, lat)
		}
		p.point, p.of = point, l.place
	}
	b := p.builder.Field(len(p.cols)).(*array.BinaryBuilder)
	if p.point == nil {
		b.AppendNull()
		return
	}
	b.Append(p.point)
}

// drain writes batches until there are no more. After a failure it goes on
// reading, so that the sender never waits for nobody.
func (p *parquetSink) drain(batches <-chan arrow.Record) error {
	var failed error
	for rec := range batches {
		if failed == nil {
			failed = p.w.Write(rec)
		}
		rec.Release()
	}
	// The sender closed the channel after its last row: the extent is complete.
	if failed == nil {
		failed = errors.Join(p.w.AppendKeyValueMetadata(geoparquet.MetadataKey, geoparquet.Metadata(p.extent)),
			p.w.AppendKeyValueMetadata(SchemaKey, strconv.Itoa(Schema)))
	}
	if err := p.w.Close(); failed == nil {
		failed = err
	}
	if failed != nil {
		return fmt.Errorf("writing %s: %w", RankingParquet, failed)
	}
	return nil
}

// writeCSV writes lines to a file of their own.
func writeCSV(path string, cols []Column, lines func(func(*line) error) error) error {
	c, err := newCSVSink(path, cols)
	if err != nil {
		return err
	}
	defer c.f.Close()
	if err := lines(func(l *line) error { return c.write(l, func(int, cell) {}) }); err != nil {
		return err
	}
	return c.close()
}

// Guarded puts an apostrophe before text that a spreadsheet would run as a formula.
func Guarded(s string) string {
	if formula(s) {
		return "'" + s
	}
	return s
}

// Unguarded takes the apostrophe off text that was read back from a CSV file of
// this package, for formats that cannot mistake text for a formula. Text that
// began so itself, which is rare, loses it too.
func Unguarded(s string) string {
	if len(s) > 1 && s[0] == '\'' && formula(s[1:]) {
		return s[1:]
	}
	return s
}
