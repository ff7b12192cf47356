package ingest

import (
	"encoding/binary"
	"errors"
)

// compactReader walks Thrift's compact protocol without building anything, to
// hold the sizes that a Parquet file claims against the bytes that are there,
// before a decoder allocates by them. (Thrift compact protocol specification.)
type compactReader struct {
	b []byte
	i int
	// onInt is told every integer and boolean, with the field it stands in and
	// the field of the structure around it (0 at the top, -1 further down).
	onInt func(parent, field int16, v int64)
	// onList is told the length of every list.
	onList func(parent, field int16, n int)
}

var errThrift = errors.New("a header is damaged")

func (p *compactReader) left() int { return len(p.b) - p.i }

func (p *compactReader) byte() (byte, error) {
	if p.i >= len(p.b) {
		return 0, errThrift
	}
	p.i++
	return p.b[p.i-1], nil
}

func (p *compactReader) uvarint() (uint64, error) {
	v, n := binary.Uvarint(p.b[p.i:])
	if n <= 0 {
		return 0, errThrift
	}
	p.i += n
	return v, nil
}

func (p *compactReader) varint() (int64, error) {
	v, err := p.uvarint()
	return int64(v>>1) ^ -int64(v&1), err
}

func (p *compactReader) skip(n uint64) error {
	if n > uint64(p.left()) {
		return errThrift
	}
	p.i += int(n)
	return nil
}

// structure walks one structure with its stop byte.
func (p *compactReader) structure(depth int, parent int16) error {
	if depth > 32 {
		return errThrift
	}
	var field int16
	for {
		h, err := p.byte()
		if err != nil {
			return err
		}
		kind := h & 0x0f
		if h == 0 {
			return nil
		}
		if delta := h >> 4; delta != 0 {
			field += int16(delta)
		} else {
			id, err := p.varint()
			if err != nil {
				return err
			}
			field = int16(id)
		}
		if kind == 1 || kind == 2 { // a boolean field holds its value in the type
			if p.onInt != nil {
				p.onInt(parent, field, int64(2-kind))
			}
			continue
		}
		if err := p.value(kind, depth, parent, field); err != nil {
			return err
		}
	}
}

func (p *compactReader) value(kind byte, depth int, parent, field int16) error {
	switch kind {
	case 1, 2, 3: // booleans in lists, bytes
		return p.skip(1)
	case 4, 5, 6:
		v, err := p.varint()
		if err == nil && p.onInt != nil {
			p.onInt(parent, field, v)
		}
		return err
	case 7:
		return p.skip(8)
	case 8:
		n, err := p.uvarint()
		if err != nil {
			return err
		}
		return p.skip(n)
	case 9, 10:
		h, err := p.byte()
		if err != nil {
			return err
		}
		n := uint64(h >> 4)
		if n == 15 {
			if n, err = p.uvarint(); err != nil {
				return err
			}
		}
		if n > uint64(p.left()) { // every element takes a byte at least
			return errThrift
		}
		if p.onList != nil {
			p.onList(parent, field, int(n))
		}
		for range n {
			if err := p.value(h&0x0f, depth, parent, field); err != nil {
				return err
			}
		}
		return nil
	case 11:
		n, err := p.uvarint()
		if err != nil || n == 0 {
			return err
		}
		kv, err := p.byte()
		if err != nil || n > uint64(p.left()) {
			return errThrift
		}
		for range n {
			if err := p.value(kv>>4, depth, parent, field); err != nil {
				return err
			}
			if err := p.value(kv&0x0f, depth, parent, field); err != nil {
				return err
			}
		}
		return nil
	case 12:
		if depth > 0 {
			field = -1
		}
		return p.structure(depth+1, field)
	}
	return errThrift
}

// pageHeader is what is needed of a Parquet PageHeader (parquet.thrift).
type pageHeader struct {
	kind             int64 // 0 data, 2 dictionary, 3 data V2
	raw, packed      int64 // bytes without and with compression
	values           int64
	encoding         int64
	levelEncoding    int64 // of definition levels in a V1 page
	defLen, repLen   int64 // V2
	uncompressedData bool  // V2 pages may say so
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
			h.uncompressedData = v == 0
		}
	}}
	err = p.structure(0, 0)
	return h, p.i, err
}
