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
func (c *parquetColumn) values(body []byte, h pageHeader) (func() (value, error), error) {
	switch h.encoding {
	case parquet.Encodings.Plain:
		return c.plain(body), nil
	case parquet.Encodings.PlainDict, parquet.Encodings.RLEDict:
		if len(body) == 0 { // every value is null
			return c.plain(nil), nil
		}
		if body[0] > 32 {
			return nil, errDamaged
		}
		index := &hybrid{b: body[1:], width: int(body[0])}
		return func() (value, error) {
			i, err := index.next()
			if err != nil || i >= uint64(len(c.dict)) {
				return value{}, errDamaged
			}
			return c.dict[i], nil
		}, nil
	case parquet.Encodings.RLE:
		bits, _, err := prefixed(body)
		if c.kind != parquet.Types.Boolean || err != nil {
			return nil, errDamaged
		}
		flags := &hybrid{b: bits, width: 1}
		return func() (value, error) {
			n, err := flags.next()
			return value{n: int64(n)}, err
		}, nil
	case parquet.Encodings.DeltaBinaryPacked:
		d, _, err := newDelta(body)
		return func() (value, error) {
			n, err := d.next()
			if c.kind == parquet.Types.Int32 {
				n = int64(int32(n))
			}
			return value{n: n}, err
		}, err
	case parquet.Encodings.DeltaLengthByteArray, parquet.Encodings.DeltaByteArray:
		return deltaStrings(body, h.encoding == parquet.Encodings.DeltaByteArray)
	case byteStreamSplit:
		width := leastWidth(c.kind, c.width)
		if width == 0 || len(body)%width != 0 {
			return nil, errDamaged
		}
		n, i, buf := len(body)/width, -1, make([]byte, width)
		return func() (value, error) {
			if i++; i >= n {
				return value{}, errDamaged
			}
			for k := range buf {
				buf[k] = body[k*n+i]
			}
			return c.plain(buf)()
		}, nil
	}
	return nil, unsupported{fmt.Sprintf("encoding number %d of the format cannot be read", h.encoding), "write plain or dictionary pages"}
}

// plain reads values that stand one behind the other.
func (c *parquetColumn) plain(b []byte) func() (value, error) {
	if c.kind == parquet.Types.Boolean {
		i := uint64(0)
		return func() (value, error) {
			if i >= 8*uint64(len(b)) {
				return value{}, errDamaged
			}
			i++
			return value{n: int64(bitsAt(b, i-1, 1))}, nil
		}
	}
	width := leastWidth(c.kind, c.width)
	return func() (v value, err error) {
		n := width
		if c.kind == parquet.Types.ByteArray {
			v.b, b, err = prefixed(b)
			return v, err
		}
		if len(b) < n {
			return v, errDamaged
		}
		v.b, b = b[:n], b[n:]
		switch c.kind {
		case parquet.Types.Int32, parquet.Types.Float:
			return value{n: int64(int32(binary.LittleEndian.Uint32(v.b)))}, nil
		case parquet.Types.Int64, parquet.Types.Double:
			return value{n: int64(binary.LittleEndian.Uint64(v.b))}, nil
		}
		return v, nil
	}
}

// bitsAt reads a number of up to 64 bits, least significant first.
func bitsAt(b []byte, at uint64, width int) (v uint64) {
	for k := range uint64(width) {
		v |= uint64(b[(at+k)/8]>>((at+k)%8)&1) << k
	}
	return v
}

// hybrid reads numbers in runs of equal ones and in packed groups of eight.
type hybrid struct {
	b      []byte
	width  int
	left   uint64 // of the run
	same   bool
	value  uint64
	packed []byte
	at     uint64 // bits of packed that were read
}

