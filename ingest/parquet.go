package ingest

import (
	"encoding/binary"
	"errors"
	"fmt"

	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/compress"
)

// parquetFile reads one Parquet file row by row, one row group after the other.
// The library that writes the results is not used: it takes memory by the sizes
// that a file claims, and by rows whose bytes it does not count. That holds for its
// decoders of values as well (v17): a delta coded page of 14 bytes that claims 2⁴⁰
// values ends the process, and 33 texts with a beginning of 100 MiB in common, 11 kB
// when compressed, take 3.3 GB.
type parquetFile struct {
	src    *Source
	in     *input
	groups []thriftValue    // still to open
	from   []*parquetColumn // as in Source.lay

	left int64 // rows of the open group still to come
	rows int64 // read from the file, with those left out
}

var (
	errDamaged = errors.New("the data are damaged")
	encrypted  = problem{"the file is encrypted", "write it without encryption"}
)

// openParquet reads the footer and binds the columns.
func openParquet(src *Source, in *input) (fileReader, *Reject) {
	p := &parquetFile{src: src, in: in}
	var footer thriftValue
	if err := damage(func() { footer = in.footer() }); err != nil {
		return nil, unreadable(0, err)
	}
	p.groups = footer.field(4).list
	return p, p.bind(footer.field(2).list)
}

// at reads n bytes from a place in the file.
func (in *input) at(n, at int64) packed {
	b := make(packed, n)
	_, err := in.file.ReadAt(b, at)
	refuse(err != nil, err)
	return b
}

// footer reads the FileMetaData of parquet.thrift at the end of the file.
func (in *input) footer() thriftValue {
	size := in.info.Size()
	refuse(size < 12, errors.New("the file is too short"))
	tail := in.at(8, size-8)
	refuse(string(tail[4:]) == "PARE", encrypted)
	refuse(string(tail[4:]) != "PAR1", errors.New("the file is cut off: it does not end in PAR1"))
	n := int64(binary.LittleEndian.Uint32(tail))
	refuse(n > size-12 || n > maxFooter, fmt.Errorf("the footer is damaged, or larger than %d MiB", maxFooter>>20))
	r := thriftReader{packed: in.at(n, size-8-n)}
	footer := r.structure(0)
	refuse(len(footer.field(2).list) < 2, errDamaged)
	return footer
}

// bind matches the columns of the file with the catalogue. The schema lists
// every column behind the group it is in; the first entry is the root.
func (p *parquetFile) bind(schema []thriftValue) *Reject {
	var headers []string
	leaf := 0
	for at := 1; at < len(schema); {
		top := schema[at]
		if top.field(5).n == 0 && top.field(3).n < 2 { // no children, not repeated
			kind := parquet.Type(top.field(1).n)
			headers = append(headers, string(top.field(4).b))
			p.from = append(p.from, &parquetColumn{p: p, leaf: leaf, kind: kind, width: max(0, int(top.field(2).n)),
				optional: top.field(3).n == 1, meaning: meaningOf(top)})
			at, leaf = at+1, leaf+1
			continue
		}
		p.src.note("column %q is nested, does not fit in a cell and is left out", top.field(4).b)
		for open := int64(1); open > 0 && at < len(schema); at++ {
			children := schema[at].field(5).n
			if open += children - 1; children == 0 {
				leaf++
			}
		}
	}
	return p.src.bind(headers, ',')
}

func unreadable(row int64, err error) *Reject {
	reason, fix := fmt.Sprintf("the Parquet file cannot be read: %v", err), "export the file again, and compare its size with the original"
	if row > 0 {
		reason = fmt.Sprintf("the Parquet file cannot be read from row %d on: %v", row, err)
	}
	if p := (problem{}); errors.As(err, &p) { // a feature of the format that is not known here
		fix = p.fix
	}
	return whole(row, reason, fix)
}

func (p *parquetFile) row(b *gathering) (*Reject, bool) {
	at, size, long := 0, 0, false
	err := damage(func() {
		for p.left == 0 && len(p.groups) > 0 {
			group := p.groups[0]
			p.groups, p.left = p.groups[1:], group.field(3).n
			for at = range p.from {
				if !p.src.lay.withheld[at] {
					p.from[at].open(group)
				}
			}
		}
		for at = 0; at < len(p.from) && p.left > 0; at++ {
			before := len(b.data)
			if !p.src.lay.withheld[at] {
				b.data = p.from[at].cell(b.data)
			}
			if n := len(b.data) - before; size+n <= p.src.opt.MaxRecord {
				size += n
			} else { // the other columns go on to the next row, in bounds
				b.data, long = b.data[:before], true
			}
			b.end()
		}
	})
	switch {
	case err != nil:
		b.undo()
		return unreadable(p.rows+1, fmt.Errorf("column %q: %w", p.src.lay.names[at], err)), false
	case p.left == 0:
		return nil, false
	}
	p.left--
	p.rows++
	if long {
		b.leaveOut(p.rows, "", "", b.id(), fmt.Sprintf("the row is longer than %d bytes", p.src.opt.MaxRecord), "shorten the cells, or raise max_record_bytes in the configuration (input)")
	} else {
		b.keep(p.rows, size, "not valid UTF-8")
	}
	return nil, true
}

// parquetColumn reads the values of one column as text.
type parquetColumn struct {
	p        *parquetFile
	leaf     int
	kind     parquet.Type
	width    int // of fixed-length values
	optional bool
	meaning  meaning

	compression compress.Compression
	at, end     int64 // pages still to come, in the file
	rows        int64 // values still to come in the pages after this one
	dict        []value
	dictBytes   int64
	page
}

type page struct {
	left  int64        // values still to come
	bytes int64        // that it takes
	given *hybrid      // 1 where a value is there; nil where all are
	next  func() value // of the values that are there
}

// live is how many bytes the open pages take.
func (p *parquetFile) live() (n int64) {
	for _, c := range p.from {
		n += c.bytes + c.dictBytes
	}
	return n
}

// open points a column at its pages in a row group: a RowGroup of parquet.thrift.
func (c *parquetColumn) open(group thriftValue) {
	chunks, rows, size := group.field(1).list, group.field(3).n, c.p.in.info.Size()
	if rows == 0 { // there may be no pages
		return
	}
	refuse(c.leaf >= len(chunks), errDamaged)
	chunk := chunks[c.leaf]
	meta := chunk.field(3)
	c.at = meta.field(9).n
	if d := meta.field(11).n; d > 0 && d < c.at {
		c.at = d
	}
	length := meta.field(7).n
	c.compression = compress.Compression(meta.field(4).n)
	refuse(len(chunk.field(8).list) > 0, encrypted)
	refuse(c.at < 4 || min(length, rows) < 0 || c.at > size || length > size-c.at, errDamaged)
	refuse(meta.field(5).n != rows || parquet.Type(meta.field(1).n) != c.kind, errDamaged)
	c.end, c.rows = c.at+length, rows
	c.page, c.dict, c.dictBytes = page{}, nil, 0
}

// cell appends the text of the next value; null is the empty cell.
func (c *parquetColumn) cell(dst []byte) []byte {
	for c.left == 0 {
		c.nextPage()
	}
	c.left--
	if c.given != nil && c.given.next() == 0 {
		return dst
	}
	return c.text(dst, c.next())
}
