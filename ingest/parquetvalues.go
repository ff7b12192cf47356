package ingest

import (
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"math"
	"math/big"
	"strconv"
	"time"
	"unsafe"

	"github.com/apache/arrow/go/v17/parquet"
)

// value is one value of a column: a number of any kind in n, as its bits, or
// bytes that are valid until the next value is read.
type value struct {
	n int64
	b []byte
}

const valueSize = int64(unsafe.Sizeof(value{}))

// values returns how to read the values of a page, one after the other.
// (Parquet format, Encodings.md.)
func (c *parquetColumn) values(body packed, h pageHeader) func() value {
	switch h.encoding {
	case parquet.Encodings.Plain:
		return c.plain(body)
	case parquet.Encodings.PlainDict, parquet.Encodings.RLEDict:
		if len(body) == 0 { // every value is null
			return c.plain(nil)
		}
		index := &hybrid{width: int(body[0]), b: body[1:]}
		refuse(index.width > 32, errDamaged)
		return func() value {
			i := index.next()
			refuse(i >= uint64(len(c.dict)), errDamaged)
			return c.dict[i]
		}
	case parquet.Encodings.RLE:
		refuse(c.kind != parquet.Types.Boolean, errDamaged)
		flags := &hybrid{b: body.prefixed(), width: 1}
		return func() value { return value{n: int64(flags.next())} }
	case parquet.Encodings.DeltaBinaryPacked:
		d, _ := newDelta(body)
		return func() value {
			n := d.next()
			if c.kind == parquet.Types.Int32 {
				n = int64(int32(n))
			}
			return value{n: n}
		}
	case parquet.Encodings.DeltaLengthByteArray, parquet.Encodings.DeltaByteArray:
		return deltaStrings(body, h.encoding == parquet.Encodings.DeltaByteArray)
	case byteStreamSplit:
		width := leastWidth(c.kind, c.width)
		refuse(width == 0 || len(body)%width != 0, errDamaged)
		n, i, buf := len(body)/width, -1, make(packed, width)
		return func() value {
			i++
			refuse(i >= n, errDamaged)
			for k := range buf {
				buf[k] = body[k*n+i]
			}
			return c.plain(buf)()
		}
	}
	panic(problem{fmt.Sprintf("encoding number %d of the format cannot be read", h.encoding), "write plain or dictionary pages"})
}