func (h *hybrid) next() (uint64, error) {
	for h.left == 0 {
		head, n := binary.Uvarint(h.b)
		if n <= 0 {
			return 0, errDamaged
		}
		h.b = h.b[n:]
		h.left, h.same = head>>1, head&1 == 0
		take := uint64(h.width+7) / 8
		if !h.same {
			// The last group may be cut where its values end.
			take = min(h.left, uint64(len(h.b))) * uint64(h.width)
			h.left *= 8
			take = min(take, uint64(len(h.b)))
			h.packed, h.at = h.b[:take], 0
		} else if take > uint64(len(h.b)) {
			return 0, errDamaged
		} else {
			h.value = bitsAt(h.b[:take], 0, h.width)
		}
		h.b = h.b[take:]
	}
	h.left--
	if h.same {
		return h.value, nil
	}
	if h.at += uint64(h.width); h.at > 8*uint64(len(h.packed)) {
		return 0, errDamaged
	}
	return bitsAt(h.packed, h.at-uint64(h.width), h.width), nil
}

// delta reads numbers of which each is the one before and a difference.
type delta struct {
	p      thriftReader
	block  uint64 // values in a block
	minis  uint64 // miniblocks in a block
	left   uint64 // values still to come
	last   int64
	base   int64  // least difference of the block
	widths []byte // of the miniblocks still to come
	packed []byte // of the miniblock
	width  int
	at     uint64 // values of the miniblock that were read
}

// newDelta reads the head of delta coded numbers and returns what follows them.
func newDelta(b []byte) (d *delta, rest []byte, err error) {
	d = &delta{p: thriftReader{b: b}}
	d.block, d.minis = d.p.uvarint(), d.p.uvarint()
	total := d.p.uvarint()
	d.last = d.p.varint()
	if d.p.bad || d.block == 0 || d.block > 1<<20 || d.minis == 0 || d.minis > d.block || d.block%d.minis != 0 || d.block/d.minis%8 != 0 {
		return nil, nil, errDamaged
	}
	d.left = total
	d.at = d.block / d.minis
	end := *d
	for end.left = total; end.left > 1 && !end.p.bad; {
		end.miniblock()
		end.left -= min(end.left-1, end.block/end.minis)
	}
	if end.p.bad {
		return nil, nil, errDamaged
	}
	return d, end.p.b, nil
}

// miniblock opens the next miniblock, and the next block before it if need be.
func (d *delta) miniblock() {
	if len(d.widths) == 0 {
		d.base = d.p.varint()
		d.widths = d.p.take(d.minis)
	}
	if d.p.bad || d.widths[0] > 64 {
		d.p.bad = true
		return
	}
	d.width, d.widths, d.at = int(d.widths[0]), d.widths[1:], 0
	d.packed = d.p.take(d.block / d.minis * uint64(d.width) / 8)
}

func (d *delta) next() (int64, error) {
	if d.left == 0 {
		return 0, errDamaged
	}
	now := d.last
	if d.left--; d.left > 0 {
		if d.at == d.block/d.minis {
			if d.miniblock(); d.p.bad {
				return 0, errDamaged
			}
		}
		d.last += d.base + int64(bitsAt(d.packed, d.at*uint64(d.width), d.width))
		d.at++
	}
	return now, nil
}

// deltaStrings reads texts whose lengths, and whose lengths in common with the
// text before if shared is set, stand before all of them.
func deltaStrings(body []byte, shared bool) (func() (value, error), error) {
	var common *delta
	var err error
	if shared {
		if common, body, err = newDelta(body); err != nil {
			return nil, err
		}
	}
	lengths, body, err := newDelta(body)
	var last []byte
	return func() (value, error) {
		keep := int64(0)
		n, err := lengths.next()
		if shared && err == nil {
			keep, err = common.next()
		}
		if err != nil || n < 0 || n > int64(len(body)) || keep < 0 || keep > int64(len(last)) {
			return value{}, errDamaged
		}
		last = append(last[:keep:cap(last)], body[:n]...)
		body = body[n:]
		return value{b: last}, nil
	}, err
}

