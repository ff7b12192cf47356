package ingest

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/compress"
	"github.com/klauspost/compress/snappy"
	"github.com/klauspost/compress/zstd"
)

// Limits of what a file may ask for, each well above what writers make:
// screening choices of this tool.
const (
	maxPage   = 128 << 20 // bytes of one data page
	maxDict   = 16 << 20  // bytes of a dictionary
	maxLive   = 512 << 20 // bytes of the open pages of all columns
	maxFooter = 64 << 20
)

// Encodings of parquet.thrift.
const (
	encPlain           = 0
	encPlainDict       = 2
	encRLE             = 3
	encDeltaPacked     = 5
	encDeltaLength     = 6
	encDeltaStrings    = 7
	encRLEDictionary   = 8
	encByteStreamSplit = 9
)

// Kinds of page of parquet.thrift.
const (
	pageData       = 0
	pageIndex      = 1
	pageDictionary = 2
	pageDataV2     = 3
)

// nextPage opens the next page; a dictionary is kept for those after it.
func (c *parquetColumn) nextPage() error {
	c.close()
	if c.rows == 0 || c.at >= c.end {
		return errors.New("pages are missing")
	}
	h, n, err := readPageHeader(c.p.in.file, c.at, c.end)
	if err != nil {
		return err
	}
	c.at += int64(n)
	if err := h.check(c.end-c.at, c.rows); err != nil {
		return err
	}
	at := c.at
	c.at += h.packed
	if h.kind == pageIndex {
		return nil
	}
	c.bytes = h.raw + h.packed
	c.p.live += c.bytes
	if c.p.live > maxLive {
		return fmt.Errorf("the open pages of all columns take more than %d MiB", maxLive>>20)
	}
	packed := make([]byte, h.packed)
	if _, err := c.p.in.file.ReadAt(packed, at); err != nil {
		return err
	}
	levels := packed[:h.repLen+h.defLen]
	body := packed[len(levels):]
	if h.plain {
		c.bytes -= h.packed
		c.p.live -= h.packed
	} else if body, err = unpack(c.compression, body, h.raw-int64(len(levels))); err != nil {
		return err
	}
	if h.kind == pageDictionary {
		return c.keepDictionary(body, h)
	}
	if c.optional {
		if h.kind == pageData {
			if h.levelEncoding != encRLE {
				return unsupported{"the old packing of null markers cannot be read", "write it with a newer program"}
			}
			if levels, body, err = prefixed(body); err != nil {
				return err
			}
		} else {
			levels = levels[h.repLen:]
		}
		c.given = &hybrid{b: levels, width: 1}
	}
	c.left = h.values
	c.rows -= h.values
	c.next, err = c.values(body, h)
	return err
}

// prefixed cuts off data that stand behind their length in four bytes.
func prefixed(b []byte) (head, rest []byte, err error) {
	if len(b) < 4 || uint64(binary.LittleEndian.Uint32(b)) > uint64(len(b)-4) {
		return nil, nil, errDamaged
	}
	n := binary.LittleEndian.Uint32(b)
	return b[4 : 4+n], b[4+n:], nil
}

// keepDictionary reads the values that later pages point to.
func (c *parquetColumn) keepDictionary(body []byte, h pageHeader) error {
	c.p.live -= c.dictBytes
	c.dict, c.dictBytes = nil, c.bytes
	c.bytes = 0 // stays open after the page is closed
	next := c.plain(body)
	for range h.values {
		v, err := next()
		if err != nil {
			return err
		}
		c.dict = append(c.dict, v)
	}
	c.dictBytes += int64(cap(c.dict)) * valueSize
	c.p.live += int64(cap(c.dict)) * valueSize
	return nil
}

var unzstd, _ = zstd.NewReader(nil, zstd.WithDecodeAllCapLimit(true), zstd.WithDecoderConcurrency(1), zstd.WithDecoderMaxWindow(maxPage))

