package ingest

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/arrow/memory"
	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/compress"
)

// benchTable is an invented inventory of n rows and 15 columns.
func benchTable(n int) string {
	rng := rand.New(rand.NewPCG(1, 2))
	pick := func(words ...string) string { return words[rng.IntN(len(words))] }
	var b strings.Builder
	b.WriteString(requiredHeader + ",orientation,height_m,wall_area_m2,outer_finish,joint_condition,rainwater_goods,heating_fuel,group_key,remark\n")
	for i := range n {
		fmt.Fprintf(&b, "HA-%07d,%d,%s,%s,%s,%s,%s,%.1f,%d,%s,%s,%s,%s,W%02d,%s\n", i, 300+rng.IntN(500),
			pick("granite", "sandstone_porous", "brick_soft"), pick("4A", "5C"), pick("sheltered", "moderate", "severe"), pick("none", "joist_ends", "unknown"),
			pick("N", "SW", "210", "NNE"), 4+8*rng.Float64(), 60+rng.IntN(200), pick("bare", "limewash", ""), pick("sound", "open", ""), pick("sound", "worn", "defective"),
			pick("gas", "oil", "electric"), rng.IntN(40), pick("\"corner, plot\"", "end of row", ""))
	}
	return b.String()
}

const benchRows = 100_000

func benchRead(b *testing.B, path string, decode bool) {
	b.ReportAllocs()
	rows := 0
	for b.Loop() {
		src, err := Open([]string{path}, testOptions)
		if err != nil {
			b.Fatal(err)
		}
		for {
			batch, err := src.Next(context.Background())
			if err == io.EOF {
				break
			}
			if !decode {
				rows += len(batch.lines)
				continue
			}
			good, rejects := batch.Decode()
			if len(rejects) > 0 {
				b.Fatal(rejects[0])
			}
			rows += len(good)
		}
	}
	b.ReportMetric(float64(rows)/b.Elapsed().Seconds(), "rows/s")
}

func BenchmarkCSVRead(b *testing.B) {
	benchRead(b, writeFile(b, "in.csv", benchTable(benchRows)), false)
}

func BenchmarkCSVReadAndDecode(b *testing.B) {
	benchRead(b, writeFile(b, "in.csv", benchTable(benchRows)), true)
}

// benchParquet is the same inventory with numbers as numbers.
func benchParquet(b *testing.B) string {
	h, rows := splitRows(strings.ReplaceAll(benchTable(benchRows), "\"corner, plot\"", "corner plot"))
	text := textRecord(h, rows)
	fields, cols := text.Schema().Fields(), text.Columns()
	for i, f := range fields {
		if f.Name == "wall_thickness_mm" || f.Name == "height_m" || f.Name == "wall_area_m2" {
			nb := array.NewFloat64Builder(memory.DefaultAllocator)
			for _, r := range rows {
				v, err := strconv.ParseFloat(r[i], 64)
				if err != nil {
					b.Fatal(err)
				}
				nb.Append(v)
			}
			fields[i].Type, cols[i] = arrow.PrimitiveTypes.Float64, nb.NewArray()
		}
	}
	rec := array.NewRecord(arrow.NewSchema(fields, nil), cols, int64(len(rows)))
	return writeBytes(b, "in.parquet", parquetBytes(b, rec, 50_000, parquet.WithCompression(compress.Codecs.Snappy)))
}

func BenchmarkParquetRead(b *testing.B) { benchRead(b, benchParquet(b), false) }

func BenchmarkParquetReadAndDecode(b *testing.B) { benchRead(b, benchParquet(b), true) }
