package ingest

import (
	"bytes"
	"slices"
	"testing"

	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/compress"
)

// A megabyte of zeros shrinks to a few bytes; a page that promises a thousand
// must not be given the rest.
func TestCodecsKeepToThePromise(t *testing.T) {
	zeros := make([]byte, 1<<20)
	for name, kind := range map[string]compress.Compression{"snappy": compress.Codecs.Snappy, "zstd": compress.Codecs.Zstd, "gzip": compress.Codecs.Gzip, "brotli": compress.Codecs.Brotli} {
		t.Run(name, func(t *testing.T) {
			c, err := compress.GetCodec(kind)
			if err != nil {
				t.Fatal(err)
			}
			small := c.Encode(nil, zeros)
			var out []byte
			if err := damage(func() { out = unpack(kind, small, 1000) }); err == nil && cap(out) > 1000 {
				t.Errorf("decoded to %d bytes", cap(out))
			}
			if err := damage(func() { out = unpack(kind, small, int64(len(zeros))) }); err != nil || !bytes.Equal(out, zeros) {
				t.Errorf("an honest page was not decoded: %v", err)
			}
		})
	}
}

// A structure with a list that claims
// more elements than bytes follow must be refused before anything is built.
func TestCompactReaderRefusesClaims(t *testing.T) {
	for name, b := range map[string][]byte{
		"list longer than the data":  {0x19, 0xf8, 0xff, 0xff, 0xff, 0x0f, 0x00},
		"text longer than the data":  {0x18, 0xff, 0x7f, 'a', 0x00},
		"map longer than the data":   {0x1b, 0xff, 0xff, 0x03, 0x88, 0x00},
		"no stop":                    {0x15, 0x02},
		"structures without end":     bytes.Repeat([]byte{0x1c}, 10_000),
		"lists without end":          bytes.Repeat([]byte{0x19}, 10_000_000),
		"varint without end":         {0x15, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x00},
		"a type that does not exist": {0x1e, 0x00},
	} {
		if err := damage(func() { (&thriftReader{packed: b}).pageHeader() }); err != errDamaged {
			t.Errorf("%s: %v", name, err)
		}
	}
	r := thriftReader{packed: []byte{0x15, 0x00, 0x15, 0x50, 0x15, 0x28, 0x2c, 0x15, 0x14, 0x15, 0x00, 0x15, 0x06, 0x15, 0x06, 0x00, 0x00, 0xff}}
	h := r.pageHeader()
	if len(r.packed) != 1 || h.kind != 0 || h.raw != 40 || h.packed != 20 || h.values != 10 || h.levelEncoding != parquet.Encodings.RLE {
		t.Errorf("%+v %d", h, len(r.packed))
	}
}

// A page of 14 bytes that claims 2⁴⁰ delta coded values, and one whose texts claim
// to begin as a text did that was never there, are damage.
func TestDeltaCodedClaims(t *testing.T) {
	head := []byte{0x80, 0x01, 0x04} // 128 values a block, 4 miniblocks
	many := append(bytes.Clone(head), 0x80, 0x80, 0x80, 0x80, 0x80, 0x20, 0x00, 0x00, 0x00, 0x00, 0x00)
	shared := slices.Concat(head, []byte{0x01, 0x14}, head, []byte{0x01, 0x02, 'a'}) // ten bytes in common
	for name, c := range map[string]struct {
		body     []byte
		encoding parquet.Encoding
	}{
		"numbers":           {many, parquet.Encodings.DeltaBinaryPacked},
		"texts":             {many, parquet.Encodings.DeltaLengthByteArray},
		"texts in common":   {many, parquet.Encodings.DeltaByteArray},
		"a beginning of no": {shared, parquet.Encodings.DeltaByteArray},
	} {
		column := &parquetColumn{kind: parquet.Types.ByteArray}
		if err := damage(func() { column.values(c.body, pageHeader{encoding: c.encoding})() }); err != errDamaged {
			t.Errorf("%s: %v", name, err)
		}
	}
}
