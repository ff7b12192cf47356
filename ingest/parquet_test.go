package ingest

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/arrow/decimal128"
	"github.com/apache/arrow/go/v17/arrow/memory"
	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/compress"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// parquetBytes writes a record as a Parquet file.
func parquetBytes(t testing.TB, rec arrow.Record, groupRows int64, opts ...parquet.WriterProperty) []byte {
	t.Helper()
	var buf bytes.Buffer
	opts = append(opts, parquet.WithMaxRowGroupLength(groupRows))
	w, err := pqarrow.NewFileWriter(rec.Schema(), &buf, parquet.NewWriterProperties(opts...), pqarrow.NewArrowWriterProperties(pqarrow.WithStoreSchema()))
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Write(rec); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// textRecord makes a record of text columns; an empty cell is null.
func textRecord(headers []string, rows [][]string) arrow.Record {
	var fields []arrow.Field
	for _, h := range headers {
		fields = append(fields, arrow.Field{Name: h, Type: arrow.BinaryTypes.String, Nullable: true})
	}
	b := array.NewRecordBuilder(memory.DefaultAllocator, arrow.NewSchema(fields, nil))
	for _, r := range rows {
		for i, c := range r {
			if f := b.Field(i).(*array.StringBuilder); c == "" {
				f.AppendNull()
			} else {
				f.Append(c)
			}
		}
	}
	return b.NewRecord()
}

func splitRows(csv string) (headers []string, rows [][]string) {
	lines := strings.Split(strings.TrimSpace(csv), "\n")
	for _, l := range lines[1:] {
		rows = append(rows, strings.Split(l, ","))
	}
	return strings.Split(lines[0], ","), rows
}

func writeBytes(t testing.TB, name string, b []byte) string {
	t.Helper()
	p := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(p, b, 0o644); err != nil {
		t.Fatal(err)
	}
	return p
}

// sameBuildings compares rows of two files of any kind: all but their places.
func sameBuildings(t testing.TB, want, got []Building) {
	t.Helper()
	compareBuildings(t, want, got)
}

func compareBuildings(t interface{ Fatalf(string, ...any) }, want, got []Building) {
	diff := cmp.Diff(want, got, cmpopts.EquateNaNs(), cmpopts.IgnoreFields(Building{}, "File", "Line"), cmpopts.EquateEmpty())
	if diff != "" {
		t.Fatalf("buildings differ (-want +got):\n%s", diff)
	}
}

func TestParquetNativeTypes(t *testing.T) {
	dict := &arrow.DictionaryType{IndexType: arrow.PrimitiveTypes.Int32, ValueType: arrow.BinaryTypes.String}
	fields := []arrow.Field{
		{Name: "building_id", Type: arrow.PrimitiveTypes.Int64},
		{Name: "wall_thickness_mm", Type: arrow.PrimitiveTypes.Int32},
		{Name: "stone_type", Type: dict},
		{Name: "climate_zone", Type: arrow.BinaryTypes.String},
		{Name: "exposure", Type: arrow.BinaryTypes.String},
		{Name: "embedded_timber", Type: arrow.BinaryTypes.String},
		{Name: "protected_facade", Type: arrow.FixedWidthTypes.Boolean, Nullable: true},
		{Name: "humidity_class", Type: arrow.PrimitiveTypes.Int16, Nullable: true},
		{Name: "height_m", Type: arrow.PrimitiveTypes.Float64, Nullable: true},
		{Name: "wall_area_m2", Type: &arrow.Decimal128Type{Precision: 10, Scale: 2}},
		{Name: "last_survey", Type: arrow.FixedWidthTypes.Date32},
		{Name: "visited", Type: &arrow.TimestampType{Unit: arrow.Millisecond, TimeZone: "UTC"}},
		{Name: "score", Type: arrow.PrimitiveTypes.Float64},
		{Name: "tags", Type: arrow.ListOf(arrow.BinaryTypes.String)},
	}
	b := array.NewRecordBuilder(memory.DefaultAllocator, arrow.NewSchema(fields, nil))
	b.Field(0).(*array.Int64Builder).AppendValues([]int64{7, 8}, nil)
	b.Field(1).(*array.Int32Builder).AppendValues([]int32{450, 600}, nil)
	sd := b.Field(2).(*array.BinaryDictionaryBuilder)
	sd.AppendString("granite")
	sd.AppendString("Soft brick")
	b.Field(3).(*array.StringBuilder).AppendValues([]string{"4A", "5c"}, nil)
	b.Field(4).(*array.StringBuilder).AppendValues([]string{"severe", "Very severe"}, nil)
	b.Field(5).(*array.StringBuilder).AppendValues([]string{"none", "unknown"}, nil)
	b.Field(6).(*array.BooleanBuilder).AppendValues([]bool{true, false}, []bool{true, false})
	b.Field(7).(*array.Int16Builder).AppendValues([]int16{3, 0}, []bool{true, false})
	b.Field(8).(*array.Float64Builder).AppendValues([]float64{9.5, 0}, []bool{true, false})
	b.Field(9).(*array.Decimal128Builder).AppendValues([]decimal128.Num{decimal128.FromI64(12345), decimal128.FromI64(100)}, nil)
	b.Field(10).(*array.Date32Builder).AppendValues([]arrow.Date32{18000, 0}, nil) // 18000 days after 1970-01-01: 2019-04-14
	b.Field(11).(*array.TimestampBuilder).AppendValues([]arrow.Timestamp{1555200000500, 0}, nil)
	b.Field(12).(*array.Float64Builder).AppendValues([]float64{0.1, 1e22}, nil)
	lb := b.Field(13).(*array.ListBuilder)
	for range 2 {
		lb.Append(true)
		lb.ValueBuilder().(*array.StringBuilder).Append("x")
	}
	res := readAll(t, testOptions, writeBytes(t, "in.parquet", parquetBytes(t, b.NewRecord(), 100)))
	if len(res.rejects) > 0 {
		t.Fatalf("rejects: %+v", res.rejects)
	}
	want := []Building{
		{ID: "7", Stone: "granite", Zone: "4A", Line: 1, Extra: []string{"2019-04-14T00:00:00.5Z", "0.1"}},
		{ID: "8", Stone: "brick_soft", Zone: "5C", Line: 2, Extra: []string{"1970-01-01T00:00:00Z", "1e+22"}},
	}
	for i := range want {
		for k := range want[i].Num {
			want[i].Num[k] = math.NaN()
		}
	}
	want[0].Num[WallThickness], want[1].Num[WallThickness] = 0.45, 0.6
	want[0].Num[Height] = 9.5
	want[0].Num[WallArea], want[1].Num[WallArea] = 123.45, 1
	want[0].Cat[Exposure], want[1].Cat[Exposure] = 3, 4
	want[0].Cat[EmbeddedTimber] = 1
	want[0].Cat[ProtectedFacade], want[0].Cat[HumidityClass] = 1, 3
	want[0].Text[LastSurvey], want[1].Text[LastSurvey] = "2019-04-14", "1970-01-01"
	if diff := cmp.Diff(want, res.rows, cmpopts.EquateNaNs(), cmpopts.EquateApprox(1e-12, 0)); diff != "" {
		t.Error(diff)
	}
	if got := strings.Join(res.notes, "\n"); !strings.Contains(got, "tags") || !strings.Contains(got, "left out") {
		t.Errorf("no note on the nested column: %q", got)
	}
}

func TestParquetRejectsNameTheRow(t *testing.T) {
	h, rows := splitRows(table(requiredHeader, row("a"), row("b"), row("c")))
	rows[1][1] = "9000"
	res := readAll(t, testOptions, writeBytes(t, "in.parquet", parquetBytes(t, textRecord(h, rows), 2)))
	if r := onlyReject(t, res); r.Line != 2 || r.Known != "b" || r.Column != "wall_thickness_mm" || r.Whole {
		t.Errorf("reject = %+v", r)
	}
	if ids(res.rows) != "a c" || res.rows[1].Line != 3 {
		t.Errorf("rows = %v", res.rows)
	}
}

func TestParquetFloatNaNIsRejected(t *testing.T) {
	fields := []arrow.Field{{Name: "height_m", Type: arrow.PrimitiveTypes.Float64}}
	h, rows := splitRows(table(requiredHeader, row("a"), row("b")))
	text := textRecord(h, rows)
	fb := array.NewFloat64Builder(memory.DefaultAllocator)
	fb.AppendValues([]float64{math.NaN(), 8}, nil)
	rec := array.NewRecord(arrow.NewSchema(append(text.Schema().Fields(), fields...), nil), append(text.Columns(), fb.NewArray()), 2)
	res := readAll(t, testOptions, writeBytes(t, "in.parquet", parquetBytes(t, rec, 100)))
	if r := onlyReject(t, res); r.Value != "NaN" || !strings.Contains(r.Fix, "blank") {
		t.Errorf("reject = %+v", r)
	}
}

func TestParquetEncodingsAndCodecs(t *testing.T) {
	csv := benchTable(300)
	csv = strings.ReplaceAll(csv, "\"corner, plot\"", "corner")
	want := readText(t, testOptions, csv)
	h, rows := splitRows(csv)
	rec := textRecord(h, rows)
	for name, opts := range map[string][]parquet.WriterProperty{
		"plain":         {parquet.WithDictionaryDefault(false)},
		"dictionary":    {},
		"snappy":        {parquet.WithCompression(compress.Codecs.Snappy)},
		"gzip":          {parquet.WithCompression(compress.Codecs.Gzip)},
		"zstd":          {parquet.WithCompression(compress.Codecs.Zstd)},
		"brotli":        {parquet.WithCompression(compress.Codecs.Brotli)},
		"page v2":       {parquet.WithDataPageVersion(parquet.DataPageV2), parquet.WithCompression(compress.Codecs.Zstd)},
		"delta length":  {parquet.WithDictionaryDefault(false), parquet.WithEncoding(parquet.Encodings.DeltaLengthByteArray)},
		"delta strings": {parquet.WithDictionaryDefault(false), parquet.WithEncoding(parquet.Encodings.DeltaByteArray)},
		"small pages":   {parquet.WithDataPageSize(128)},
	} {
		t.Run(name, func(t *testing.T) {
			opt := testOptions
			opt.BatchRows = 37
			got := readAll(t, opt, writeBytes(t, "in.parquet", parquetBytes(t, rec, 100, opts...)))
			if len(got.rejects) > 0 {
				t.Fatal(got.rejects[0])
			}
			sameBuildings(t, want.rows, got.rows)
		})
	}
}

// The file was written by an implementation of the format that shares no code with this
// reader, github.com/parquet-go/parquet-go v0.32.0, as pages of version 2 in row groups of
// 25: id and wall delta coded; stone (zstd), zone (gzip), exposure (snappy) and fuel by
// dictionaries; timber under brotli; nulls, a column of dates and a nested one.
func TestParquetOfAnotherWriter(t *testing.T) {
	res := readAll(t, testOptions, filepath.Join("testdata", "otherwriter.parquet"))
	if len(res.rejects) > 0 || len(res.rows) != 60 {
		t.Fatalf("%d rows, rejects %+v", len(res.rows), res.rejects)
	}
	var want []Building
	for i := range 60 {
		b := Building{ID: fmt.Sprintf("P%d", i), Line: int64(i + 1), Stone: []string{"granite", "brick_soft"}[i%2], Zone: "4A", Extra: []string{fmt.Sprint("r", i%7)}}
		for k := range b.Num {
			b.Num[k] = math.NaN()
		}
		b.Num[WallThickness] = float64(300+10*i) / 1000
		b.Cat[Exposure], b.Cat[EmbeddedTimber] = 3, 1
		b.Text[LastSurvey] = time.Unix(0, 0).UTC().AddDate(0, 0, 18000+i).Format(time.DateOnly)
		if i%3 > 0 {
			b.Num[Height], b.Num[Storeys] = 5+float64(i%10)/2, float64(1+i%5)
		}
		if i%4 > 0 {
			b.Cat[ProtectedFacade], b.Text[HeatingFuel] = uint8(1+i%2), []string{"gas", "oil"}[i%2]
		}
		want = append(want, b)
	}
	if diff := cmp.Diff(want, res.rows, cmpopts.EquateNaNs(), cmpopts.EquateApprox(1e-12, 0)); diff != "" {
		t.Error(diff)
	}
}

func TestParquetUnsupportedEncodingIsNamed(t *testing.T) {
	h, rows := splitRows(table(requiredHeader, row("a")))
	data := parquetBytes(t, textRecord(h, rows), 10, parquet.WithDictionaryDefault(false))
	// The first page header: data page header (0x2c), one value (0x15 0x02),
	// encoding plain (0x15 0x00). 20 is the zigzag code of 10.
	i := bytes.Index(data, []byte{0x2c, 0x15, 0x02, 0x15, 0x00})
	if i < 0 {
		t.Fatal("no page header")
	}
	data[i+4] = 20
	r := onlyReject(t, readAll(t, testOptions, writeBytes(t, "in.parquet", data)))
	if !r.Whole || !strings.Contains(r.Reason, "encoding number 10") {
		t.Errorf("reject = %+v", r)
	}
}
