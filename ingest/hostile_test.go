package ingest

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"runtime"
	"strings"
	"testing"

	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/compress"
)

// smallParquet is a file of 60 rows in three row groups.
func smallParquet(t testing.TB, opts ...parquet.WriterProperty) []byte {
	var rows []string
	for i := range 60 {
		rows = append(rows, row(fmt.Sprintf("b%02d", i), []string{"sound", "worn", ""}[i%3], "note"))
	}
	h, cells := splitRows(table(requiredHeader+",rainwater_goods,remark", rows...))
	return parquetBytes(t, textRecord(h, cells), 20, opts...)
}

var hostileLayouts = map[string][]parquet.WriterProperty{
	"dictionary snappy": {parquet.WithCompression(compress.Codecs.Snappy)},
	"plain":             {parquet.WithDictionaryDefault(false)},
	"page v2 zstd":      {parquet.WithDataPageVersion(parquet.DataPageV2), parquet.WithCompression(compress.Codecs.Zstd)},
	"delta":             {parquet.WithDictionaryDefault(false), parquet.WithEncoding(parquet.Encodings.DeltaByteArray)},
	"gzip small pages":  {parquet.WithCompression(compress.Codecs.Gzip), parquet.WithDataPageSize(64)},
}

// readDamaged reads a file that may be broken in any way. It fails the test if
// a row appears out of order, or if what is missing is not reported.
func readDamaged(t *testing.T, path, what string, rows int) (rejects []Reject) {
	t.Helper()
	src, err := Open([]string{path}, testOptions)
	if err != nil {
		t.Fatal(err)
	}
	seen := int64(0)
	whole := false
	for {
		b, err := src.Next(context.Background())
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		n := int64(len(b.lines))
		for _, r := range b.rejects {
			if !r.Whole {
				n++
			}
		}
		good, bad := b.Decode()
		for _, g := range good {
			if g.Line <= seen || g.Line > seen+n {
				t.Fatalf("%s: row %d in a batch of %d after row %d", what, g.Line, n, seen)
			}
		}
		seen += n
		for _, r := range bad {
			whole = whole || r.Whole
			if r.Whole && r.Line != 0 && r.Line != seen+1 {
				t.Fatalf("%s: %d rows were read but the reject names row %d", what, seen, r.Line)
			}
		}
		rejects = append(rejects, bad...)
	}
	if seen < int64(rows) && !whole {
		t.Fatalf("%s: only %d of %d rows and no reject", what, seen, rows)
	}
	return rejects
}

func TestParquetTruncated(t *testing.T) {
	for name, opts := range hostileLayouts {
		t.Run(name, func(t *testing.T) {
			data := smallParquet(t, opts...)
			path := writeBytes(t, "in.parquet", nil)
			step := max(1, len(data)/400)
			for n := 0; n < len(data); n += step {
				if err := os.WriteFile(path, data[:n], 0o644); err != nil {
					t.Fatal(err)
				}
				if rej := readDamaged(t, path, fmt.Sprintf("cut to %d bytes", n), 60); len(rej) != 1 || !rej[0].Whole {
					t.Fatalf("cut to %d bytes: rejects = %+v", n, rej)
				}
			}
		})
	}
}

// TestParquetFlippedBytes damages one byte at a time. Bytes inside values
// cannot be told from good ones, as the format carries no check sums that
// writers fill in; so rows may be wrong, but nothing may crash, hang, or take
// memory by the size a file claims.
func TestParquetFlippedBytes(t *testing.T) {
	stride := 19
	if testing.Short() || raceEnabled {
		stride = 61
	}
	for name, opts := range hostileLayouts {
		t.Run(name, func(t *testing.T) {
			data := smallParquet(t, opts...)
			path := writeBytes(t, "in.parquet", nil)
			rng := rand.New(rand.NewPCG(1, 1))
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			last := before.TotalAlloc
			for i := 0; i < len(data); i += stride {
				bad := bytes.Clone(data)
				mask := byte(1) << rng.IntN(8)
				if rng.IntN(3) == 0 {
					mask = 0xff
				}
				bad[i] ^= mask
				if err := os.WriteFile(path, bad, 0o644); err != nil {
					t.Fatal(err)
				}
				what := fmt.Sprintf("byte %d ^ %#x", i, mask)
				readDamaged(t, path, what, 0)
				runtime.ReadMemStats(&after)
				if used := after.TotalAlloc - last; used > 64<<20 { // the file has about 10 kB
					t.Errorf("%s: %d MiB allocated", what, used>>20)
				}
				last = after.TotalAlloc
			}
		})
	}
}

func TestParquetKeepsRowsBeforeTheDamage(t *testing.T) {
	data := smallParquet(t, parquet.WithDictionaryDefault(false))
	// The first data page of the last row group: its size in the page header
	// is made absurd. Row groups hold 20 rows each.
	i := bytes.LastIndex(data, []byte("\x03\x00\x00\x00b40")) // plain: length, then text
	if i < 0 {
		t.Fatal("the first id of the last row group was not found")
	}
	page := bytes.LastIndex(data[:i], []byte{0x15, 0x00, 0x15}) // page type 0, then the size
	for k := page + 3; k < page+5; k++ {
		data[k] = 0xff
	}
	path := writeBytes(t, "in.parquet", data)
	rej := readDamaged(t, path, "damaged third group", 60)
	if len(rej) != 1 || !rej[0].Whole || rej[0].Line != 41 || !strings.Contains(rej[0].Reason, "row 41") {
		t.Errorf("rejects = %+v", rej)
	}
}

func TestParquetRescuesRowsOfABatch(t *testing.T) {
	data := smallParquet(t, parquet.WithDictionaryDefault(false))
	// In plain encoding every text follows its length. An absurd length in the
	// middle of the first group must cost the rows from there on only.
	i := bytes.Index(data, []byte("\x03\x00\x00\x00b07"))
	binary.LittleEndian.PutUint32(data[i:], 1<<30)
	rej := readDamaged(t, writeBytes(t, "in.parquet", data), "bad length", 60)
	if len(rej) != 1 || !rej[0].Whole || rej[0].Line != 8 {
		t.Errorf("rejects = %+v", rej)
	}
}

func TestParquetClaimedSizes(t *testing.T) {
	data := smallParquet(t)
	n := len(data)
	for name, change := range map[string]func([]byte){
		"footer longer than the file": func(b []byte) { binary.LittleEndian.PutUint32(b[n-8:], 1<<31) },
		"footer of nothing":           func(b []byte) { binary.LittleEndian.PutUint32(b[n-8:], 0) },
		"end mark gone":               func(b []byte) { copy(b[n-4:], "ABCD") },
		"encrypted":                   func(b []byte) { copy(b[n-4:], "PARE") },
	} {
		t.Run(name, func(t *testing.T) {
			bad := bytes.Clone(data)
			change(bad)
			rej := readDamaged(t, writeBytes(t, "in.parquet", bad), name, 60)
			if len(rej) != 1 || !rej[0].Whole {
				t.Errorf("rejects = %+v", rej)
			}
		})
	}
}