// textOf returns how a value of a column is written in a cell, nil for bytes
// that are text. What the values mean is in the LogicalType of the column
// (parquet.thrift), in files of older writers in its ConvertedType.
func textOf(kind parquet.Type, e thriftValue) func(dst []byte, v value) []byte {
	const (
		text, decimal, date, clock, moment, integer = 1, 5, 6, 7, 8, 10 // LogicalType
	)
	var is int16
	var how thriftValue
	if l := e.field(10).list; len(l) > 0 {
		is, how = l[0].id, l[0]
	}
	scale, unit, utc, unsigned := how.field(1).n, int64(0), how.field(1).n == 1, is == integer && how.field(2).n == 0
	if u := how.field(2).list; len(u) > 0 {
		unit = []int64{1e3, 1e6, 1e9}[min(max(u[0].id, 1), 3)-1]
	}
	if old := e.field(6); is == 0 && old.said {
		c := map[int64]struct {
			is   int16
			unit int64
		}{0: {is: text}, 5: {is: decimal}, 6: {is: date}, 7: {clock, 1e3}, 8: {clock, 1e6}, 9: {moment, 1e3}, 10: {moment, 1e6}}[old.n]
		is, unit, scale, utc, unsigned = c.is, c.unit, e.field(7).n, true, old.n >= 11 && old.n <= 14
	}
	layout := map[int16]string{clock: "15:04:05.999999999", moment: "2006-01-02T15:04:05.999999999"}[is]
	if is == moment && utc {
		layout += "Z"
	}
	switch {
	case is == text:
		return nil
	case is == decimal:
		return func(dst []byte, v value) []byte {
			x := big.NewInt(v.n)
			if v.b != nil {
				x.SetBytes(v.b)
				if len(v.b) > 0 && v.b[0] >= 0x80 { // two's complement
					x.Sub(x, new(big.Int).Lsh(big.NewInt(1), 8*uint(len(v.b))))
				}
			}
			one := new(big.Int).Exp(big.NewInt(10), big.NewInt(min(max(scale, 0), 100)), nil)
			return append(dst, new(big.Rat).SetFrac(x, one).FloatString(int(min(max(scale, 0), 100)))...)
		}
	case is == date:
		return func(dst []byte, v value) []byte {
			return time.Unix(v.n*86400, 0).UTC().AppendFormat(dst, time.DateOnly)
		}
	case layout != "" && unit > 0:
		return func(dst []byte, v value) []byte {
			return time.Unix(v.n/unit, v.n%unit*(1e9/unit)).UTC().AppendFormat(dst, layout)
		}
	case unsigned:
		mask := uint64(math.MaxUint64)
		if kind == parquet.Types.Int32 {
			mask = math.MaxUint32
		}
		return func(dst []byte, v value) []byte { return strconv.AppendUint(dst, uint64(v.n)&mask, 10) }
	}
	switch kind {
	case parquet.Types.Boolean:
		return func(dst []byte, v value) []byte { return strconv.AppendBool(dst, v.n != 0) }
	case parquet.Types.Float:
		return func(dst []byte, v value) []byte {
			return appendFloat(dst, float64(math.Float32frombits(uint32(v.n))), 32)
		}
	case parquet.Types.Double:
		return func(dst []byte, v value) []byte { return appendFloat(dst, math.Float64frombits(uint64(v.n)), 64) }
	case parquet.Types.Int96: // nanoseconds of the day and the Julian day; 2440588 is 1970-01-01
		return func(dst []byte, v value) []byte {
			if len(v.b) < 12 {
				return dst // in an encoding that is not for it
			}
			ns, day := int64(binary.LittleEndian.Uint64(v.b)), int64(binary.LittleEndian.Uint32(v.b[8:]))
			return time.Unix((day-2440588)*86400, 0).Add(time.Duration(ns)).UTC().AppendFormat(dst, "2006-01-02T15:04:05.999999999")
		}
	case parquet.Types.ByteArray, parquet.Types.FixedLenByteArray:
		return func(dst []byte, v value) []byte { // bytes of no stated meaning
			if wholesome(v.b) {
				return append(dst, v.b...)
			}
			return hex.AppendEncode(dst, v.b)
		}
	}
	return func(dst []byte, v value) []byte { return strconv.AppendInt(dst, v.n, 10) }
}

// appendFloat writes the shortest text that reads back the same, without an
// exponent unless the number is very large or very small.
func appendFloat(dst []byte, v float64, bits int) []byte {
	if a := math.Abs(v); a != 0 && (a < 1e-6 || a >= 1e21) {
		return strconv.AppendFloat(dst, v, 'g', -1, bits)
	}
	return strconv.AppendFloat(dst, v, 'f', -1, bits)
}