// unpack decompresses a page and never takes more memory than its header
// promised, which was checked.
func unpack(kind compress.Compression, src []byte, size int64) (out []byte, err error) {
	switch kind {
	case compress.Codecs.Uncompressed:
		out = src
	case compress.Codecs.Snappy:
		if n, err := snappy.DecodedLen(src); err != nil || int64(n) != size {
			return nil, errDamaged
		}
		out, err = snappy.Decode(make([]byte, size), src)
	case compress.Codecs.Zstd:
		out, err = unzstd.DecodeAll(src, make([]byte, 0, size))
	default:
		codec, err := compress.GetCodec(kind)
		if err != nil {
			return nil, err
		}
		r := codec.NewReader(bytes.NewReader(src))
		defer r.Close()
		out = make([]byte, size)
		if _, err := io.ReadFull(r, out); err != nil {
			return nil, errDamaged
		}
	}
	if err != nil || int64(len(out)) != size {
		return nil, errDamaged
	}
	return out, nil
}

func readPageHeader(r io.ReaderAt, at, end int64) (h pageHeader, n int, err error) {
	for want := int64(1 << 10); ; want *= 8 {
		buf := make([]byte, min(want, end-at))
		if _, err := r.ReadAt(buf, at); err != nil {
			return h, 0, err
		}
		h, n, err = parsePageHeader(buf)
		if err == nil || int64(len(buf)) == end-at || want > 1<<20 {
			return h, n, err
		}
	}
}

// pageHeader is what is needed of a PageHeader of parquet.thrift.
type pageHeader struct {
	kind           int64
	raw, packed    int64 // bytes without and with compression
	values         int64
	encoding       int64
	levelEncoding  int64 // of definition levels in a V1 page
	defLen, repLen int64 // V2
	plain          bool  // V2 pages may stand uncompressed
}

func parsePageHeader(b []byte) (h pageHeader, n int, err error) {
	h.raw, h.packed = -1, -1
	p := compactReader{b: b, onInt: func(parent, field int16, v int64) {
		switch {
		case parent == 0 && field == 1:
			h.kind = v
		case parent == 0 && field == 2:
			h.raw = v
		case parent == 0 && field == 3:
			h.packed = v
		case (parent == 5 || parent == 7 || parent == 8) && field == 1:
			h.values = v
		case (parent == 5 || parent == 7) && field == 2, parent == 8 && field == 4:
			h.encoding = v
		case parent == 5 && field == 3:
			h.levelEncoding = v
		case parent == 8 && field == 5:
			h.defLen = v
		case parent == 8 && field == 6:
			h.repLen = v
		case parent == 8 && field == 7:
			h.plain = v == 0
		}
	}}
	p.structure(0, 0)
	if p.bad {
		return h, 0, errDamaged
	}
	return h, len(b) - len(p.b), nil
}

// check holds a page header against the bytes left in its column and the rows
// still to come.
func (h pageHeader) check(room, rows int64) error {
	switch {
	case h.raw < 0 || h.packed < 0 || h.values < 0 || h.defLen < 0 || h.repLen < 0 || h.kind < 0 || h.kind > pageDataV2:
		return errDamaged
	case h.packed > room:
		return errors.New("a page reaches beyond its column")
	case h.raw > maxPage || h.packed > maxPage:
		return fmt.Errorf("a page is larger than %d MiB", maxPage>>20)
	case h.plain && h.raw != h.packed:
		return errors.New("a page without compression claims two sizes")
	case h.kind == pageDictionary && h.raw > maxDict:
		return fmt.Errorf("a dictionary is larger than %d MiB", maxDict>>20)
	case (h.kind == pageData || h.kind == pageDataV2) && h.values > rows:
		return errors.New("a page claims more values than there are rows")
	case h.defLen > h.packed || h.repLen > h.packed-h.defLen || h.defLen+h.repLen > h.raw:
		return errors.New("a page claims levels larger than itself")
	}
	return nil
}

