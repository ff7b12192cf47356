package ingest

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math/bits"

	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/compress"
	"github.com/apache/arrow/go/v17/parquet/metadata"
)

const (
	maxPage   = 128 << 20 // bytes of one data page
	maxDict   = 16 << 20  // bytes of a dictionary; decoded it may take six times that
	maxPages  = 1 << 30   // bytes of the largest pages of all columns of a row group
	maxFooter = 64 << 20
	maxFields = 10000
)

// Encodings of parquet.thrift that can be read.
const (
	encPlain         = 0
	encPlainDict     = 2
	encRLE           = 3
	encDeltaPacked   = 5
	encDeltaLength   = 6
	encDeltaStrings  = 7
	encRLEDictionary = 8
)

// chunkSafety is what inspectChunk found: the library may be let loose on the
// first rows of a column chunk.
type chunkSafety struct {
	rows int64 // rows before the damage
	peak int64 // bytes of the largest data page and the dictionary
	why  error // nil when the chunk is whole
}

// inspectChunk walks the pages of a column chunk and holds every size that the
// library would allocate or loop by against the bytes of the file. maxDef is
// the column's highest definition level.
func inspectChunk(r io.ReaderAt, size int64, col *metadata.ColumnChunkMetaData, rows int64, maxDef int16) (s chunkSafety) {
	at := col.DataPageOffset()
	if d := col.DictionaryPageOffset(); col.HasDictionaryPage() && d > 0 && d < at {
		at = d
	}
	length := col.TotalCompressedSize()
	if at < 4 || length < 0 || at > size || length > size-at {
		s.why = errors.New("a column lies outside the file")
		return s
	}
	if col.NumValues() != rows {
		s.why = fmt.Errorf("a column claims %d values for %d rows", col.NumValues(), rows)
		return s
	}
	codec, err := compress.GetCodec(col.Compression())
	if err != nil {
		s.why = fmt.Errorf("the compression is not supported: %w", err)
		return s
	}
	end := at + length
	dict := int64(-1)
	var dictBytes int64
	for s.rows < rows {
		h, n, err := readPageHeader(r, at, end)
		if err != nil {
			s.why = err
			return s
		}
		at += int64(n)
		if s.why = h.check(end-at, rows-s.rows, col.Compression() == compress.Codecs.Uncompressed, leastWidth(col.Type())); s.why != nil {
			return s
		}
		switch h.kind {
		case 2:
			dict, dictBytes = h.values, h.raw
		case 0, 3:
			if s.why = inspectPage(r, at, h, codec, col.Compression(), dict, maxDef); s.why != nil {
				return s
			}
			s.rows += h.values
		default:
			s.why = errors.New("a page is of an unknown kind")
			return s
		}
		s.peak = max(s.peak, dictBytes+h.raw+h.packed)
		at += h.packed
	}
	return s
}

func readPageHeader(r io.ReaderAt, at, end int64) (h pageHeader, n int, err error) {
	for want := int64(1 << 10); ; want *= 8 {
		buf := make([]byte, min(want, end-at))
		if _, err := r.ReadAt(buf, at); err != nil && err != io.EOF {
			return h, 0, err
		}
		h, n, err = parsePageHeader(buf)
		if err == nil || int64(len(buf)) == end-at || want > 1<<20 {
			return h, n, err
		}
	}
}

// leastWidth is the fewest bytes a plain value of a physical type takes.
func leastWidth(t parquet.Type) int64 {
	switch t {
	case parquet.Types.Int64, parquet.Types.Double:
		return 8
	case parquet.Types.Int96:
		return 12
	case parquet.Types.FixedLenByteArray:
		return 1
	}
	return 4 // numbers, and the length before every text
}

