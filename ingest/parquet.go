package ingest

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"unicode/utf8"

	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/compress"
	"github.com/apache/arrow/go/v17/parquet/file"
	"github.com/apache/arrow/go/v17/parquet/metadata"
	"github.com/apache/arrow/go/v17/parquet/schema"
)

// parquetFile reads one Parquet file row by row, one row group after the other.
// The footer is the library's to parse, after its sizes were checked; the pages
// are read here, because the library takes memory by the sizes a file claims
// and by rows whose bytes it does not count.
type parquetFile struct {
	src    *Source
	file   int32
	in     *input
	meta   *metadata.FileMetaData
	layout *layout
	cells  []*textColumn    // of the columns that are read
	from   []*parquetColumn // likewise

	group int   // next to open
	left  int64 // rows of the open group still to come
	row   int64 // rows read from the file, with those left out
	live  int64 // bytes of the pages that are open
	done  bool
}

// unsupported is a feature of the format that cannot be read.
type unsupported struct{ what, fix string }

func (u unsupported) Error() string { return u.what }

// guard runs code of the Parquet library and turns its panics into errors.
func guard(do func() error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("the data are damaged (%v)", p)
		}
	}()
	return do()
}

// openParquet reads the footer and binds the columns.
func openParquet(src *Source, i int32, in *input) (fileReader, *Reject) {
	p := &parquetFile{src: src, file: i, in: in}
	var sch *schema.Schema
	err := guard(func() error {
		if err := inspectFooter(in.file, in.info.Size()); err != nil {
			return err
		}
		// A reader of its own keeps the place up to which the file was hashed.
		rdr, err := file.NewParquetReader(io.NewSectionReader(in.file, 0, in.info.Size()))
		if err != nil {
			return err
		}
		p.meta, sch = rdr.MetaData(), rdr.MetaData().Schema
		return nil
	})
	if err != nil {
		return nil, p.whole(0, err)
	}
	if rej := p.bind(sch); rej != nil {
		return nil, rej
	}
	return p, nil
}

// bind matches the columns of the file with the catalogue.
func (p *parquetFile) bind(sch *schema.Schema) *Reject {
	name := p.src.files[p.file]
	nested := map[string]bool{}
	var headers []string
	var flat []*parquetColumn
	for leaf := range sch.NumColumns() {
		d := sch.Column(leaf)
		if path := d.ColumnPath(); len(path) > 1 || d.MaxRepetitionLevel() > 0 || d.MaxDefinitionLevel() > 1 {
			if !nested[path[0]] {
				nested[path[0]] = true
				p.src.note(fmt.Sprintf("%s: column %q is nested, does not fit in a cell and is left out", name, path[0]))
			}
			continue
		}
		headers, flat = append(headers, d.Name()), append(flat, newParquetColumn(p, leaf, d))
	}
	lay, rej := p.src.bind(name, headers)
	if rej != nil {
		return rej
	}
	p.layout = lay
	for _, at := range lay.read {
		p.cells, p.from = append(p.cells, newTextColumn(lay.names[at], at)), append(p.from, flat[at])
	}
	rows := int64(0)
	for _, g := range p.meta.RowGroups {
		if g.NumRows < 0 || g.NumRows > math.MaxInt64-rows {
			return p.whole(0, errors.New("the footer is damaged"))
		}
		rows += g.NumRows
	}
	if rows == 0 {
		return wholeFile(name, 0, "the file has columns but no rows", "add the rows, or leave the file out")
	}
	return nil
}

func (p *parquetFile) whole(row int64, err error) *Reject {
	reason, fix := fmt.Sprintf("the Parquet file cannot be read: %v", err), "export the file again, and compare its size with the original"
	if row > 0 {
		reason = fmt.Sprintf("the Parquet file cannot be read from row %d on: %v", row, err)
	}
	if u := (unsupported{}); errors.As(err, &u) {
		fix = u.fix
	}
	return wholeFile(p.src.files[p.file], row, reason, fix)
}

// next reads the next batch, or returns io.EOF.
func (p *parquetFile) next(ctx context.Context) (*Batch, error) {
	b := p.src.gather(p.file, p.layout, p.cells)
	for !p.done && !b.full() {
		if p.row%256 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		err := p.nextRow(b)
		if err != nil {
			p.done = true
			b.rejects = append(b.rejects, *p.whole(p.row+1, err))
		}
	}
	return b.seal(',')
}

