package ingest

import (
	"encoding/binary"
	"fmt"
	"runtime"
	"slices"

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
func (c *parquetColumn) nextPage() {
	c.page = page{}
	refuse(c.rows == 0 || c.at >= c.end, errDamaged) // pages are missing
	h := c.pageHeader()
	h.check(c.end-c.at, c.rows)
	at := c.at
	c.at += h.packed
	if h.kind == pageIndex {
		return
	}
	c.bytes = h.raw + h.packed
	if h.kind == pageDictionary {
		c.dict, c.dictBytes, c.bytes = nil, c.bytes+h.values*valueSize, 0
	}
	refuse(c.p.live() > maxLive, fmt.Errorf("the open pages of all columns take more than %d MiB", maxLive>>20))
	body := c.p.in.at(h.packed, at)
	levels := body.take(uint64(h.repLen + h.defLen))[h.repLen:]
	if !h.plain {
		body = unpack(c.compression, body, h.raw-h.repLen-h.defLen)
	}
	if h.kind == pageDictionary {
		next := c.plain(body)
		for range h.values {
			c.dict = append(c.dict, next())
		}
		return
	}
	if c.optional {
		if h.kind == pageData {
			refuse(h.levelEncoding != parquet.Encodings.RLE, problem{"the old packing of null markers cannot be read", "write it with a newer program"})
			levels = body.prefixed()
		}
		c.given = &hybrid{b: levels, width: 1}
	}
	c.left = h.values
	c.rows -= h.values
	c.next = c.values(body, h)
}

var unzstd, _ = zstd.NewReader(nil, zstd.WithDecodeAllCapLimit(true), zstd.WithDecoderConcurrency(1), zstd.WithDecoderMaxWindow(maxPage))

// unpack decompresses a page and never takes more memory than its header
// promised, which was checked.
func unpack(kind compress.Compression, src []byte, size int64) (out []byte) {
	var err error
	switch kind {
	case compress.Codecs.Uncompressed:
		out = src
	case compress.Codecs.Snappy:
		n, _ := snappy.DecodedLen(src)
		refuse(int64(n) != size, errDamaged)
		out, err = snappy.Decode(make([]byte, size), src)
	case compress.Codecs.Zstd:
		out, err = unzstd.DecodeAll(src, make([]byte, 0, size))
	case compress.Codecs.Gzip, compress.Codecs.Brotli:
		codec, _ := compress.GetCodec(kind)
		out = codec.Decode(make([]byte, size), src) // fills what it is given
	default:
		panic(problem{fmt.Sprintf("compression %s cannot be read", kind), "write it without compression or with snappy, gzip, zstd or brotli"})
	}
	refuse(err != nil || int64(len(out)) != size, errDamaged)
	return out
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

// pageHeader reads the header that comes next, from more and more bytes, for it may
// hold texts of the page.
func (c *parquetColumn) pageHeader() (h pageHeader) {
	for want := int64(1 << 10); ; want *= 8 {
		r := thriftReader{packed: c.p.in.at(min(want, c.end-c.at), c.at)}
		whole := len(r.packed)
		err := damage(func() { h = r.pageHeader() })
		if err == nil {
			c.at += int64(whole - len(r.packed))
			return h
		}
		refuse(int64(whole) == c.end-c.at || want > 1<<20, err)
	}
}

func (r *thriftReader) pageHeader() pageHeader {
	top := r.structure(0)
	v1, dict, v2 := top.field(5), top.field(7), top.field(8)
	h := pageHeader{kind: top.field(1).n, raw: top.field(2).n, packed: top.field(3).n}
	switch h.kind {
	case pageData:
		h.values, h.encoding, h.levelEncoding = v1.field(1).n, parquet.Encoding(v1.field(2).n), parquet.Encoding(v1.field(3).n)
	case pageDictionary:
		h.values = dict.field(1).n
	case pageDataV2:
		h.values, h.encoding, h.defLen, h.repLen = v2.field(1).n, parquet.Encoding(v2.field(4).n), v2.field(5).n, v2.field(6).n
		h.plain = v2.field(7).id > 0 && v2.field(7).n == 0
	}
	return h
}

// check holds what a page header claims against the bytes left in its column, the
// rows still to come, and the limits above.
func (h pageHeader) check(room, rows int64) {
	most := rows // values
	if h.kind == pageDictionary {
		most = h.raw // each takes a byte at least
	}
	refuse(h.kind < 0 || h.kind > pageDataV2 || min(h.raw, h.packed, h.values, h.defLen, h.repLen) < 0, errDamaged)
	refuse(h.packed > room || h.values > most || h.plain && h.raw != h.packed, errDamaged)
	refuse(h.defLen > h.packed || h.repLen > min(h.packed, h.raw)-h.defLen, errDamaged)
	refuse(h.raw > maxPage || h.packed > maxPage, fmt.Errorf("a page is larger than %d MiB", maxPage>>20))
	refuse(h.kind == pageDictionary && h.raw > maxDict, fmt.Errorf("a dictionary is larger than %d MiB", maxDict>>20))
}

// damage makes errors of what f panics with. All that reads Parquet panics with why
// it cannot go on, down to taking more bytes than there are: nothing is made by a
// size that the data claim, and no reader of values has errors to hand on.
func damage(f func()) (err error) {
	defer func() {
		r := recover()
		err, _ = r.(error)
		if _, bug := r.(runtime.Error); bug || r != nil && err == nil {
			panic(r)
		}
	}()
	f()
	return nil
}

// refuse ends the reading if something is bad.
func refuse(bad bool, why error) {
	if bad {
		panic(why)
	}
}

// packed is data still to be read.
type packed []byte

// take cuts off n bytes.
func (p *packed) take(n uint64) packed {
	refuse(n > uint64(len(*p)), errDamaged)
	out := (*p)[:n]
	*p = (*p)[n:]
	return out
}

// prefixed cuts off data that stand behind their length in four bytes.
func (p *packed) prefixed() packed { return p.take(uint64(binary.LittleEndian.Uint32(p.take(4)))) }

func (p *packed) uvarint() uint64 {
	v, n := binary.Uvarint(*p)
	refuse(n <= 0, errDamaged)
	p.take(uint64(n))
	return v
}

func (p *packed) varint() int64 {
	v := p.uvarint()
	return int64(v>>1) ^ -int64(v&1)
}

// bits reads a number of up to 64 bits, least significant first.
func (p packed) bits(at uint64, width int) (v uint64) {
	refuse(at+uint64(width) > 8*uint64(len(p)), errDamaged)
	for k := range uint64(width) {
		v |= uint64(p[(at+k)/8]>>((at+k)%8)&1) << k
	}
	return v
}

// thriftValue is a value of Thrift's compact protocol: a number or a boolean in
// n, text in b, the elements of a list or the fields of a structure in list.
type thriftValue struct {
	id   int16 // of a field, 0 where it is not there
	n    int64
	b    []byte
	list []thriftValue
}

// field returns a field of a structure, the zero value if it is not there.
func (v thriftValue) field(id int16) thriftValue {
	return at(v.list, slices.IndexFunc(v.list, func(f thriftValue) bool { return f.id == id }))
}

// thriftReader reads the compact protocol of Thrift (Thrift compact protocol
// specification) but for maps, of which parquet.thrift has none.
type thriftReader struct {
	packed
	read int // values so far
}

// bound ends the reading of too many values, or of values too deep in others.
func (r *thriftReader) bound(depth int) {
	r.read++
	refuse(r.read > maxThrift || depth > 32, errDamaged)
}

// structure reads one structure with its stop byte.
func (r *thriftReader) structure(depth int) (out thriftValue) {
	id := int16(0)
	for h := r.take(1)[0]; h != 0; h = r.take(1)[0] {
		if delta := h >> 4; delta != 0 {
			id += int16(delta)
		} else {
			id = int16(r.varint())
		}
		f := thriftValue{n: 2 - int64(h&0x0f)} // a boolean field holds its value in the type
		if f.n != 0 && f.n != 1 {
			f = r.value(h&0x0f, depth+1)
		}
		f.id = id
		out.list = append(out.list, f)
		r.bound(depth)
	}
	return out
}

func (r *thriftReader) value(kind byte, depth int) (out thriftValue) {
	r.bound(depth)
	switch kind {
	case 1, 2, 3: // booleans in lists, bytes
		out.n = int64(r.take(1)[0])
	case 4, 5, 6:
		out.n = r.varint()
	case 7:
		r.take(8)
	case 8:
		out.b = r.take(r.uvarint())
	case 9, 10:
		h := r.take(1)[0]
		n := uint64(h >> 4)
		if n == 15 {
			n = r.uvarint()
		}
		for range n {
			out.list = append(out.list, r.value(h&0x0f, depth+1))
		}
	case 12:
		return r.structure(depth)
	default:
		panic(errDamaged)
	}
	return out
}