// plain reads values that stand one behind the other.
func (c *parquetColumn) plain(b packed) func() value {
	at, width := uint64(0), uint64(leastWidth(c.kind, c.width))
	return func() value {
		switch c.kind {
		case parquet.Types.Boolean:
			at++
			return value{n: int64(b.bits(at-1, 1))}
		case parquet.Types.ByteArray:
			return value{b: b.prefixed()}
		case parquet.Types.Int32, parquet.Types.Float:
			return value{n: int64(int32(binary.LittleEndian.Uint32(b.take(width))))}
		case parquet.Types.Int64, parquet.Types.Double:
			return value{n: int64(binary.LittleEndian.Uint64(b.take(width)))}
		}
		return value{b: b.take(width)}
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

// hybrid reads numbers in runs of equal ones and in packed groups of eight.
type hybrid struct {
	b     packed
	width int
	left  uint64 // of the run
	same  bool
	value uint64
	group packed
	at    uint64 // bits of group that were read
}

func (h *hybrid) next() uint64 {
	for h.left == 0 {
		head := h.b.uvarint()
		if h.left, h.same = head>>1, head&1 == 0; h.same {
			h.value = h.b.take(uint64(h.width+7)/8).bits(0, h.width)
			continue
		}
		// The last group may be cut where its values end.
		there := uint64(len(h.b))
		h.group, h.at = h.b.take(min(min(h.left, there)*uint64(h.width), there)), 0
		h.left *= 8
	}
	h.left--
	if h.same {
		return h.value
	}
	h.at += uint64(h.width)
	return h.group.bits(h.at-uint64(h.width), h.width)
}

// delta reads numbers of which each is the one before and a difference.
type delta struct {
	p      packed
	block  uint64 // values in a block
	minis  uint64 // miniblocks in a block
	left   uint64 // values still to come
	last   int64
	base   int64  // least difference of the block
	widths packed // of the miniblocks still to come
	mini   packed // the open miniblock
	width  int
	at     uint64 // values of the miniblock that were read
}

// newDelta reads the head of delta coded numbers and returns what follows them.
func newDelta(b packed) (d *delta, rest packed) {
	d = &delta{p: b}
	d.block, d.minis, d.left, d.last = d.p.uvarint(), d.p.uvarint(), d.p.uvarint(), d.p.varint()
	refuse(d.block == 0 || d.block > 1<<20 || d.minis == 0 || d.minis > d.block || d.block%d.minis != 0 || d.block/d.minis%8 != 0, errDamaged)
	d.at = d.block / d.minis
	end := *d
	for end.left > 1 {
		end.miniblock()
		end.left -= min(end.left-1, end.block/end.minis)
	}
	return d, end.p
}

// miniblock opens the next miniblock, and the next block before it if need be.
func (d *delta) miniblock() {
	if len(d.widths) == 0 {
		d.base = d.p.varint()
		d.widths = d.p.take(d.minis)
	}
	refuse(d.widths[0] > 64, errDamaged)
	d.width, d.widths, d.at = int(d.widths[0]), d.widths[1:], 0
	d.mini = d.p.take(d.block / d.minis * uint64(d.width) / 8)
}

func (d *delta) next() int64 {
	refuse(d.left == 0, errDamaged)
	now := d.last
	if d.left--; d.left > 0 {
		if d.at == d.block/d.minis {
			d.miniblock()
		}
		d.last += d.base + int64(d.mini.bits(d.at*uint64(d.width), d.width))
		d.at++
	}
	return now
}

// deltaStrings reads texts whose lengths, and whose lengths in common with the
// text before if shared is set, stand before all of them.
func deltaStrings(body packed, shared bool) func() value {
	var common *delta
	if shared {
		common, body = newDelta(body)
	}
	lengths, body := newDelta(body)
	var last []byte
	return func() value {
		keep := int64(0)
		if shared {
			keep = common.next()
		}
		refuse(keep < 0 || keep > int64(len(last)), errDamaged)
		last = append(last[:keep:cap(last)], body.take(uint64(lengths.next()))...) // a length below 0 is far too large
		return value{b: last}
	}
}

// meaning says what the values of a column stand for: the LogicalType of
// parquet.thrift, in files of older writers the ConvertedType.
type meaning struct {
	is       int16  // of the constants below, 0 where nothing is said
	scale    int64  // of decimals
	unit     int64  // of times, in a second
	layout   string // of times
	unsigned bool
}

const (
	isText, isDecimal, isDate, isTime, isMoment, isInteger = 1, 5, 6, 7, 8, 10 // LogicalType
)

// meaningOf reads a SchemaElement of parquet.thrift.
func meaningOf(e thriftValue) (m meaning) {
	utc := true
	if l := e.field(10).list; len(l) > 0 {
		how := l[0]
		m = meaning{is: how.id, scale: how.field(1).n, unsigned: how.id == isInteger && how.field(2).n == 0}
		utc = how.field(1).n == 1
		if u := how.field(2).list; len(u) > 0 {
			m.unit = []int64{1e3, 1e6, 1e9}[min(max(u[0].id, 1), 3)-1]
		}
	} else if old := e.field(6); old.id > 0 {
		m = map[int64]meaning{0: {is: isText}, 5: {is: isDecimal}, 6: {is: isDate}, 7: {is: isTime, unit: 1e3}, 8: {is: isTime, unit: 1e6},
			9: {is: isMoment, unit: 1e3}, 10: {is: isMoment, unit: 1e6}}[old.n]
		m.scale, m.unsigned = e.field(7).n, old.n >= 11 && old.n <= 14
	}
	m.layout = map[int16]string{isTime: "15:04:05.999999999", isMoment: "2006-01-02T15:04:05.999999999"}[m.is]
	if m.is == isMoment && utc {
		m.layout += "Z"
	}
	return m
}

// text appends a value as it is written in a cell.
func (c *parquetColumn) text(dst []byte, v value) []byte {
	switch m := c.meaning; {
	case m.is == isText:
		return append(dst, v.b...)
	case m.is == isDecimal:
		x, scale := big.NewInt(v.n), min(max(m.scale, 0), 100)
		if v.b != nil {
			x.SetBytes(v.b)
			if len(v.b) > 0 && v.b[0] >= 0x80 { // two's complement
				x.Sub(x, new(big.Int).Lsh(big.NewInt(1), 8*uint(len(v.b))))
			}
		}
		return append(dst, new(big.Rat).SetFrac(x, new(big.Int).Exp(big.NewInt(10), big.NewInt(scale), nil)).FloatString(int(scale))...)
	case m.is == isDate:
		return time.Unix(v.n*86400, 0).UTC().AppendFormat(dst, time.DateOnly)
	case m.layout != "" && m.unit > 0:
		return time.Unix(v.n/m.unit, v.n%m.unit*(1e9/m.unit)).UTC().AppendFormat(dst, m.layout)
	case m.unsigned && c.kind == parquet.Types.Int32:
		return strconv.AppendUint(dst, uint64(uint32(v.n)), 10)
	case m.unsigned:
		return strconv.AppendUint(dst, uint64(v.n), 10)
	}
	switch c.kind {
	case parquet.Types.Boolean:
		return strconv.AppendBool(dst, v.n != 0)
	case parquet.Types.Float:
		return appendFloat(dst, float64(math.Float32frombits(uint32(v.n))), 32)
	case parquet.Types.Double:
		return appendFloat(dst, math.Float64frombits(uint64(v.n)), 64)
	case parquet.Types.Int96: // nanoseconds of the day and the Julian day; 2440588 is 1970-01-01
		if len(v.b) < 12 {
			return dst // in an encoding that is not for it
		}
		ns, day := int64(binary.LittleEndian.Uint64(v.b)), int64(binary.LittleEndian.Uint32(v.b[8:]))
		return time.Unix((day-2440588)*86400, 0).Add(time.Duration(ns)).UTC().AppendFormat(dst, "2006-01-02T15:04:05.999999999")
	case parquet.Types.ByteArray, parquet.Types.FixedLenByteArray: // bytes of no stated meaning
		if wholesome(v.b) {
			return append(dst, v.b...)
		}
		return hex.AppendEncode(dst, v.b)
	}
	return strconv.AppendInt(dst, v.n, 10)
}

// appendFloat writes the shortest text that reads back the same, without an
// exponent unless the number is very large or very small.
func appendFloat(dst []byte, v float64, bits int) []byte {
	if a := math.Abs(v); a != 0 && (a < 1e-6 || a >= 1e21) {
		return strconv.AppendFloat(dst, v, 'g', -1, bits)
	}
	return strconv.AppendFloat(dst, v, 'f', -1, bits)
}