// check holds a page header against the bytes left in its column, the rows
// still to come, and the least width of a value.
func (h pageHeader) check(room, rowsLeft int64, plain bool, width int64) error {
	switch {
	case h.raw < 0 || h.packed < 0 || h.values < 0 || h.defLen < 0 || h.repLen < 0:
		return errThrift
	case h.packed > room:
		return errors.New("a page reaches beyond its column")
	case h.raw > maxPage || h.packed > maxPage:
		return fmt.Errorf("a page is larger than %d MiB", maxPage>>20)
	case (plain || h.uncompressedData) && h.raw != h.packed:
		return errors.New("a page without compression claims two sizes")
	case h.raw == 0 && h.packed > 64:
		return errors.New("a page claims to be empty and is not")
	case h.kind == 2 && h.raw > maxDict:
		return fmt.Errorf("a dictionary is larger than %d MiB", maxDict>>20)
	case h.kind == 2 && h.values > h.raw/width:
		return errors.New("a dictionary claims more values than it has bytes")
	case (h.kind == 0 || h.kind == 3) && h.values > rowsLeft:
		return errors.New("a page claims more values than there are rows")
	case h.kind == 3 && h.defLen+h.repLen > min(h.raw, h.packed):
		return errors.New("a page claims levels larger than itself")
	}
	return nil
}

// inspectPage looks into pages whose content tells the library how much to
// allocate: dictionary indices and delta encodings.
func inspectPage(r io.ReaderAt, at int64, h pageHeader, codec compress.Codec, kind compress.Compression, dict int64, maxDef int16) error {
	switch h.encoding {
	case encPlainDict, encRLEDictionary, encDeltaPacked, encDeltaLength, encDeltaStrings:
	case encPlain, encRLE:
		return nil
	default:
		return fmt.Errorf("encoding number %d of the format is not supported, write plain or dictionary pages", h.encoding)
	}
	packed := make([]byte, h.packed)
	if _, err := r.ReadAt(packed, at); err != nil && err != io.EOF {
		return err
	}
	levels := h.defLen + h.repLen
	body := packed
	if h.kind == 3 {
		body = packed[levels:]
		h.raw -= levels
	}
	if kind != compress.Codecs.Uncompressed && !(h.kind == 3 && h.uncompressedData) {
		out := codec.Decode(make([]byte, h.raw), body)
		if int64(len(out)) != h.raw {
			return errors.New("a page does not have the size it claims")
		}
		body = out
	}
	if h.kind == 0 && maxDef > 0 {
		if h.levelEncoding != encRLE {
			return errors.New("the old packing of null markers is not supported")
		}
		if len(body) < 4 || int64(binary.LittleEndian.Uint32(body)) > int64(len(body)-4) {
			return errors.New("null markers are damaged")
		}
		body = body[4+binary.LittleEndian.Uint32(body):]
	}
	if h.encoding == encPlainDict || h.encoding == encRLEDictionary {
		if dict < 0 {
			return errors.New("a dictionary is missing")
		}
		// The index is as wide as the largest needs to be; one bit is allowed on top.
		if len(body) > 0 && int(body[0]) > bits.Len64(uint64(dict))+1 {
			return errors.New("an index into a dictionary is too wide")
		}
		return nil
	}
	return inspectDelta(body, h.values, h.encoding)
}

// inspectDelta checks the headers of DELTA_BINARY_PACKED data, of which delta
// coded strings hold one or two runs.
func inspectDelta(b []byte, values, encoding int64) error {
	runs := 1
	if encoding == encDeltaStrings {
		runs = 2
	}
	bad := errors.New("delta coded values are damaged")
	p := compactReader{b: b}
	for run := range runs {
		block, err1 := p.uvarint()
		minis, err2 := p.uvarint()
		total, err3 := p.uvarint()
		_, err4 := p.uvarint()
		if err1 != nil || err2 != nil || err3 != nil || err4 != nil || block == 0 || block > 1<<20 ||
			minis == 0 || minis > block || block%minis != 0 || block/minis%8 != 0 || total > uint64(values) {
			return bad
		}
		if run == runs-1 {
			return nil
		}
		for done := uint64(1); done < total; done += block {
			if _, err := p.uvarint(); err != nil || uint64(p.left()) < minis {
				return bad
			}
			widths := p.b[p.i : p.i+int(minis)]
			p.i += int(minis)
			for i, w := range widths {
				if done+uint64(i)*(block/minis) >= total {
					break // unused miniblocks at the end hold no data
				}
				if w > 64 || p.skip(block/minis*uint64(w)/8) != nil {
					return bad
				}
			}
		}
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
		return errors.New("the file is encrypted")
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
	if err := p.structure(0, 0); err != nil {
		return errors.New("the footer is damaged")
	}
	if fields > maxFields {
		return fmt.Errorf("the file has more than %d columns", maxFields)
	}
	return nil
}
