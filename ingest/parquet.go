package ingest

import (
	"context"
	"fmt"
	"io"
	"os"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/file"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"
)

// parquetFile reads one Parquet file batch by batch, one row group after the
// other. Columns are read one by one on the calling goroutine, because a panic
// of the library on a damaged file can only be caught there.
type parquetFile struct {
	src    *Source
	file   int32
	name   string
	f      *os.File
	size   int64
	mem    *cappedAllocator
	rdr    *file.Reader
	arrow  *pqarrow.FileReader
	layout *layout
	schema *arrow.Schema
	fields []int // of the file's schema, for each column of the record
	leaves []int // of the file's columns, likewise

	group   int // next to open
	columns []*pqarrow.ColumnReader
	inGroup int64 // rows of the group already read
	left    int64 // rows of the group that can still be read
	why     error // why the group cannot be read beyond left
	row     int64 // rows read from the file
	done    bool
}

// guard runs code of the Parquet library and turns its panics into errors.
func guard(do func() error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("the data are damaged (%v)", p)
		}
	}()
	return do()
}

const parquetFix = "export the file again, and compare its size with the original"

// openParquet reads the footer and binds the columns.
func openParquet(ctx context.Context, src *Source, i int32, f *os.File) (fileReader, *Reject) {
	p := &parquetFile{src: src, file: i, name: src.files[i], f: f, mem: newCappedAllocator()}
	var rej *Reject
	err := guard(func() error {
		info, err := f.Stat()
		if err != nil {
			return err
		}
		p.size = info.Size()
		if err := inspectFooter(f, p.size); err != nil {
			return err
		}
		props := parquet.NewReaderProperties(p.mem)
		props.BufferedStreamEnabled = true // else it loads whole columns
		props.BufferSize = 64 << 10
		if p.rdr, err = file.NewParquetReader(f, file.WithReadProps(props)); err != nil {
			return err
		}
		// An Arrow schema in the footer is only a hint, in a format of its own
		// whose sizes would have to be checked as well.
		p.rdr.MetaData().FileMetaData.KeyValueMetadata = nil
		if p.arrow, err = pqarrow.NewFileReader(p.rdr, pqarrow.ArrowReadProperties{}, p.mem); err != nil {
			return err
		}
		rej = p.bind()
		return nil
	})
	if err != nil {
		return nil, p.whole(0, err)
	}
	if rej != nil {
		return nil, rej
	}
	return p, nil
}

func (p *parquetFile) whole(row int64, err error) *Reject {
	r := &Reject{File: p.name, Line: row, Fix: parquetFix, Whole: true, Reason: fmt.Sprintf("the Parquet file cannot be read: %v", err)}
	if row > 0 {
		r.Reason = fmt.Sprintf("the Parquet file cannot be read from row %d on: %v", row, err)
	}
	return r
}

// next reads the next batch, or returns io.EOF.
func (p *parquetFile) next(ctx context.Context) (*Batch, error) {
	for !p.done && p.left == 0 {
		if p.why != nil {
			return p.stop(nil, p.why), nil
		}
		if p.group == p.rdr.NumRowGroups() {
			return nil, io.EOF
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := guard(func() error { return p.openGroup(ctx) }); err != nil {
			return p.stop(nil, err), nil
		}
	}
	if p.done {
		return nil, io.EOF
	}
	n := min(p.left, int64(p.src.opt.BatchRows))
	var rec arrow.Record
	err := guard(func() (err error) {
		p.mem.renew()
		rec, err = p.read(p.columns, n)
		return err
	})
	if err != nil {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return p.stop(p.rescue(ctx, n), err), nil
	}
	b := p.batch(rec)
	p.left -= n
	p.inGroup += n
	return b, nil
}

func (p *parquetFile) batch(rec arrow.Record) *Batch {
	b := &Batch{file: p.file, name: p.name, rec: rec, first: p.row + 1, layout: p.layout, rules: p.src.rules, delim: ','}
	p.row += rec.NumRows()
	return b
}

// stop ends the file: with the rows that could be saved, if any, and a Reject.
func (p *parquetFile) stop(rec arrow.Record, why error) *Batch {
	p.done = true
	b := &Batch{file: p.file, name: p.name}
	if rec != nil {
		b = p.batch(rec)
	}
	b.rejects = []Reject{*p.whole(p.row+1, why)}
	return b
}

// openGroup inspects the next row group and opens its columns.
func (p *parquetFile) openGroup(ctx context.Context) error {
	g := p.group
	p.group++
	p.closeColumns()
	meta := p.rdr.MetaData().RowGroup(g)
	p.left, p.inGroup, p.why = meta.NumRows(), 0, nil
	var peak int64
	for k, leaf := range p.leaves {
		col, err := meta.ColumnChunk(leaf)
		if err != nil {
			p.left = 0
			return err
		}
		s := chunkSafety{}
		if err := guard(func() error {
			s = inspectChunk(p.f, p.size, col, meta.NumRows(), p.rdr.MetaData().Schema.Column(leaf).MaxDefinitionLevel())
			return nil
		}); err != nil {
			s.why = err
		}
		peak += s.peak
		if s.why != nil && s.rows < p.left || p.why == nil && s.why != nil {
			p.left, p.why = min(p.left, s.rows), fmt.Errorf("column %q: %w", p.schema.Field(k).Name, s.why)
		}
	}
	if peak > maxPages {
		p.left = 0
		return fmt.Errorf("the pages of a row group take more than %d MiB", maxPages>>20)
	}
	if p.left == 0 {
		return nil
	}
	cols, err := p.open(ctx, g)
	p.columns = cols
	if err != nil {
		p.left = 0
	}
	return err
}

// open starts reading row group g from its first row.
func (p *parquetFile) open(ctx context.Context, g int) ([]*pqarrow.ColumnReader, error) {
	p.mem.renew()
	var out []*pqarrow.ColumnReader
	for i, fd := range p.fields {
		c, err := p.arrow.GetFieldReader(ctx, fd, map[int]bool{p.leaves[i]: true}, []int{g})
		if err != nil {
			return out, fmt.Errorf("column %q: %w", p.schema.Field(i).Name, err)
		}
		out = append(out, c)
	}
	return out, nil
}

// read takes the next n rows of every column.
func (p *parquetFile) read(columns []*pqarrow.ColumnReader, n int64) (arrow.Record, error) {
	arrays := make([]arrow.Array, 0, len(columns))
	defer func() {
		for _, a := range arrays {
			a.Release()
		}
	}()
	for i, c := range columns {
		a, err := p.readColumn(c, n)
		if err != nil {
			return nil, fmt.Errorf("column %q: %w", p.schema.Field(i).Name, err)
		}
		arrays = append(arrays, a)
	}
	return array.NewRecord(p.schema, arrays, n), nil
}

func (p *parquetFile) readColumn(c *pqarrow.ColumnReader, n int64) (arrow.Array, error) {
	chunked, err := c.NextBatch(n)
	if err != nil {
		return nil, err
	}
	defer chunked.Release()
	if int64(chunked.Len()) != n {
		return nil, fmt.Errorf("the data of %d rows are missing or damaged", n-int64(chunked.Len()))
	}
	if len(chunked.Chunks()) == 1 {
		a := chunked.Chunk(0)
		a.Retain()
		return a, nil
	}
	return array.Concatenate(chunked.Chunks(), p.mem)
}

func (p *parquetFile) closeColumns() {
	release(p.columns)
	p.columns = nil
}

func (p *parquetFile) shut() {
	p.closeColumns()
	p.f.Close()
}
