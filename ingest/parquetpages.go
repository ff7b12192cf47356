package ingest

import (
	"bytes"
	"compress/gzip"
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
	maxFooter = 16 << 20
	maxThrift = 4 << 20 // values in a footer or a page header
)

var errTooOpen = fmt.Errorf("the open pages of all columns take more than %d MiB", maxLive>>20)

// byteStreamSplit is an encoding that the library has no name for.
const byteStreamSplit parquet.Encoding = 9

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
		return errTooOpen
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
			if h.levelEncoding != parquet.Encodings.RLE {
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
	c.p.live += h.values*valueSize - c.dictBytes
	c.dict, c.dictBytes = nil, c.bytes+h.values*valueSize
	c.bytes = 0 // stays open after the page is closed
	if c.p.live > maxLive {
		return errTooOpen
	}
	next := c.plain(body)
	for range h.values {
		v, err := next()
		if err != nil {
			return err
		}
		c.dict = append(c.dict, v)
	}
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
	case compress.Codecs.Gzip, compress.Codecs.Brotli:
		r := io.Reader(bytes.NewReader(src))
		if kind == compress.Codecs.Gzip {
			r, err = gzip.NewReader(r)
		} else if codec, err := compress.GetCodec(kind); err == nil {
			r = codec.NewReader(r)
		}
		if err == nil {
			out = make([]byte, size)
			_, err = io.ReadFull(r, out)
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
	encoding       parquet.Encoding
	levelEncoding  parquet.Encoding // of definition levels in a V1 page
	defLen, repLen int64            // V2
	plain          bool             // V2 pages may stand uncompressed
}

func parsePageHeader(b []byte) (h pageHeader, n int, err error) {
	r := thriftReader{b: b}
	top := r.structure(0)
	if r.bad {
		return h, 0, errDamaged
	}
	v1, dict, v2 := top.field(5), top.field(7), top.field(8)
	h = pageHeader{kind: top.field(1).n, raw: top.field(2).n, packed: top.field(3).n}
	switch h.kind {
	case pageData:
		h.values, h.encoding, h.levelEncoding = v1.field(1).n, v1.encoding(2), v1.encoding(3)
	case pageDictionary:
		h.values = dict.field(1).n
	case pageDataV2:
		h.values, h.encoding, h.defLen, h.repLen = v2.field(1).n, v2.encoding(4), v2.field(5).n, v2.field(6).n
		h.plain = v2.field(7).said && v2.field(7).n == 0
	}
	return h, len(b) - len(r.b), nil
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
	case h.kind == pageDictionary && h.values > h.raw:
		return errors.New("a dictionary claims more values than it has bytes")
	case (h.kind == pageData || h.kind == pageDataV2) && h.values > rows:
		return errors.New("a page claims more values than there are rows")
	case h.defLen > h.packed || h.repLen > h.packed-h.defLen || h.defLen+h.repLen > h.raw:
		return errors.New("a page claims levels larger than itself")
	}
	return nil
}

// thriftValue is a value of Thrift's compact protocol: a number or a boolean in
// n, text in b, the elements of a list or the fields of a structure in list.
type thriftValue struct {
	id   int16 // of a field
	said bool
	n    int64
	b    []byte
	list []thriftValue
}

// field returns a field of a structure, the zero value if it is not there.
func (v thriftValue) field(id int16) thriftValue {
	for _, f := range v.list {
		if f.id == id {
			return f
		}
	}
	return thriftValue{}
}

func (v thriftValue) encoding(id int16) parquet.Encoding { return parquet.Encoding(v.field(id).n) }

// thriftReader reads the compact protocol of Thrift (Thrift compact protocol
// specification). It takes memory by the bytes that are there, never by a length
// that they claim. What does not fit makes it bad and empty, so that every loop
// ends.
type thriftReader struct {
	b    []byte
	bad  bool
	read int // values so far
}

func (r *thriftReader) fail() { r.b, r.bad = nil, true }

// take cuts off n bytes; nil if there are fewer.
func (r *thriftReader) take(n uint64) []byte {
	if n > uint64(len(r.b)) {
		r.fail()
		return nil
	}
	out := r.b[:n]
	r.b = r.b[n:]
	return out
}

func (r *thriftReader) byte() byte {
	if b := r.take(1); len(b) == 1 {
		return b[0]
	}
	return 0
}

func (r *thriftReader) uvarint() uint64 {
	v, n := binary.Uvarint(r.b)
	if n <= 0 {
		r.fail()
		return 0
	}
	r.b = r.b[n:]
	return v
}

func (r *thriftReader) varint() int64 {
	v := r.uvarint()
	return int64(v>>1) ^ -int64(v&1)
}

// structure reads one structure with its stop byte.
func (r *thriftReader) structure(depth int) (out thriftValue) {
	if depth > 32 {
		r.fail()
	}
	for id := int16(0); !r.bad; {
		h := r.byte()
		if h == 0 {
			break
		}
		if r.read++; r.read > maxThrift {
			r.fail()
		}
		if delta := h >> 4; delta != 0 {
			id += int16(delta)
		} else {
			id = int16(r.varint())
		}
		f := thriftValue{n: 2 - int64(h&0x0f)} // a boolean field holds its value in the type
		if f.n != 0 && f.n != 1 {
			f = r.value(h&0x0f, depth)
		}
		f.id, f.said = id, true
		out.list = append(out.list, f)
	}
	return out
}

func (r *thriftReader) value(kind byte, depth int) (out thriftValue) {
	switch kind {
	case 1, 2, 3: // booleans in lists, bytes
		out.n = int64(r.byte())
	case 4, 5, 6:
		out.n = r.varint()
	case 7:
		r.take(8)
	case 8:
		out.b = r.take(r.uvarint())
	case 9, 10:
		h := r.byte()
		n := uint64(h >> 4)
		if n == 15 {
			n = r.uvarint()
		}
		for ; n > 0 && !r.bad; n-- {
			if r.read++; r.read > maxThrift {
				r.fail()
			}
			out.list = append(out.list, r.value(h&0x0f, depth))
		}
	case 11: // a map, which none of the fields that are read is
		if n := r.uvarint(); n > 0 {
			for kv := r.byte(); n > 0 && !r.bad; n-- {
				r.value(kv>>4, depth)
				r.value(kv&0x0f, depth)
			}
		}
	case 12:
		return r.structure(depth + 1)
	default:
		r.fail()
	}
	return out
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
