package report

import (
	"errors"
	"fmt"
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
// same time from the same rows; nothing is held but one batch on its way to each.
// Parquet has one column more, the point of the building after GeoParquet.
func WriteRanking(dir string, e *screen.Engine, run *screen.Run, names ...string) error {
	files := map[string]opener{}
	for name, open := range map[string]opener{RankingCSV: newCSVSink, RankingParquet: newParquetSink} {
		if len(names) == 0 || slices.Contains(names, name) {
			files[filepath.Join(dir, name)] = open
		}
	}
	lines := func(f func(*line) error) error { return eachLine(e, run, View{}, f) }
	return fill(columns(e, run.Source.Names(), run.Cases > 0), lines, files)
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
	lines := func(f func(*line) error) error {
		for i := range homes {
			h := &homes[i]
			if err := linesOf(e, &h.Row, h.Overall, func(s uint8) int { return h.Within[s] }, false, f); err != nil {
				return err
			}
		}
		return nil
	}
	return fill(columns(e, names, false), lines, map[string]opener{path: newParquetSink})
}

// sink takes the rows of a file.
type sink interface {
	write(l *line, cells []cell) error
	close() error
	abandon() // frees what is open where close was not reached
}

// opener starts a file of some columns.
type opener func(path string, cols []Column) (sink, error)

// fill writes lines to files. It forms each cell once, whatever the number of files.
func fill(cols []Column, lines func(func(*line) error) error, files map[string]opener) error {
	var sinks []sink
	for path, open := range files {
		s, err := open(path, cols)
		if err != nil {
			return err
		}
		defer s.abandon()
		sinks = append(sinks, s)
	}
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

// parquetSink gathers rows and hands them on batch by batch to a goroutine that
// encodes them.
type parquetSink struct {
	w       *pqarrow.FileWriter
	builder *array.RecordBuilder
	cols    []Column
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
	p := &parquetSink{w: w, cols: cols, builder: array.NewRecordBuilder(memory.DefaultAllocator, schema), extent: geoparquet.NewExtent(), batches: make(chan arrow.Record, 1)}
	p.encoder.Go(p.drain)
	return p, nil
}

// add appends a cell to a column.
func (p *parquetSink) add(c *Column, to array.Builder, v cell) {
	list, is := to.(*array.ListBuilder)
	switch {
	case is: // where nothing is in it, it is empty; a list is always known
		list.Append(true)
		for item := range strings.SplitSeq(v.s, c.list) {
			if !v.null {
				list.ValueBuilder().(*array.StringBuilder).Append(item)
			}
		}
		return
	case v.null:
		to.AppendNull()
		return
	}
	switch b := to.(type) {
	case *array.Date32Builder:
		_ = b.AppendValueFromString(v.s) // it was read as a date before
	case *array.StringBuilder:
		b.Append(v.s)
		p.bytes += len(v.s)
	case *array.Int64Builder:
		b.Append(v.i)
	case *array.Float64Builder:
		b.Append(v.f)
	}
}

func (p *parquetSink) write(l *line, cells []cell) error {
	for i, v := range cells {
		p.add(&p.cols[i], p.builder.Field(i), v)
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