// inspectFooter checks the file's end before the library parses it.
func inspectFooter(r io.ReaderAt, size int64) error {
	tail := make([]byte, 8)
	if size < 12 {
		return errors.New("the file is too short")
	}
	if _, err := r.ReadAt(tail, size-8); err != nil {
		return err
	}
	switch string(tail[4:]) {
	case "PAR1":
	case "PARE":
		return encrypted
	default:
		return errors.New("the file is cut off: it does not end in PAR1")
	}
	n := int64(binary.LittleEndian.Uint32(tail))
	if n > size-12 || n > maxFooter {
		return errors.New("the footer claims to be larger than the file, or is too large")
	}
	footer := make([]byte, n)
	if _, err := r.ReadAt(footer, size-8-n); err != nil {
		return err
	}
	fields := 0
	p := compactReader{b: footer, onList: func(parent, field int16, n int) {
		if parent == 0 && field == 2 {
			fields = n
		}
	}}
	p.structure(0, 0)
	if p.bad {
		return errors.New("the footer is damaged")
	}
	if fields > maxColumns {
		return fmt.Errorf("the file has more than %d columns", maxColumns)
	}
	return nil
}

// compactReader walks Thrift's compact protocol without building anything, to
// hold the sizes that a Parquet file claims against the bytes that are there.
// (Thrift compact protocol specification.) What does not fit makes it bad and
// empty, so that every walk ends.
type compactReader struct {
	b   []byte
	bad bool
	// onInt is told every integer and boolean, with the field it stands in and
	// the field of the structure around it (0 at the top, -1 further down).
	onInt func(parent, field int16, v int64)
	// onList is told the length of every list.
	onList func(parent, field int16, n int)
}

// take cuts off n bytes; nil if there are fewer.
func (p *compactReader) take(n uint64) []byte {
	if n > uint64(len(p.b)) {
		p.b, p.bad = nil, true
		return nil
	}
	out := p.b[:n]
	p.b = p.b[n:]
	return out
}

func (p *compactReader) byte() byte {
	if b := p.take(1); len(b) == 1 {
		return b[0]
	}
	return 0
}

func (p *compactReader) uvarint() uint64 {
	v, n := binary.Uvarint(p.b)
	if n <= 0 {
		p.b, p.bad = nil, true
		return 0
	}
	p.b = p.b[n:]
	return v
}

func (p *compactReader) varint() int64 {
	v := p.uvarint()
	return int64(v>>1) ^ -int64(v&1)
}

// structure walks one structure with its stop byte.
func (p *compactReader) structure(depth int, parent int16) {
	if depth > 32 {
		p.b, p.bad = nil, true
	}
	for field := int16(0); !p.bad; {
		h := p.byte()
		if h == 0 {
			return
		}
		if delta := h >> 4; delta != 0 {
			field += int16(delta)
		} else {
			field = int16(p.varint())
		}
		if kind := h & 0x0f; kind != 1 && kind != 2 {
			p.value(kind, depth, parent, field)
		} else if p.onInt != nil { // a boolean field holds its value in the type
			p.onInt(parent, field, int64(2-kind))
		}
	}
}

func (p *compactReader) value(kind byte, depth int, parent, field int16) {
	switch kind {
	case 1, 2, 3: // booleans in lists, bytes
		p.take(1)
	case 4, 5, 6:
		if v := p.varint(); p.onInt != nil && !p.bad {
			p.onInt(parent, field, v)
		}
	case 7:
		p.take(8)
	case 8:
		p.take(p.uvarint())
	case 9, 10:
		h := p.byte()
		n := uint64(h >> 4)
		if n == 15 {
			n = p.uvarint()
		}
		if n > uint64(len(p.b)) { // every element takes a byte at least
			p.b, p.bad = nil, true
		}
		if p.onList != nil && !p.bad {
			p.onList(parent, field, int(n))
		}
		for ; n > 0 && !p.bad; n-- {
			p.value(h&0x0f, depth, parent, field)
		}
	case 11:
		if n := p.uvarint(); n > 0 {
			for kv := p.byte(); n > 0 && !p.bad; n-- {
				p.value(kv>>4, depth, parent, field)
				p.value(kv&0x0f, depth, parent, field)
			}
		}
	case 12:
		if depth > 0 {
			field = -1
		}
		p.structure(depth+1, field)
	default:
		p.b, p.bad = nil, true
	}
}

// leastWidth is the fewest bytes a plain value of a physical type takes.
func leastWidth(t parquet.Type, width int) int {
	switch t {
	case parquet.Types.Int64, parquet.Types.Double:
		return 8
	case parquet.Types.Int96:
		return 12
	case parquet.Types.FixedLenByteArray:
		return width
	}
	return 4 // numbers, and the length before every text
}