// nextRow reads one row into the batch, or leaves it out because of what it
// holds. An error means that the rows from here on cannot be read.
func (p *parquetFile) nextRow(b *gathering) error {
	for p.left == 0 {
		if p.group == len(p.meta.RowGroups) {
			p.done = true
			return nil
		}
		if err := guard(p.openGroup); err != nil {
			return err
		}
	}
	size := 0
	for k, c := range p.from {
		t := p.cells[k]
		if err := c.cell(t); err != nil {
			b.undo()
			return fmt.Errorf("column %q: %w", t.name, err)
		}
		size += len(t.last())
	}
	p.left--
	p.row++
	id := string(p.cells[p.layout.id[0].arrow].last())
	if size > p.src.opt.MaxRecord {
		b.leaveOut(p.row, "", "", id, fmt.Sprintf("the row is longer than %d bytes", p.src.opt.MaxRecord), "shorten the cells, or raise max_record_bytes in the configuration (input)")
		return nil
	}
	for k, c := range p.from {
		if cell := p.cells[k].last(); c.text == nil && !wholesome(cell) {
			b.leaveOut(p.row, p.cells[k].name, string(cell), id, "the text is not valid UTF-8 or holds a NUL byte", "export the file again")
			return nil
		}
	}
	b.keep(p.row, size)
	return nil
}

// wholesome says whether text can be printed at all.
func wholesome(cell []byte) bool {
	for _, c := range cell {
		if c == 0 {
			return false
		}
	}
	return utf8.Valid(cell)
}

// openGroup points every column at its pages in the next row group.
func (p *parquetFile) openGroup() error {
	group := p.meta.RowGroup(p.group)
	columns := p.meta.RowGroups[p.group].Columns
	p.group++
	for k, c := range p.from {
		if c.leaf < len(columns) && columns[c.leaf].CryptoMetadata != nil {
			return encrypted
		}
		chunk, err := group.ColumnChunk(c.leaf)
		if err == nil {
			err = c.open(chunk, p.in.info.Size(), group.NumRows())
		}
		if err != nil {
			return fmt.Errorf("column %q: %w", p.cells[k].name, err)
		}
	}
	p.left = group.NumRows()
	return nil
}

var encrypted = unsupported{"the file is encrypted", "write it without encryption"}

// open points a column at its pages in a row group.
func (c *parquetColumn) open(chunk *metadata.ColumnChunkMetaData, size, rows int64) error {
	c.at = chunk.DataPageOffset()
	if d := chunk.DictionaryPageOffset(); chunk.HasDictionaryPage() && d > 0 && d < c.at {
		c.at = d
	}
	length := chunk.TotalCompressedSize()
	if c.at < 4 || length < 0 || c.at > size || length > size-c.at {
		return errors.New("the column lies outside the file")
	}
	if chunk.NumValues() != rows {
		return fmt.Errorf("the column claims %d values for %d rows", chunk.NumValues(), rows)
	}
	if chunk.Type() != c.kind {
		return errors.New("the column changes its type")
	}
	c.compression = chunk.Compression()
	switch c.compression {
	case compress.Codecs.Uncompressed, compress.Codecs.Snappy, compress.Codecs.Gzip, compress.Codecs.Zstd, compress.Codecs.Brotli:
	default:
		return unsupported{fmt.Sprintf("compression %s cannot be read", c.compression), "write it without compression or with snappy, gzip, zstd or brotli"}
	}
	c.end, c.rows = c.at+length, rows
	c.close()
	c.dict = nil
	return nil
}

// parquetColumn reads the values of one column as text.
type parquetColumn struct {
	p        *parquetFile
	leaf     int
	kind     parquet.Type
	width    int // of fixed-length values
	optional bool
	text     func(dst []byte, v value) []byte // nil where the bytes are the text

	compression compress.Compression
	at, end     int64 // pages still to come, in the file
	rows        int64 // values still to come in the pages after this one
	dict        []value
	dictBytes   int64

	left  int64                 // values of the open page still to come
	bytes int64                 // of the open page
	given *hybrid               // 1 where a value is there; nil where all are
	next  func() (value, error) // of the values that are there
}

func newParquetColumn(p *parquetFile, leaf int, d *schema.Column) *parquetColumn {
	return &parquetColumn{p: p, leaf: leaf, kind: d.PhysicalType(), width: d.TypeLength(), optional: d.MaxDefinitionLevel() > 0, text: textOf(d)}
}

// close forgets the open page.
func (c *parquetColumn) close() {
	c.p.live -= c.bytes
	c.left, c.bytes, c.given, c.next = 0, 0, nil, nil
}

// cell adds the next value to a text column; null is the empty cell.
func (c *parquetColumn) cell(t *textColumn) error {
	for c.left == 0 {
		if err := guard(c.nextPage); err != nil {
			return err
		}
	}
	c.left--
	if c.given != nil {
		there, err := c.given.next()
		if err != nil {
			return err
		}
		if there == 0 {
			t.end()
			return nil
		}
	}
	v, err := c.next()
	if err != nil {
		return err
	}
	if c.text == nil {
		t.data = append(t.data, v.b...)
	} else {
		t.data = c.text(t.data, v)
	}
	t.end()
	return nil
}
